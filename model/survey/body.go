package survey

import (
	"sync"

	"claspwright/model/solid"
)

// Body is a solid with what more than one measurement needs: its surface in patches and its edges, made when first
// asked for. It may be shared between goroutines.
type Body struct {
	s     *solid.Solid
	mu    sync.Mutex
	skins map[float64]*skin
	runs  map[float64][]Edge
	hull  []halfSpace
}

// NewBody prepares a solid. The functions of this package that take a solid make a Body of their own.
func NewBody(s *solid.Solid) *Body {
	return &Body{s: s, skins: map[float64]*skin{}, runs: map[float64][]Edge{}}
}

// skin is the surface in patches of that reach.
func (b *Body) skin(reach float64) *skin {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.skins[reach] == nil {
		b.skins[reach] = skinOf(b.s, reach)
	}
	return b.skins[reach]
}

// edges are all edges, looked for by that step.
func (b *Body) edges(step float64) []Edge {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.runs[step] == nil {
		b.runs[step] = edgesOf(b.s, step)
	}
	return b.runs[step]
}

// convex bounds the solid's convex hull.
func (b *Body) convex() []halfSpace {
	k, edges := b.skin(0.8), b.edges(edgeStep)
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.hull == nil {
		b.hull = hullOf(k, edges)
	}
	return b.hull
}
