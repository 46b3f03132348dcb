package export

import (
	"image/color"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model"
	"claspwright/model/clasp"
)

// tint is how the surfaces of one part look. The parts differ in lightness as well as in hue, and their cut faces
// are hatched in opposite directions where they face each other, so that the pictures can be read in grey.
type tint struct {
	body, cut, hatch color.RGBA
	slant            int // direction of the hatching: 1 rises to the right, -1 falls
}

var (
	boxTint = tint{
		body: color.RGBA{232, 196, 128, 255}, cut: color.RGBA{252, 240, 214, 255}, hatch: color.RGBA{196, 140, 48, 255}, slant: 1,
	}
	tongueTint = tint{
		body: color.RGBA{96, 138, 170, 255}, cut: color.RGBA{206, 224, 236, 255}, hatch: color.RGBA{44, 88, 122, 255}, slant: -1,
	}
	leafTint = tint{
		body: color.RGBA{132, 160, 116, 255}, cut: color.RGBA{220, 234, 208, 255}, hatch: color.RGBA{70, 108, 52, 255}, slant: 1,
	}
	floorTint = tint{
		body: color.RGBA{158, 178, 132, 255}, cut: color.RGBA{230, 238, 216, 255}, hatch: color.RGBA{92, 122, 62, 255}, slant: -1,
	}
	wireTint = tint{ // of loop and stud, which are never cut
		body: color.RGBA{214, 214, 208, 255}, cut: color.RGBA{240, 240, 236, 255}, hatch: color.RGBA{120, 120, 112, 255}, slant: 1,
	}
	ground = color.RGBA{255, 255, 255, 255}
	ink    = color.RGBA{38, 34, 30, 255}
	quiet  = color.RGBA{96, 92, 88, 255} // for lines and words that explain
)

func tintOf(part string) tint {
	switch part {
	case clasp.PartTongue:
		return tongueTint
	case clasp.PartFloor:
		return floorTint
	case model.LeafPart:
		return leafTint
	case model.LoopPart, model.StudPart:
		return wireTint
	}
	return boxTint
}

// look is how one facet is painted.
type look struct {
	fill, hatch color.RGBA
	slant       int // 0 without hatching
}

// corner is a vertex in the picture: pixels, and depth in mm.
type corner struct{ x, y, z float64 }

type facet struct {
	at   [3]corner
	look look
}

type stroke struct{ a, b corner }

// scene is what the rasteriser paints: facets that face the eye, and the edges between them.
type scene struct {
	facets  []facet
	strokes []stroke
}

// creaseCos is the cosine of the angle between neighbouring facets, 25 degrees, above which their edge is drawn.
const creaseCos = 0.9063

// pale is how far surfaces beyond a section fade into the ground.
const pale = 0.6

// stage puts parts before a camera. faded pales everything that is not on the cut.
func stage(cam camera, parts []model.Part, faded bool) scene {
	var s scene
	for _, p := range parts {
		s.add(cam, p, faded)
	}
	return s
}

func (s *scene) add(cam camera, p model.Part, faded bool) {
	m := p.Mesh
	corners := make([]corner, len(m.V))
	for i, v := range m.V {
		corners[i].x, corners[i].y, corners[i].z = cam.pixel(v)
	}
	normals := make([]r3.Vec, len(m.T))
	first := map[[2]int32]int{}
	for f, t := range m.T {
		normals[f] = normal(m, t)
		if r3.Dot(normals[f], cam.ahead) < 0 {
			s.facets = append(s.facets, facet{
				[3]corner{corners[t[0]], corners[t[1]], corners[t[2]]},
				paint(tintOf(p.Name), normals[f], cam, isCut(m, f), faded),
			})
		}
		for k := range 3 {
			a, b := t[k], t[(k+1)%3]
			key := [2]int32{min(a, b), max(a, b)}
			g, met := first[key]
			if !met {
				first[key] = f
				continue
			}
			if drawn(normals[f], normals[g], cam.ahead, isCut(m, f) != isCut(m, g)) {
				s.strokes = append(s.strokes, stroke{corners[a], corners[b]})
			}
		}
	}
}

// drawn says whether the edge between two facets is drawn: a crease, the rim of the cut, or an outline.
func drawn(n, o, ahead r3.Vec, rim bool) bool {
	a, b := r3.Dot(n, ahead) < 0, r3.Dot(o, ahead) < 0
	return (a || b) && (a != b || rim || r3.Dot(n, o) < creaseCos)
}

// paint shades a facet by one lamp over the viewer's left shoulder.
func paint(t tint, n r3.Vec, cam camera, cut, faded bool) look {
	if cut {
		return look{fill: t.cut, hatch: t.hatch, slant: t.slant}
	}
	lamp := r3.Unit(r3.Add(r3.Scale(-1, cam.ahead), r3.Add(r3.Scale(-0.5, cam.right), r3.Scale(0.9, cam.up))))
	fill := mix(color.RGBA{A: 255}, t.body, 0.62+0.38*math.Max(0, r3.Dot(n, lamp)))
	if faded {
		fill = mix(fill, ground, pale)
	}
	return look{fill: fill}
}

// mix goes from a to b by a share from 0 to 1.
func mix(a, b color.RGBA, share float64) color.RGBA {
	f := func(p, q uint8) uint8 { return uint8(math.Round(float64(p) + float64(share*(float64(q)-float64(p))))) }
	return color.RGBA{f(a.R, b.R), f(a.G, b.G), f(a.B, b.B), 255}
}
