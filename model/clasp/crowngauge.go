package clasp

import (
	"gonum.org/v1/gonum/spatial/r2"

	"claspwright/model/solid"
)

// PartCrownGauge is the plate that the filed crown is tried with.
const PartCrownGauge = "crown-gauge"

// CrownGauge is a plate with two hollows that stand over the finished lock, or the chain, as it lies on a flat plate. Under
// the go, which has the whole upper section moved outwards, both feet must come down to the plate. The no-go has the crown alone, moved
// inwards, its sides cut free, so that it tries the height of the crown and nothing else (one gauge takes all at the
// greatest metal, the other one dimension at the least: Taylor's principle, ISO/R 1938:1971): its feet must not come down.
// All lengths mm; drawn in (y, z) of the lock, the go's feet at z = 0.
type CrownGauge struct {
	Allowance      float64 // by how much the finished section may be larger, or the crown lower
	Wide, High     float64 // of the plate
	Thick          float64
	GoWidth        float64 // of the go's hollow
	GoHeight       float64 // from the feet to the go's hollow, at mid-width
	NoGoHeight     float64 // from the feet to the no-go's crown, at mid-width
	NoGoWidth      float64 // between the no-go's feet
	Land           float64 // width of the no-go's crown
	goOver, noOver solid.Chain
}

// Sizes of the plate, mm: common practice, no source.
const (
	gaugeThick  = 2.5
	gaugeLeg    = 3.0
	gaugeBridge = 4.0
	gaugeFree   = 0.5 // by which the no-go stands off sides and long edges
	gaugeMark   = 1.0 // side of the notches that tell the no-go's end
)

// Crowned lays out the gauge for an allowance, mm.
func (l *Lock) Crowned(allowance float64) (*CrownGauge, error) {
	g := &CrownGauge{Allowance: allowance, Thick: gaugeThick}
	over, err := l.upperSection(allowance)
	if err != nil {
		return nil, err
	}
	g.goOver = downTo(over, -beyond)
	low := *l
	if low.Edge <= allowance { // nothing is left of the long edge inside
		low.Edge = 0
	}
	under, err := low.profile(-allowance)
	if err != nil {
		return nil, err
	}
	var crown solid.Chain
	for _, s := range under {
		if s.Tag == tagFace {
			crown = append(crown, s)
		}
	}
	if len(crown) == 0 {
		return nil, &Refusal{"gauge.allowance", "leaves nothing of the crown for the no-go", "a smaller allowance"}
	}
	g.noOver = l.free(crown)
	g.GoWidth, g.NoGoWidth = l.Width+2*allowance, l.Width+2*gaugeFree
	g.GoHeight, g.NoGoHeight = l.Thickness+allowance, l.Thickness-allowance
	g.Land = crown[0].A.X - crown[len(crown)-1].B.X
	g.Wide = max(g.GoWidth, g.NoGoWidth) + 2*gaugeLeg
	g.High = g.GoHeight + gaugeBridge + l.Thickness + gaugeFree
	return g, nil
}

// downTo closes an upper section, run from right to left, by straight sides down to a height.
func downTo(over solid.Chain, z float64) solid.Chain {
	first, last := over[0].A, over[len(over)-1].B
	a, b := r2.Vec{X: last.X, Y: z}, r2.Vec{X: first.X, Y: z}
	ch := solid.Chain{{A: last, B: a, Tag: "go"}, {A: a, B: b, Tag: tagHidden}, {A: b, B: first, Tag: "go"}}
	if over[0].R == 0 && over[0].A.X == over[0].B.X { // sides that go on are one piece
		over = over[1:]
		ch[2].B = over[0].A
	}
	if n := len(over) - 1; over[n].R == 0 && over[n].A.X == over[n].B.X {
		over = over[:n]
		ch[0].A = over[n-1].B
	}
	for _, s := range over {
		s.Tag = "go"
		ch = append(ch, s)
	}
	return ch
}

// free is the crown as a land in a hollow that stands off all else.
func (l *Lock) free(crown solid.Chain) solid.Chain {
	w, top := l.Width/2+gaugeFree, l.Thickness+gaugeFree
	first, last := crown[0].A, crown[len(crown)-1].B
	var ch solid.Chain
	for _, s := range crown {
		s.Tag = "no-go"
		ch = append(ch, s)
	}
	at := last
	for _, p := range []r2.Vec{{X: last.X, Y: top}, {X: -w, Y: top}, {X: -w, Y: -beyond}, {X: w, Y: -beyond}, {X: w, Y: top}, {X: first.X, Y: top}, first} {
		ch = append(ch, solid.Seg{A: at, B: p, Tag: tagHidden})
		at = p
	}
	return ch
}

// upperSection is the upper section with stock s all round, from the middle of one side to the middle of the other.
func (l *Lock) upperSection(s float64) (solid.Chain, error) {
	ch, err := l.profile(s)
	if err != nil {
		return nil, err
	}
	return upperHalf(ch), nil
}

// Solid builds the plate as it is printed: flat, its thickness along z, the go's feet at y = 0.
func (g *CrownGauge) Solid() *solid.Solid {
	w, h, m := g.Wide/2, g.High, gaugeMark
	mark := h - g.NoGoHeight/2
	plate := polygon("gauge", r2.Vec{X: -w}, r2.Vec{X: w},
		r2.Vec{X: w, Y: mark - m/2}, r2.Vec{X: w - m, Y: mark - m/2}, r2.Vec{X: w - m, Y: mark + m/2}, r2.Vec{X: w, Y: mark + m/2},
		r2.Vec{X: w, Y: h}, r2.Vec{X: -w, Y: h},
		r2.Vec{X: -w, Y: mark + m/2}, r2.Vec{X: m - w, Y: mark + m/2}, r2.Vec{X: m - w, Y: mark - m/2}, r2.Vec{X: -w, Y: mark - m/2})
	tool := func(ch solid.Chain, at solid.Pose) *solid.Solid {
		return solid.New(solid.NewPrism(ch, -beyond, g.Thick+beyond, tagHidden), at)
	}
	over := solid.Upright // turned half round about the plate's normal
	over.X.X, over.Y.Y = -1, -1
	return solid.Cut(solid.New(solid.NewPrism(plate, 0, g.Thick, "gauge"), solid.Upright),
		tool(g.goOver, solid.Upright), tool(g.noOver, over.At(along(over.O, 1, h))))
}

// polygon is a closed chain of straight pieces through points, anticlockwise.
func polygon(tag string, ps ...r2.Vec) solid.Chain {
	var ch solid.Chain
	for i, p := range ps {
		ch = append(ch, solid.Seg{A: p, B: ps[(i+1)%len(ps)], Tag: tag})
	}
	return ch
}
