package export

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model"
	"claspwright/model/spring"
)

// springReport is what the leaf does. Stresses are along the strip, tension positive where they have a sign.
type springReport struct {
	Push        figure         `json:"push_n"` // along the chain to push the tongue home, at the job's friction
	PushLow     figure         `json:"push_low_n"`
	PushHigh    figure         `json:"push_high_n"`
	Release     figure         `json:"release_n"` // on the tab
	Leaves      int            `json:"leaves"`    // beside each other; all forces and stresses here are those of one, but for the two that follow
	AllPush     figure         `json:"push_together_n"`
	AllRelease  figure         `json:"release_together_n"` // on both tabs of a double tongue
	PeakStress  figure         `json:"peak_stress_mpa"`
	PeakAt      [3]figure      `json:"peak_at"`
	PeakPart    string         `json:"peak_part"`
	Yield       figure         `json:"yield_mpa"` // null when not known
	YieldKind   string         `json:"yield_kind"`
	YieldNeeded figure         `json:"yield_needed_mpa"`
	Condition   string         `json:"condition"`
	Deflection  figure         `json:"deflection_mm"` // of the shoulders at release
	Stop        stopReport     `json:"stop"`
	FoldFactor  figure         `json:"fold_factor"` // Winkler's, of the inner side of the fold
	Set         figure         `json:"set_after_first_use_mm"`
	Pull        pullReport     `json:"pull"`
	LoadCase    loadCaseReport `json:"load_case"`
	Way         []stepReport   `json:"way"`
}

type stopReport struct {
	Deflection figure `json:"deflection_mm"`
	Force      figure `json:"force_n"`
	Peak       figure `json:"peak_stress_mpa"`
	FoldRise   figure `json:"fold_rise_mm"`
	TipBack    figure `json:"tip_back_mm"`
}

type pullReport struct {
	Force   figure `json:"force_n"`
	Leaf    figure `json:"leaf_stress_mpa"`
	Bearing figure `json:"bearing_mpa"`
	Shear   figure `json:"shear_mpa"`
	Lip     figure `json:"lip_stress_mpa"`
	Askew   figure `json:"lip_stress_at_20_deg_mpa"`
}

// loadCaseReport is a press that anyone can repeat on finished/tongue.stl.
type loadCaseReport struct {
	HeldXBelow figure    `json:"held_x_below"`
	PressMin   [3]figure `json:"press_min"`
	PressMax   [3]figure `json:"press_max"`
	Press      figure    `json:"press_mm"`
	FloorZ     figure    `json:"floor_z"`
	Youngs     figure    `json:"youngs_mpa"`
	Poisson    figure    `json:"poisson"`
	Force      figure    `json:"force_n"`
	Peak       figure    `json:"peak_stress_mpa"`
}

type stepReport struct {
	Out     figure        `json:"out_mm"`
	Push    figure        `json:"push_n"`
	Lift    figure        `json:"lip_normal_n"`
	Drop    figure        `json:"deflection_mm"`
	Peak    figure        `json:"peak_stress_mpa"`
	Touches []touchReport `json:"touches"`
}

type touchReport struct {
	On     string    `json:"on"`
	At     [3]figure `json:"at"` // in the tongue's own place
	Normal figure    `json:"normal_n"`
}

// springOf places what the spring tells on the first leaf, whose middle is at y.
func springOf(s *model.Spring, y float64) *springReport {
	if s == nil || s.Result == nil {
		return nil
	}
	r := &springReport{
		Push: gram(s.Push[1]), PushLow: gram(s.Push[0]), PushHigh: gram(s.Push[2]), Release: gram(s.Release.Force),
		Leaves: s.Leaves, AllPush: gram(s.Closes()[1]), AllRelease: gram(s.Opens()),
		PeakStress: gram(s.Peak.Size()), PeakAt: point(r3.Add(s.Peak.At(), r3.Vec{Y: y})), PeakPart: s.Peak.Part,
		Yield: unknown(s.Known(), s.Yield.Value), YieldKind: yieldKind(s), YieldNeeded: gram(s.Needed()), Condition: s.Condition,
		Deflection: mm(s.Release.Drop), FoldFactor: gram(s.Factor), Set: unknown(s.SetKnown, s.Set),
		Stop: stopReport{mm(s.Stop.Drop), gram(s.Stop.Force), gram(s.Stop.Peak.Size()), mm(s.Stop.FoldRise), mm(s.Stop.Back)},
		Pull: pullReport{gram(s.Pull.Force), gram(s.Pull.Leaf.Size()), gram(s.Pull.Bearing), gram(s.Pull.Shear), gram(s.Pull.Lip), gram(s.Askew.Lip)},
		Way:  each(s.Way, func(st spring.Step) stepReport { return stepOf(st, y) }),
	}
	k := s.Case
	r.LoadCase = loadCaseReport{mm(k.HeldX), corner3(k.Min, y), corner3(k.Max, y), mm(k.Press), mm(k.FloorZ), gram(k.Metal.E), gram(k.Metal.Poisson), gram(k.Force), gram(k.Peak.Size())}
	return r
}

// yLeaf is where the first leaf has its middle, mm; 0 for one leaf.
func yLeaf(c *model.Commission) float64 {
	if c.Lock == nil {
		return 0
	}
	return c.Lock.YLeaf()
}

// unknown is null for what is not known.
func unknown(known bool, v float64) figure {
	if !known {
		return nan
	}
	return gram(v)
}

func yieldKind(s *model.Spring) string {
	switch {
	case !s.Known():
		return "not known"
	case s.Estimated:
		return "estimated from hardness"
	}
	return s.Yield.Kind
}

func corner3(v [3]float64, y float64) [3]figure { return [3]figure{mm(v[0]), mm(v[1] + y), mm(v[2])} }

func stepOf(s spring.Step, y float64) stepReport {
	return stepReport{mm(s.Out), gram(s.Push), gram(s.Lift), mm(s.Drop), gram(s.Peak.Size()), each(s.Touches, func(t spring.Touch) touchReport {
		return touchReport{t.On, [3]figure{mm(t.X), mm(y + t.Y), mm(t.Z)}, gram(t.Normal)}
	})}
}

// springLine says in one line how the leaf springs.
func springLine(s *model.Spring) string {
	if s == nil || s.Result == nil {
		return "none: the leaf cannot be followed into the box"
	}
	has := "yield not known"
	if s.Known() {
		has = fmt.Sprintf("the metal %s has %.0f", s.Condition, s.Yield.Value)
		if s.Estimated {
			has += " by its hardness"
		}
	}
	both := ""
	if s.Leaves > 1 {
		both = fmt.Sprintf(" (on %d tabs, %.1f N each)", s.Leaves, s.Release.Force)
	}
	push := s.Closes()
	return fmt.Sprintf("push to close %.1f N (%.1f to %.1f by friction), press to open %.1f N%s, stress %.0f MPa, needs a yield of %.0f MPa, %s",
		push[1], push[0], push[2], s.Opens(), both, s.Peak.Size(), s.Needed(), has)
}
