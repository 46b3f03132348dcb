package clasp

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// ends finds what meets the chain: its links, and groove or lug.
func (d *deriver) ends() {
	l := d.l
	l.End, _ = d.job.Text("lock.end")
	l.Wire = d.num("link.wire", l.Width/3)
	l.LinkAngle = d.set("link.angle")
	l.LinkWidth = d.num("link.width", (l.Width-l.Wire)/math.Cos(l.LinkAngle*math.Pi/180)-l.Wire)
	l.LinkLength = d.num("link.length", 2.5*l.Wire)
	l.CradleSink = d.num("cradle.sink", l.Wire/2)
	l.CradlePlay = d.set("cradle.play")
	l.LugThickness = d.num("lug.thickness", clamp(0.3*l.Width, 1.5, 4))
	l.LugWall = d.num("lug.wall", math.Max(0.8, 0.16*l.Thickness))
	lo, hi := l.lugHeight()
	l.LugHole = d.num("lug.hole", math.Min(hi-lo-2*l.LugWall, l.Wire+0.3))
}

// under is how far a lug stays below a crown, or above a domed underside, at its own edges, mm: enough to be a step that
// the file sees and no sliver.
const under = 0.05

// lugHeight is between which heights the lug stands, so that it nowhere stands out over a crown or a domed underside. With a
// flat face or underside it is flush.
func (l *Lock) lugHeight() (lo, hi float64) {
	y := l.LugThickness / 2
	lo, hi = rise(l.Underside, y), l.Thickness-l.top().fall(y)
	if l.Underside > 0 {
		lo += under
	}
	if l.Crown > 0 {
		hi -= under
	}
	return lo, hi
}

// LugCentre is the centre of the lug's hole in the end's frame.
func (l *Lock) LugCentre() r3.Vec {
	lo, hi := l.lugHeight()
	return r3.Vec{X: l.LugReach(), Z: (lo + hi - l.Thickness) / 2}
}

// groove is how deep a cradle's groove goes into the end, 0 for the other ends.
func (l *Lock) groove() float64 {
	if l.End != "cradle" {
		return 0
	}
	return l.CradleSink + l.CradlePlay
}

// EndFrame is where the chain meets a half, seen from outside: X out of the lock, Y across, Z up; the origin lies in the
// finished end face, at mid-width and mid-thickness. A curb chain turned by 180 degrees about z is the same chain, so the
// frame of the block's end is the box's, turned; it is not its mirror image.
func (l *Lock) EndFrame(box bool) solid.Pose {
	if box {
		return solid.Upright.At(r3.Vec{X: l.BoxLength, Z: l.Thickness / 2})
	}
	return solid.Pose{O: r3.Vec{X: -l.FaceGap - l.Block, Z: l.Thickness / 2}, X: r3.Vec{X: -1}, Y: r3.Vec{Y: -1}, Z: r3.Vec{Z: 1}}
}

// BowCentre is how far outside the end face the centre of the cradled link's bow stands: its wire is let in by the sink.
func (l *Lock) BowCentre() float64 { return l.BowRadius() + l.Wire/2 - l.CradleSink }

// BowRadius is the radius of the centre line of a link's bow.
func (l *Lock) BowRadius() float64 { return (l.LinkWidth + l.Wire) / 2 }

// LugReach is how far outside the end face the centre of the lug's hole stands: the connecting link then keeps 0.3 mm
// from the end.
func (l *Lock) LugReach() float64 { return l.LugHole/2 + math.Max(l.LugWall, 0.45) }

// withEnd adds the chain end to the box or to the block, and cuts the half's hollows and the seats of its safety catch.
func (l *Lock) withEnd(body *solid.Solid, s Stock, box bool, hollows ...*solid.Solid) (*solid.Solid, error) {
	at := l.EndFrame(box)
	switch l.End {
	case "cradle":
		hollows = append(hollows, l.cradle(at))
	case "lug":
		lug, err := l.lug(s, at)
		if err != nil {
			return nil, err
		}
		body = solid.Join(body, lug)
	}
	seats, err := l.catchSeats(box)
	if err != nil {
		return nil, err
	}
	hollows = append(hollows, seats...)
	if len(hollows) == 0 {
		return body, nil
	}
	return solid.Cut(body, hollows...), nil
}

// cradle is the groove of the end link's bow: a ring in the plane of the bow, which is turned about the chain's run by
// the link's angle. It has no stock: the setter's round file follows the wire.
func (l *Lock) cradle(at solid.Pose) *solid.Solid {
	sin, cos := math.Sincos(-l.LinkAngle * math.Pi / 180)
	ring := solid.Pose{
		O: at.World(r3.Vec{X: l.BowCentre()}),
		X: at.X,
		Y: at.Turn(r3.Vec{Y: cos, Z: sin}),
		Z: at.Turn(r3.Vec{Y: -sin, Z: cos}),
	}
	return solid.New(solid.NewRing(l.BowRadius(), l.Wire/2+l.CradlePlay, tagCradle), ring)
}

// anchor is how far the lug reaches into the end, mm.
const anchor = 0.4

// lug is a tab along the chain with a round end and a hole across, for a connecting link.
func (l *Lock) lug(s Stock, at solid.Pose) (*solid.Solid, error) {
	r, x := l.LugHole/2+l.LugWall, l.LugReach()
	ch, err := solid.Outline(
		rounded(level(-r, 1, s.Pad, tagLug), r+s.Pad),
		rounded(rising(x+r, 1, s.Pad, tagLug), r+s.Pad),
		level(r, -1, s.Pad, tagLug),
		rising(-anchor, -1, 0, tagHidden),
	)
	if err != nil {
		return nil, err
	}
	// Upright in (x, z), extruded along -y of the end's frame.
	centre := l.LugCentre()
	pose := solid.Pose{O: at.World(r3.Vec{Z: centre.Z}), X: at.X, Y: at.Z, Z: r3.Scale(-1, at.Y)}
	w := l.LugThickness/2 + s.Pad
	tab := solid.New(solid.NewPrism(ch, -w, w, tagLug), pose)
	hole := solid.NewRod(l.LugHole/2-s.Window, -w-beyond, w+beyond, tagLugHole, tagHidden)
	pose.O = at.World(centre)
	return solid.Cut(tab, solid.New(hole, pose)), nil
}
