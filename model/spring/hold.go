package spring

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r2"
)

// pull is one place of a hold: its gap opens as the place goes along dir and turns by turn; the hold pushes with force (of
// size 1, friction on top) and moment turn.
type pull struct {
	at    place
	dir   point
	force point
	turn  float64
}

// hold is a support or a place where the strip may touch: a gap that is to be 0 (both), or that may not be negative, and the
// unknown force that sees to it.
type hold struct {
	id   int    // the same from shape to shape
	name string // what is touched
	both bool
	gap  float64
	by   []pull
}

func (h *hold) loads(size float64) []load {
	var ls []load
	for _, p := range h.by {
		ls = append(ls, load{at: p.at, force: r2.Scale(size, p.force), moment: size * p.turn})
	}
	return ls
}

// opens is how the hold's gap answers to a response.
func (h *hold) opens(r *response) float64 {
	v := 0.0
	for _, p := range h.by {
		d, th := r.of(p.at)
		v += r2.Dot(p.dir, d) + p.turn*th
	}
	return v
}

// equilibrium is a shape with the holds that push it.
type equilibrium struct {
	*shape
	holds []hold // those that push, or hold both ways
	force []float64
}

func (e *equilibrium) of(id int) float64 {
	for i := range e.holds {
		if e.holds[i].id == id {
			return e.force[i]
		}
	}
	return 0
}

const (
	settled   = 1e-9 // mm, gaps and movements
	most      = 120  // rounds
	stride    = 0.5  // mm that a round may move the strip at most
	patience  = 25   // rounds before steps are halved
	softening = 1e-7 // mm/N, the give of a touch, which parts touches that lie in one place
)

// settle finds the shape in which dead loads, supports and touches are in balance: Newton's method on shape and touches at once,
// the touches by the method of active sets in every round. The holds are asked for anew in every shape. It begins at the shape and the
// forces of start, if there are any.
func (f *Frame) settle(dead []load, holds func(*shape) []hold, start *equilibrium) (*equilibrium, error) {
	e := &equilibrium{shape: f.relaxed()}
	force := map[int]float64{}
	if start != nil {
		e.shape = start.shape.copy()
		for i := range start.holds {
			force[start.holds[i].id] = start.force[i]
		}
	}
	for round := range most {
		c := &contacts{hs: holds(e.shape)}
		step, worst := c.round(e.shape, dead, force)
		if math.IsNaN(step) {
			break
		}
		if step < settled && worst < settled {
			e.holds, e.force = nil, nil
			for i := range c.hs {
				if c.now[i] != 0 || c.hs[i].both {
					e.holds, e.force = append(e.holds, c.hs[i]), append(e.force, c.now[i])
				}
			}
			return e, nil
		}
		part := math.Min(1, stride/step)
		if round > patience {
			part = math.Min(part, 0.5)
		}
		c.move(e.shape, part, force)
	}
	return nil, errors.New("no shape is in balance: the strip gives way or jumps from touch to touch")
}

// contacts is one round: the touches about a shape and the linear complementarity problem of their forces.
type contacts struct {
	hs     []hold
	was    []float64 // forces
	now    []float64
	gaps   []float64 // as the loads that bear already will make them
	shape  *shape
	sway   *sway
	lack   *response
	answer []*response // to a unit of each force; made when needed
	opens  [][]float64 // [j][i]: how gap i opens by a unit of force j
}

