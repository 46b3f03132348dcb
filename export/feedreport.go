package export

import "claspwright/model"

// feedReport is how a part is fed while it freezes, mm.
type feedReport struct {
	Part     string    `json:"part"`
	HotSpot  [3]figure `json:"hot_spot"`
	Ball     figure    `json:"ball_mm"`             // of metal there
	Sections [3]figure `json:"section_moduli_mm"`   // square to x, y, z; null where nothing cools near
	Modulus  figure    `json:"modulus_mm"`          // of the body round it
	Gate     [2]figure `json:"gate_mm"`             // diameter, length
	Rule     [2]figure `json:"gate_by_modulus_mm"`  // what the modulus rule asks for
	Cut      bool      `json:"gate_by_modulus_cut"` // more than is cut off a lock
}

func feedOf(f model.Feed) feedReport {
	return feedReport{f.Part, point(f.At), gram(f.Ball), [3]figure{gram(f.Section[0]), gram(f.Section[1]), gram(f.Section[2])}, gram(f.Modulus),
		[2]figure{gram(f.Gate.Diameter), gram(f.Gate.Length)}, [2]figure{gram(f.Rule.Diameter), gram(f.Rule.Length)}, f.Rule.Cut}
}
