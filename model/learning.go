package model

import (
	"context"
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/stat/distuv"

	"claspwright/model/casting"
	"claspwright/model/clasp"
	"claspwright/model/contour"
	"claspwright/model/fit"
	"claspwright/model/learn"
	"claspwright/model/metal"
	"claspwright/params"
)

// Caliper is what can be read of a job's castings: dimensions with their sizes, and the weights.
type Caliper struct {
	Job     *params.Job
	Metal   string
	Measure []CaliperMeasure
	Weight  []CaliperWeight
	growth  [3]float64 // that the patterns were grown by
	stock   clasp.Stock
}

// CaliperMeasure is a dimension with its sizes, mm.
type CaliperMeasure struct {
	clasp.Measure
	Casting float64 // as it should come back
	Pattern float64 // as it was sent
}

// CaliperWeight is what a casting should weigh, its gates cut off, g.
type CaliperWeight struct {
	Name string
	Gram float64
}

// NewCaliper lists what can be read of a job's castings.
func NewCaliper(ctx context.Context, job *params.Job) (*Caliper, error) {
	c, err := Make(ctx, job, Want{Stages: []clasp.Stage{clasp.Casting}})
	if err != nil {
		return nil, err
	}
	measures, err := c.Lock.Measures()
	if err != nil {
		return nil, err
	}
	g := growthOf(job, c.Lock.Metal)
	out := &Caliper{Job: job, Metal: c.Lock.Metal, growth: [3]float64{g.X, g.Y, g.Z}, stock: c.Lock.Stock}
	for _, m := range measures {
		v := m.Cast(c.Lock.Stock)
		out.Measure = append(out.Measure, CaliperMeasure{m, v, v * out.growth[m.Axis]})
	}
	own, err := c.ownAlloys()
	if err != nil {
		return nil, err
	}
	for _, part := range c.Lock.Parts() {
		gram := c.at(part, clasp.Casting).Casting() * metal.Density(own[alloyOf(part)]) / 1000
		out.Weight = append(out.Weight, CaliperWeight{part + params.WeightName, gram})
	}
	return out, out.coupon(c)
}

// coupon adds what can be read of a coupon cast beside the lock.
func (c *Caliper) coupon(of *Commission) error {
	coupon := couponOf(of)
	c.Measure = append(c.Measure, couponMeasures(coupon, r3.Vec{X: c.growth[0], Y: c.growth[1], Z: c.growth[2]})...)
	s, err := coupon.Solid()
	if err != nil {
		return err
	}
	m, err := contour.Of(s, 0.005) // all its faces are plane: the volume does not hang on the tolerance
	if err != nil {
		return err
	}
	gram, err := couponGram(of, contour.Volume(m))
	c.Weight = append(c.Weight, CaliperWeight{clasp.PartCoupon + params.WeightName, gram})
	return err
}

// Names are those of the dimensions and weights.
func (c *Caliper) Names() (out []string) {
	for _, m := range c.Measure {
		out = append(out, m.Name)
	}
	for _, w := range c.Weight {
		out = append(out, w.Name)
	}
	return out
}

// Learned is what readings say about a caster, and the profile that follows.
type Learned struct {
	Fit      *learn.Fit
	Growth   []Change // one an axis that was read
	Stock    []Change // one a kind of surface whose excess was found
	Chance   float64  // of readings like these if the profile were true: F-test of all values together
	House    bool     // the house scales: growth is what its own scaling leaves
	Odd      []OddReading
	Grade    int // the finest of ISO 8062-3 that holds the scatter as far as is known, 0 for none
	WasGrade int
	Weights  []WeightRead
	Pieces   int
	Profile  *params.Caster // anew; nil when nothing changed
	Settings []params.Setting
}

// Change is one value of the profile held against what was found.
type Change struct {
	Key         string
	Readings    int
	Was         float64 // what the profile, or the table, has
	Found       float64 // growth; of stock what stands on the surface over what was drawn, mm
	Low, High   float64 // of what was found, 95 %
	Chance      float64 // of what was found, or more, if what the profile has were true, the others as found
	Significant bool    // it must change, the values that stay held to what they are
	New         float64 // what the profile should have: Was if it stays
	Cut         bool    // New is the nearest that a profile may have
}

// OddReading is one that does not belong to the others.
type OddReading struct {
	params.Reading
	Expected float64 // mm, by the others
	Chance   float64
}

// WeightRead is what a part weighed, over what it should weigh.
type WeightRead struct {
	Name      string
	Pieces    int
	Expected  float64 // g
	Mean      float64 // g
	Low, High float64 // of the mean, 95 %; NaN of one piece
}

