package export

import (
	"claspwright/model"
	"claspwright/model/life"
)

// lifeReport is the lock after years, and in accidents. null is what is not known, and a pull that no strength limits.
type lifeReport struct {
	Wear     figure         `json:"wear_mm"` // off lip and shoulders, each
	Bears    figure         `json:"worn_bearing_mm"`
	Flat     figure         `json:"worn_flat_mm"`
	Area     figure         `json:"worn_area_mm2"`
	EndPlay  figure         `json:"worn_end_play_mm"`
	Release  figure         `json:"worn_release_n"`
	Held     figure         `json:"worn_pull_held_n"`
	Gives    string         `json:"worn_gives_first,omitempty"`
	Needed   figure         `json:"worn_yield_needed_mpa"` // of lip and shoulders, for lock.pull
	Slides   []camReport    `json:"catch"`
	Standing standingReport `json:"standing_stress"`
	Blow     []blowReport   `json:"blow"`
}

// camReport is the catch under a pull, new or worn, at one friction.
type camReport struct {
	Worn     bool   `json:"worn"`
	Friction figure `json:"friction"`
	Angle    figure `json:"friction_angle_deg"`
	Slope    figure `json:"slope_deg"`
	Opens    bool   `json:"opens_by_itself"`
	Pull     figure `json:"leaf_lets_go_n"`         // the leaf alone against the slope
	Lifted   figure `json:"leaf_and_fold_let_go_n"` // with the lift that the pull gives by opening the fold
}

type standingReport struct {
	Per01  figure   `json:"per_tenth_mm_mpa"` // for each 0.1 mm by which the closed leaf is kept down
	Preset figure   `json:"kept_down_mpa"`
	Cold   figure   `json:"cold_work_mpa"`
	Why    []string `json:"why"`
}

type blowReport struct {
	Worn bool   `json:"worn"`
	Work figure `json:"work_mj"`
	Mass figure `json:"mass_g"` // of the lock and an example of a chain
	Fall figure `json:"fall_mm"`
}

func lifeOf(v *model.Life) *lifeReport {
	if v == nil {
		return nil
	}
	r := &lifeReport{
		Wear: mm(v.Wear), Bears: mm(v.Worn.Bears), Flat: mm(v.Worn.Flat), Area: gram(v.Worn.Area), EndPlay: mm(v.Worn.EndPlay), Release: gram(v.Worn.Release),
		Held: unknown(v.Known, v.Held), Gives: v.Gives, Needed: gram(v.Needs),
		Standing: standingReport{gram(v.Stand.Per01), gram(v.Stand.Preset), gram(v.Stand.Cold), each(v.Stand.Why, func(s string) string { return s })},
	}
	for i, worn := range []bool{false, true} {
		for _, c := range []life.Cam{v.Cams[i].Least, v.Cams[i].Usual} {
			r.Slides = append(r.Slides, camReport{worn, mm(c.Friction), mm(c.Angle), mm(c.Slope), c.Opens, gram(c.Pull), gram(c.Lifted)})
		}
		r.Blow = append(r.Blow, blowReport{worn, gram(v.Blow[i]), gram(v.Mass), gram(v.Falls[i])})
	}
	return r
}
