package fit

import (
	"errors"
	"fmt"
	"math"
)

// Surface is a cast surface that bounds one clearance or more.
type Surface struct {
	Name    string
	Stock   float64 // metal left on it beyond the finished size, mm, 0 or more
	Spare   float64 // metal that may go beyond the finished size, mm, 0 or more
	Filable bool    // a file reaches it
	Effort  float64 // of filing 1 mm off it against other surfaces, above 0; 0 stands for 1
	Left    Spread  // of the stock as found on the casting
	Filing  Spread  // how far a file misses what was meant, each time the surface is filed
}

// May is how much metal may go, mm, with the stock that the drawing asks for.
func (s Surface) May() float64 {
	if !s.Filable {
		return 0
	}
	return s.Stock + s.Spare
}

// Face says how metal on a surface changes a dimension: Grow mm for each mm of metal. 1 for a surface that bounds metal, -1
// for one that bounds a hollow, twice that where both sides of a width are named as one surface.
type Face struct {
	Surface string
	Grow    float64
}

// Dimension is a length on one casting, between surfaces.
type Dimension struct {
	Name    string  // in a goldsmith's words
	Nominal float64 // finished, mm
	Faces   []Face  // the surfaces that bound it; one that is never filed and has no stock may be left out
	Casting Spread  // error of the casting
	Print   Spread  // error of the pattern
}

// SD is the standard deviation of casting and print together, mm.
func (d Dimension) SD() float64 { return math.Hypot(d.Casting.SD(), d.Print.SD()) }

// Term is a dimension times a number.
type Term struct {
	Dimension string
	Times     float64
}

// Clearance is a gap or an overlap that must end between two limits: Const + the sum of its terms.
type Clearance struct {
	Name  string
	Const float64 // mm
	Terms []Term
	Least float64 // mm; -Inf for none
	Aim   float64 // what a bench files to when the clearance misses a limit, mm, between the limits
	Most  float64 // mm; +Inf for none
}

// Stack is everything that a fit depends on.
type Stack struct {
	Surfaces   []Surface
	Dimensions []Dimension
	Clearances []Clearance
}

// Validate returns every problem of the stack, nil when there is none.
func (s Stack) Validate() error {
	v := validator{seen: map[string]bool{}}
	for _, f := range s.Surfaces {
		v.surface(f)
	}
	for _, d := range s.Dimensions {
		v.dimension(d)
	}
	for _, c := range s.Clearances {
		v.clearance(c)
	}
	if len(s.Clearances) == 0 {
		v.say("stack", "no clearance to look at")
	}
	return errors.Join(v.problems...)
}

// validator collects problems; seen holds "surface a", "dimension b" and so on.
type validator struct {
	seen     map[string]bool
	problems []error
}

func (v *validator) say(where, format string, args ...any) {
	v.problems = append(v.problems, fmt.Errorf("%s: %s", where, fmt.Sprintf(format, args...)))
}

func (v *validator) name(kind, name string) string {
	where := fmt.Sprintf("%s %q", kind, name)
	if name == "" {
		v.say(where, "has no name")
	} else if v.seen[where] {
		v.say(where, "is there twice")
	}
	v.seen[where] = true
	return where
}

func (v *validator) spread(where, what string, s Spread) {
	if p := s.problem(); p != "" {
		v.say(where, "%s: %s", what, p)
	}
}

func finite(xs ...float64) bool {
	for _, x := range xs {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return false
		}
	}
	return true
}

func (v *validator) surface(s Surface) {
	where := v.name("surface", s.Name)
	if !finite(s.Stock, s.Spare, s.Effort) || s.Stock < 0 || s.Spare < 0 || s.Effort < 0 {
		v.say(where, "stock %g, spare %g and effort %g must be 0 or more", s.Stock, s.Spare, s.Effort)
	}
	v.spread(where, "stock left", s.Left)
	v.spread(where, "filing", s.Filing)
	if s.Left.Half > s.Stock {
		v.say(where, "the stock of %g mm spreads by %g mm: more than there is", s.Stock, s.Left.Half)
	}
}

func (v *validator) dimension(d Dimension) {
	where := v.name("dimension", d.Name)
	if !finite(d.Nominal) {
		v.say(where, "nominal %g", d.Nominal)
	}
	v.spread(where, "casting", d.Casting)
	v.spread(where, "print", d.Print)
	for _, f := range d.Faces {
		if !v.seen[fmt.Sprintf("surface %q", f.Surface)] {
			v.say(where, "no surface %q", f.Surface)
		}
		if !finite(f.Grow) {
			v.say(where, "grows by %g with %q", f.Grow, f.Surface)
		}
	}
}

func (v *validator) clearance(c Clearance) {
	where := v.name("clearance", c.Name)
	if !finite(c.Const, c.Aim) || !(c.Least <= c.Aim) || !(c.Aim <= c.Most) {
		v.say(where, "least %g, aim %g, most %g must rise", c.Least, c.Aim, c.Most)
	}
	if len(c.Terms) == 0 {
		v.say(where, "depends on nothing")
	}
	for _, t := range c.Terms {
		if !v.seen[fmt.Sprintf("dimension %q", t.Dimension)] {
			v.say(where, "no dimension %q", t.Dimension)
		}
		if !finite(t.Times) {
			v.say(where, "%g times %q", t.Times, t.Dimension)
		}
	}
}