// level is at what chance of an error a change is called significant.
const level = 0.05

// Learn fits the readings of castings that were made by the caliper's job and holds them against a profile, which may be
// empty. It fails with params.Problems where readings are wrong or too few.
func (c *Caliper) Learn(readings *params.Readings, profile *params.Caster, growthOnly bool) (*Learned, error) {
	list, read, problems := c.take(readings)
	if len(problems) > 0 {
		return nil, problems
	}
	f, err := learn.Run(list, learn.Options{GrowthOnly: growthOnly})
	if err != nil {
		file := ""
		if len(readings.List) > 0 {
			file = readings.List[0].File
		}
		return nil, params.Problems{{File: file, Say: err.Error(), Hint: "read more dimensions, of different lengths along each axis, or more pieces; learn --names lists the dimensions"}}
	}
	word, given := profile.Text("casting.scales")
	if !given {
		word, _ = c.Job.Text("casting.scales")
	}
	l := &Learned{Fit: f, House: word == "house"}
	pieces := map[string]bool{}
	for _, r := range readings.List {
		pieces[r.Piece] = true
	}
	l.Pieces = len(pieces)
	for _, x := range f.Outliers {
		r := read[x.Index]
		l.Odd = append(l.Odd, OddReading{r, r.Value - x.Off, x.P})
	}
	c.changes(l, profile)
	if err := c.grade(l, read, profile); err != nil {
		return nil, err
	}
	l.Weights = c.weights(readings)
	return l, nil
}

// Anew is the profile with what changed significantly, from a day on. nil when nothing did.
func (l *Learned) Anew(profile *params.Caster, date string) (*params.Caster, error) {
	if len(l.Settings) == 0 {
		return nil, nil
	}
	why := fmt.Sprintf("%d readings of %d castings, %d left out", l.Fit.Used+len(l.Odd), l.Pieces, len(l.Odd))
	return profile.Changed(l.Settings, date, why)
}

// take brings readings to the fit's form, and refuses those that are another dimension by mistake.
func (c *Caliper) take(readings *params.Readings) (out []learn.Reading, read []params.Reading, problems params.Problems) {
	by := map[string]CaliperMeasure{}
	for _, m := range c.Measure {
		by[m.Name] = m
	}
	for _, r := range readings.List {
		m, ok := by[r.Name]
		if !ok {
			continue // a weight
		}
		if r.Value < m.Casting/2 || r.Value > 2*m.Casting {
			problems = append(problems, r.Wrong(fmt.Sprintf("is no reading of %.2f mm, which is what this should measure as cast", m.Casting), "another dimension, or another unit?"))
			continue
		}
		out = append(out, learn.Reading{Piece: r.Piece, Name: r.Name, Axis: m.Axis, Pattern: m.Pattern, Faces: m.Faces(), Read: r.Value})
		read = append(read, r)
	}
	return out, read, problems
}

var axisNames = [3]string{"x", "y", "z"}

// changes holds what was found against the profile.
func (c *Caliper) changes(l *Learned, profile *params.Caster) {
	var all []*Change
	for _, p := range l.Fit.Growth {
		was := c.grown(profile, p.Axis, l.House)
		l.Growth = append(l.Growth, Change{Key: "casting.growth_" + axisNames[p.Axis], Readings: p.Readings, Was: was, Found: p.Value, Low: p.Low, High: p.High, Chance: l.Fit.Chance(p, was)})
	}
	for _, p := range l.Fit.Excess {
		key := "stock." + p.Kind
		was, wanted := stockIn(profile, p.Kind)
		l.Stock = append(l.Stock, Change{Key: key, Readings: p.Readings, Was: was, Found: p.Value, Low: p.Low, High: p.High, Chance: l.Fit.Chance(p, wanted-was)})
	}
	var was []float64
	for i := range l.Growth {
		all, was = append(all, &l.Growth[i]), append(was, l.Growth[i].Was)
	}
	for i := range l.Stock {
		_, wanted := stockIn(profile, strings.TrimPrefix(l.Stock[i].Key, "stock."))
		all, was = append(all, &l.Stock[i]), append(was, wanted-l.Stock[i].Was)
	}
	steps := l.Fit.Changes(was, level)
	l.Chance = steps.Chance
	for i, x := range all {
		yes := steps.Change[i]
		x.Significant, x.New = yes, x.Was
		if yes && i < len(l.Growth) {
			x.New = rounded(steps.To[i], 4)
		} else if yes {
			x.New = rounded(x.Was+was[i]-steps.To[i], 3)
		}
		k, _ := params.Lookup(x.Key)
		most := k.Max
		if wall, ok := profile.Number("casting.wall"); strings.HasPrefix(x.Key, "stock.") {
			if !ok {
				wall = 0.5 // as the profile's reader holds it
			}
			most = min(most, math.Floor(wall*1000-1)/1000)
		}
		if v := min(max(x.New, k.Min), most); yes && v != x.New {
			x.New, x.Cut = v, true
		}
		if kind, stock := strings.CutPrefix(x.Key, "stock."); yes && stock {
			if _, has := profile.Number(params.WantedStock + kind); !has {
				l.Settings = append(l.Settings, params.Setting{Key: params.WantedStock + kind, Number: x.Was})
			}
		}
		if growth := strings.HasPrefix(x.Key, "casting.growth"); yes && !(growth && l.House) {
			l.Settings = append(l.Settings, params.Setting{Key: x.Key, Number: x.New})
		}
	}
}

