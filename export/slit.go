package export

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/plot/plotter"

	"claspwright/model"
	"claspwright/model/clasp"
)

// What pictures and papers say of a slit tongue, where that differs from a folded leaf.

// slitMeasures are the measures that decide whether a slit lock works.
func slitMeasures(c *model.Commission) []measure {
	l, f, p := c.Lock, c.Fit, c.Lock.Plate
	return []measure{
		{"engagement, each side", f.Engagement}, {"end play", f.EndPlay}, {"flank's tip to wall", f.TopGap},
		{"plate, thickness", p.Thick}, {"flank at the root", l.Leaf}, {"flank before the head", l.Taper * l.Leaf},
		{"slit, width at its end", 2 * l.Fold}, {"flank, tip to slit's end", l.Length}, {"face gap", f.FaceGap},
		{"plate to floor", f.FloorClearance}, {"neck to lip, each side", f.NeckClearance}, {"plate's end to end wall", f.FoldRoom},
		{"plate to roof", f.FoldHeadroom}, {"plate to wall, each side", f.SideClearance}, {"tabs above the face", f.TabHeight},
	}
}

// atSpine are the places that the section at mid-width shows: the spine of the plate.
func atSpine(l *clasp.Lock) (above, under []mark) {
	mid, x := (l.ZLeaf+l.ZUpper)/2, (l.XTip+l.XFold)/2
	above = []mark{
		{"block", -l.Block / 2, 0, l.Thickness * 0.7}, {"roof", x, 0, (l.ZFront + l.Thickness) / 2}, {"end", l.BoxLength - l.EndWall/2, 0, l.Thickness * 0.7},
	}
	under = []mark{
		{"neck", l.Lip / 2, 0, mid}, {"spine", x, 0, mid}, {"floor", l.XPad + 0.6*(l.XWindow-l.XPad), 0, inFloor(l, l.XPad+0.6*(l.XWindow-l.XPad))},
		{"plate's end", l.XFold + l.Fold + l.Leaf/2, 0, mid},
	}
	if l.WindowLength > 0 {
		under = append(under, mark{"window", l.XWindow + l.WindowLength/2, 0, inFloor(l, l.XWindow+l.WindowLength/2)})
	}
	return above, under
}

// atPlate are the places that the section through the plate shows, from above: words above point at the far side.
func atPlate(l *clasp.Lock) (above, under []mark) {
	p, mid := l.Plate, l.PlateCut()
	flank := func(x float64) float64 { return (l.Outside(x) + l.Inside(x)) / 2 }
	at := func(word string, x, y float64) mark { return mark{word, x, y, mid} }
	x := l.XKnee
	above = []mark{
		at("block", -l.Block/2, l.Width/4), at("lip", l.Lip/2, (p.Lip+p.Front)/2), at("shoulder", l.XTip+0.15, p.Tip-0.25),
		at("head", l.XTip+0.6*(p.XHead-l.XTip), p.Head+0.4), at("flank", x, flank(x)), at("slit", (x+l.XFold)/2, p.Spine+l.Fold), at("end", l.BoxLength-l.EndWall/2, l.Width/4),
	}
	under = []mark{
		at("neck", l.Lip/2, -p.Pad), at("tab", l.XTip+l.TabThickness/2, -(p.Tab[0]+p.Tab[1])/2), at("step", l.XStep+clasp.StepRun/2, -(p.Lip+p.Front+l.Wall/2)/2-0.2),
		at("spine", x, -p.Spine*0.5), at("side wall", l.XFold-0.5, -(l.Width/2 - l.Wall/2)), at("plate's end", l.XFold+l.Fold+l.Leaf/2, -p.Spine*0.6),
	}
	return above, under
}