// round finds the forces that close the gaps, linear about the shape; step is how far the shape then moves, worst the greatest gap that should not be.
func (c *contacts) round(s *shape, dead []load, force map[int]float64) (step, worst float64) {
	n := len(c.hs)
	c.shape, c.was, c.gaps, c.answer, c.opens = s, make([]float64, n), make([]float64, n), make([]*response, n), make([][]float64, n)
	ls := append([]load(nil), dead...)
	for i := range c.hs {
		if c.was[i] = force[c.hs[i].id]; c.was[i] != 0 {
			ls = append(ls, c.hs[i].loads(c.was[i])...)
		}
		if g := c.hs[i].gap; c.hs[i].both || c.was[i] > 0 {
			worst = math.Max(worst, math.Abs(g))
		} else {
			worst = math.Max(worst, -g)
		}
	}
	c.sway = s.newSway(ls)
	c.lack = s.lacking(ls, c.sway)
	for i := range c.hs {
		c.gaps[i] = c.hs[i].gap + c.hs[i].opens(c.lack)
	}
	c.now = c.solve()
	step = c.lack.reach()
	for i := range c.now {
		if d := math.Abs(c.now[i] - c.was[i]); d > 0 {
			c.column(i)
			step = math.Max(step, d*c.answer[i].reach())
		}
	}
	return step, worst
}

// move moves the shape a part of the way.
func (c *contacts) move(s *shape, part float64, force map[int]float64) {
	s.add(c.lack, part)
	clear(force)
	for i := range c.now {
		d := part * (c.now[i] - c.was[i])
		if d != 0 {
			s.add(c.answer[i], d)
		}
		if v := c.was[i] + d; v != 0 {
			force[c.hs[i].id] = v
		}
	}
	s.lay()
}

func (c *contacts) column(j int) []float64 {
	if c.opens[j] == nil {
		c.answer[j] = c.shape.answer(c.hs[j].loads(1), c.sway)
		c.opens[j] = make([]float64, len(c.hs))
		for i := range c.hs {
			c.opens[j][i] = c.hs[i].opens(c.answer[j])
		}
		c.opens[j][j] += softening
	}
	return c.opens[j]
}

func (c *contacts) solve() []float64 {
	on := make([]bool, len(c.hs))
	for i := range c.hs {
		on[i] = c.hs[i].both || c.was[i] > 0
	}
	for range 4 * (len(c.hs) + 4) {
		x := c.forces(on)
		drop, least := -1, -1e-12
		for i := range x {
			if on[i] && !c.hs[i].both && x[i] < least {
				drop, least = i, x[i]
			}
		}
		if drop >= 0 {
			on[drop] = false
			continue
		}
		add, low := -1, -settled
		for i := range x {
			if g := c.predicted(i, x); !on[i] && g < low {
				add, low = i, g
			}
		}
		if add < 0 {
			return x
		}
		on[add] = true
	}
	return c.forces(on)
}

// predicted is the gap that forces x would leave.
func (c *contacts) predicted(i int, x []float64) float64 {
	g := c.gaps[i]
	for j := range x {
		if d := x[j] - c.was[j]; d != 0 {
			g += c.column(j)[i] * d
		}
	}
	return g
}

// forces closes the gaps of those that are on.
func (c *contacts) forces(on []bool) []float64 {
	var at []int
	for i := range on {
		if on[i] {
			at = append(at, i)
		}
	}
	x := make([]float64, len(on))
	if len(at) == 0 {
		return x
	}
	a, b := mat.NewDense(len(at), len(at), nil), mat.NewVecDense(len(at), nil)
	for r, i := range at {
		g := c.gaps[i]
		for j := range c.was {
			if c.was[j] != 0 {
				g -= c.column(j)[i] * c.was[j]
			}
		}
		b.SetVec(r, -g)
		for q, j := range at {
			a.Set(r, q, c.column(j)[i])
		}
	}
	out := mat.NewVecDense(len(at), nil)
	if err := out.SolveVec(a, b); err != nil {
		if _, near := err.(mat.Condition); !near {
			return x
		}
	}
	for r, i := range at {
		x[i] = out.AtVec(r)
	}
	return x
}

func (s *shape) copy() *shape {
	c := s.f.relaxed()
	copy(c.a, s.a)
	copy(c.th, s.th)
	copy(c.kap, s.kap)
	copy(c.eps, s.eps)
	copy(c.gam, s.gam)
	c.across = s.across
	c.set = s.set
	return c
}
