package clasp

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// Hallmark is the flat that is kept clear for the hallmark, mm.
type Hallmark struct {
	Place         string  // "none" or "block"
	Length, Width float64 // across and along the chain
	X             float64 // its middle; it stands at mid-width
	Z             float64 // its height over the underside at mid-width of a straight one
	Cut           bool    // it is cut level into a domed or hollowed underside
}

func (h Hallmark) patch() patch { return patch{h.X - h.Width/2, h.X + h.Width/2, h.Length / 2} }

// hallmark finds the flat: beside the chain end, far from the leaf.
func (d *deriver) hallmark() error {
	l := d.l
	h := &l.Hallmark
	h.Length, h.Width = d.set("hallmark.length"), d.set("hallmark.width")
	if h.Place, _ = d.job.Text("hallmark.place"); h.Place == "none" {
		return nil
	}
	free := l.underBlock()
	if h.Length > 2*free.y+1e-9 {
		return &Refusal{Key: "hallmark.length", Say: fmt.Sprintf("%.4g mm does not fit under the block, %.2f mm between its edges", h.Length, 2*free.y), Nearest: atMostOr(2*free.y, "hallmark.length", `hallmark.place = "none"`)}
	}
	if h.Width > free.long()+1e-9 {
		return &Refusal{Key: "hallmark.width", Say: fmt.Sprintf("%.4g mm does not fit under the block, where %.2f mm are free along the chain", h.Width, free.long()), Nearest: atMostOr(free.long(), "hallmark.width", "a longer lock.block")}
	}
	h.X = free.x0 + h.Width/2
	h.Cut = l.Underside > 0 || l.Hollow > 0
	if h.Cut {
		h.Z = l.highest(h.patch()) + flatStep
	}
	if over := l.over(h.patch(), h.Z); over < overMark-1e-9 {
		return &Refusal{Key: "hallmark.place", Say: fmt.Sprintf("%q leaves %.2f mm of metal over a flat cut %.2f mm into the underside", h.Place, over, h.Z-l.lowest(h.patch())), Nearest: `a smaller hallmark.length, or hallmark.place = "none"`}
	}
	return nil
}

// atMostOr names the greatest value that fits, if the key takes one so small, and another remedy.
func atMostOr(most float64, key, other string) string {
	if most = Down(most); most < leastOf(key) {
		return other
	}
	return fmt.Sprintf("at most %.2f mm, or %s", most, other)
}

// hallmarkCut levels a domed or hollowed underside; a straight one is level as it is.
func (l *Lock) hallmarkCut(s Stock) ([]*solid.Solid, error) {
	h := l.Hallmark
	if !h.Cut {
		return nil, nil
	}
	p := h.patch()
	b, err := solid.NewBlock(r3.Vec{X: p.x0, Y: -p.y, Z: -beyond}, r3.Vec{X: p.x1, Y: p.y, Z: h.Z - s.Face}, tagHallmark)
	if err != nil {
		return nil, err
	}
	return []*solid.Solid{solid.New(b, solid.Upright)}, nil
}