// slitCorners are the places that the three-quarter view of the closed lock points at; those inside lie in the plane of the cut.
func slitCorners(l *clasp.Lock) (above, under []mark) {
	p, mid := l.Plate, l.PlateCut()
	far := (l.XTip + l.XFold) / 2
	above = []mark{
		{"block", -0.8 * l.Block, l.Width / 4, faceAt(l, l.Width/4)}, {"tab", l.XTip + l.TabThickness/2, (p.Tab[0] + p.Tab[1]) / 2, l.TabTop()}, {"face", far, l.Width / 4, faceAt(l, l.Width/4)},
	}
	at := func(word string, x, y float64) mark { return mark{word, x, -y, mid} }
	under = []mark{
		at("lip", l.Lip/2, (p.Lip+p.Front)/2), at("shoulder", l.XTip+0.15, p.Tip-0.25), at("flank", l.XKnee, (l.Outside(l.XKnee)+l.Inside(l.XKnee))/2),
		at("spine", l.XKnee+1, p.Spine*0.5), at("plate's end", l.XFold+l.Fold+l.Leaf/2, p.Spine*0.6), at("side wall", l.XFold, l.Width/2-l.Wall/2),
	}
	return above, under
}

// slitPlaces are the places that the words round the open slit lock point at.
func slitPlaces(l *clasp.Lock, by float64) (above, under []mark) {
	p := l.Plate
	x := (l.XKnee + l.XFold) / 2
	above = []mark{
		{"block", -l.Block/2 - l.FaceGap + by, 0, faceAt(l, 0)}, {"tab", l.XTip + l.TabThickness/2 + by, (p.Tab[0] + p.Tab[1]) / 2, l.TabTop()},
		{"spine", x + by, 0, l.ZUpper}, {"slit", x + by, p.Spine + 0.05, l.ZUpper}, {"face", (l.XNotch + l.BoxLength) / 2, 0, faceAt(l, 0)},
	}
	under = []mark{
		{"head", p.XHead - 0.1 + by, -(p.Tip - 0.2), l.ZUpper}, {"flank", x + by, -(l.Outside(x) + l.Inside(x)) / 2, l.ZUpper},
		{"mouth", 0, 0, l.Floor + l.Mouth/2}, {"side wall", l.BoxLength / 2, -l.Width / 2, l.Thickness / 2},
	}
	return above, under
}

// slitStations are the sections across a slit lock: through the lips and through the heads.
func slitStations(l *clasp.Lock, g gauge) []station {
	p, mid := l.Plate, (l.ZLeaf+l.ZUpper)/2
	at := func(x float64) func(y, z float64) r3.Vec {
		return func(y, z float64) r3.Vec { return r3.Vec{X: x, Y: y, Z: z} }
	}
	xl, xh, xr := l.Lip/2, l.XTip+l.TabThickness/2, l.BesideHoles((l.XKnee+l.XFold)/2)
	lip, head, rear := at(xl), at(xh), at(xr)
	neck := (p.Lip - l.NeckPlay) * 0.8
	return []station{
		{title: "through the lips", x: xl,
			above:  []mark{{"lip", xl, (p.Lip + p.Front) / 2, mid}, {"tab", xl, -(p.Tab[0] + p.Tab[1]) / 2, l.TabTop() - 0.4}},
			under:  []mark{{"neck", xl, 0, mid}, {"side wall", xl, -(l.Width/2 - l.Wall/2), mid}},
			gauged: []gauged{{"neck to lip", g.play(lip(-neck, mid), r3.Vec{Y: -1}), [2]float64{26, 0}, false}, {"slot, width", g.hollow(lip((p.Slot[0]+p.Slot[1])/2, (l.ZFront+l.Thickness)/2), leftward), [2]float64{0, -18}, false}}},
		{title: "through the heads", x: xh,
			above:  []mark{{"tab", xh, (p.Tab[0] + p.Tab[1]) / 2, l.TabTop() - 0.3}, {"head", xh, -(p.Head + 0.3), mid}},
			under:  []mark{{"spine", xh, 0, mid}, {"floor", xh, p.Front * 0.5, l.Floor / 2}},
			gauged: []gauged{{"head to wall", g.play(head(-(p.Tip-0.3), mid), r3.Vec{Y: -1}), [2]float64{26, 0}, false}, {"plate to roof", g.play(head(0, mid), upward), [2]float64{0, -26}, false}, {"plate to floor", g.play(head(-p.Pad*0.6, mid), down), [2]float64{0, 26}, false}}},
		{title: "through the flanks", x: xr,
			above:  []mark{{"roof", xr, 0, (l.ZFront + l.Thickness) / 2}, {"flank", xr, (l.Outside(xr) + l.Inside(xr)) / 2, mid}},
			under:  []mark{{"slit", xr, -(p.Spine + l.Fold), mid}, {"spine", xr, 0, mid}},
			gauged: []gauged{{"plate to wall", g.play(rear(-(p.Edge-0.2), mid), r3.Vec{Y: -1}), [2]float64{26, 0}, false}, {"side wall", g.wall(rear(p.Edge+l.SidePlay/2, mid), r3.Vec{Y: 1}), [2]float64{0, -18}, false}}},
	}
}