// grown is the growth that a profile stands for along an axis, with the rules of the key table; 1 where the house scales.
func (c *Caliper) grown(profile *params.Caster, axis int, house bool) float64 {
	if house {
		return 1
	}
	for _, key := range []string{"casting.growth_" + axisNames[axis], "casting.growth"} {
		if v, ok := profile.Number(key); ok {
			return v
		}
	}
	return casting.Growth(c.Metal)
}

// stockIn is the stock that a profile has drawn on a kind of surface, and what shall stand there when it comes back.
func stockIn(profile *params.Caster, kind string) (was, wanted float64) {
	k, _ := params.Lookup("stock." + kind)
	was, ok := profile.Number(k.Name)
	if !ok {
		was = k.Default
	}
	if wanted, ok = profile.Number(params.WantedStock + kind); !ok {
		wanted = was
	}
	return was, wanted
}

// rounded is to so many decimals.
func rounded(v float64, decimals int) float64 {
	p := math.Pow10(decimals)
	return math.Round(v*p) / p
}

// grade finds the finest grade within whose tolerance 95 % of readings lie: half the width must be 1.96 of the scatter, as
// great as it may be. A profile's grade is changed when it is too fine even for the least scatter that is likely; a finer one is
// told and not written, since the tolerance is more than the scatter of a few castings from one pour.
func (c *Caliper) grade(l *Learned, read []params.Reading, profile *params.Caster) error {
	k, _ := params.Lookup("casting.grade")
	was, ok := profile.Number(k.Name)
	if !ok {
		was = k.Default
	}
	l.WasGrade = int(was)
	holds := func(grade int, scatter float64) (bool, error) {
		half := math.Inf(1)
		for _, r := range read {
			w, err := fit.CastingTolerance(grade, r.Value)
			if err != nil {
				return false, err
			}
			half = min(half, w/2)
		}
		return distuv.UnitNormal.Quantile(0.975)*scatter <= half, nil
	}
	for g := fit.FinestGrade; g <= fit.CoarsestGrade && l.Grade == 0; g++ {
		yes, err := holds(g, l.Fit.ScatterTop)
		if err != nil {
			return err
		}
		if yes {
			l.Grade = g
		}
	}
	fine, err := holds(l.WasGrade, l.Fit.ScatterLow)
	if err != nil {
		return err
	}
	if l.Grade > l.WasGrade && !fine {
		l.Settings = append(l.Settings, params.Setting{Key: k.Name, Number: float64(l.Grade)})
	}
	return nil
}

// weights are the means of what each part weighed.
func (c *Caliper) weights(readings *params.Readings) (out []WeightRead) {
	for _, w := range c.Weight {
		var grams []float64
		for _, r := range readings.List {
			if r.Name == w.Name {
				grams = append(grams, r.Value)
			}
		}
		if len(grams) == 0 {
			continue
		}
		x := WeightRead{Name: w.Name, Pieces: len(grams), Expected: w.Gram, Low: math.NaN(), High: math.NaN()}
		for _, g := range grams {
			x.Mean += g / float64(len(grams))
		}
		if n := float64(len(grams)); n > 1 {
			var squares float64
			for _, g := range grams {
				squares += (g - x.Mean) * (g - x.Mean)
			}
			half := distuv.StudentsT{Sigma: 1, Nu: n - 1}.Quantile(0.975) * math.Sqrt(squares/(n-1)/n)
			x.Low, x.High = x.Mean-half, x.Mean+half
		}
		out = append(out, x)
	}
	return out
}