// slitDimensions are the lengths of a slit lock that a bench hand checks.
func slitDimensions(c *model.Commission) []measure {
	l, p := c.Lock, c.Lock.Plate
	return []measure{
		{"width", l.Width}, {"thickness", l.Thickness}, {"box length", l.BoxLength}, {"block length", l.Block},
		{"side wall", l.Wall}, {"floor", l.Floor}, {"roof, thinnest", l.Roof}, {"end wall", l.EndWall},
		{"lips along the chain", l.Lip}, {"lips, depth", l.LipDepth}, {"mouth, height", l.Mouth}, {"mouth, width", 2 * p.Lip},
		{"chamber, width", 2 * p.Front}, {"slots, width", l.NotchWidth}, {"plate, thickness", p.Thick}, {"plate, width", 2 * p.Edge},
		{"flank at the root", l.Leaf}, {"flank at the head", l.Taper * l.Leaf}, {"slit, width", 2 * l.Fold}, {"tip to slit's end", l.Length},
		{"over both heads", 2 * p.Tip}, {"engagement", c.Fit.Engagement}, {"end play", c.Fit.EndPlay}, {"head to wall", c.Fit.TopGap},
		{"face gap", c.Fit.FaceGap}, {"tabs above the face", c.Fit.TabHeight}, {"eased long edges", math.Max(0, l.Edge)},
	}
}

// slitBox is half of the box round a slit tongue, cut through the plate and seen from above, mouth at the left.
func slitBox(l *clasp.Lock) plotter.XYs {
	p := l.Plate
	out := plotter.XYs{{X: l.BoxLength, Y: 0}, {X: l.BoxLength, Y: l.Width / 2}, {X: 0, Y: l.Width / 2}}
	for a := math.Pi; a <= 1.5*math.Pi+1e-9; a += math.Pi / 16 { // the lip's round entry
		out = append(out, plotter.XY{X: l.LipEntry + l.LipEntry*math.Cos(a), Y: p.Lip + l.LipEntry + l.LipEntry*math.Sin(a)})
	}
	return append(out, plotter.XYs{{X: l.Lip, Y: p.Lip}, {X: l.Lip, Y: p.Front}, {X: l.XStep, Y: p.Front}, {X: l.XStep + clasp.StepRun, Y: p.Lip}, {X: l.XRear, Y: p.Lip}, {X: l.XRear, Y: 0}}...)
}

// slitRoot is half of neck, spine and the plate's end round to the flank, drawn out by so much.
func slitRoot(l *clasp.Lock, by float64) plotter.XYs {
	p := l.Plate
	neck, stop, end := p.Lip-l.NeckPlay, math.Abs(p.Spine-p.Pad), l.XFold+l.Fold+l.Leaf
	pts := plotter.XYs{{X: -l.FaceGap, Y: 0}, {X: -l.FaceGap, Y: neck}, {X: l.XNeck, Y: neck}, {X: l.XNeck, Y: p.Pad}, {X: p.XPad, Y: p.Pad}, {X: p.XPad + stop, Y: p.Spine}}
	for a := 0.0; a <= math.Pi/2+1e-9; a += math.Pi / 16 {
		pts = append(pts, plotter.XY{X: l.XFold + l.Fold*math.Sin(a), Y: p.Spine + l.Fold - l.Fold*math.Cos(a)})
	}
	pts = append(pts, plotter.XY{X: end, Y: p.Spine + l.Fold}, plotter.XY{X: end, Y: 0})
	for i := range pts {
		pts[i].X -= by
	}
	return pts
}
