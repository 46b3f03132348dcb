package export

import "claspwright/model"

// catchReport is the safety catch: what the bench makes and what it does.
type catchReport struct {
	Sides      string    `json:"sides"`
	Alloy      string    `json:"alloy"` // hard drawn
	Wire       figure    `json:"wire_mm"`
	Cut        figure    `json:"wire_to_cut_mm"` // for one loop
	Ball       figure    `json:"ball_mm"`
	Neck       figure    `json:"neck_mm"` // diameter of the stud's neck
	Tube       figure    `json:"tube_mm"`
	TubeBore   figure    `json:"tube_bore_mm"`
	TubeOut    figure    `json:"tube_outside_mm"`
	Reach      figure    `json:"reach_mm"`
	Waist      figure    `json:"waist_mm"` // opening inside
	Bend       figure    `json:"bend_radius_mm"`
	WaistR     figure    `json:"waist_radius_mm"`
	Eye        figure    `json:"eye_radius_mm"` // as all radii to the middle of the wire
	Long       figure    `json:"long_mm"`       // tube's axis to the outside of the outer eye
	Wide       figure    `json:"wide_mm"`
	Bead       figure    `json:"bead_mm"` // grip
	Overhang   figure    `json:"overhang_mm"`
	TubeAt     [3]figure `json:"tube_at"` // the tube's axis, where its middle is, first side
	StudAt     [3]figure `json:"stud_at"` // middle of the ball, first side
	TubeSeat   figure    `json:"tube_seat_depth_mm"`
	StudSeat   figure    `json:"stud_seat_depth_mm"` // 0: none
	Force      figure    `json:"snap_n"`             // over the ball, and off it
	Aside      figure    `json:"aside_n"`            // on each half
	Stress     figure    `json:"peak_stress_mpa"`
	Cantilever figure    `json:"cantilever_stress_mpa"`
	Yield      figure    `json:"yield_mpa"` // null when not known
	YieldKind  string    `json:"yield_kind"`
	Needed     figure    `json:"yield_needed_mpa"`
	Mass       figure    `json:"mass_g"` // of one side
	Friction   figure    `json:"friction"`
}

func catchOf(c *model.Commission) *catchReport {
	k := c.Catch
	if k == nil {
		return nil
	}
	d, l := c.Lock.Catch, k.Loop
	side := c.Lock.CatchSides()[0]
	return &catchReport{
		Sides: d.Sides, Alloy: k.Alloy.ID, Wire: mm(l.Wire), Cut: mm(k.Cut), Ball: mm(l.Ball), Neck: mm(d.Neck),
		Tube: mm(l.Tube), TubeBore: mm(d.Bore), TubeOut: mm(d.Outside), Reach: mm(l.Reach), Waist: mm(l.Ball - l.Snap),
		Bend: mm(l.Bend()), WaistR: mm(l.Waist()), Eye: mm(l.Eye), Long: mm(k.Long), Wide: mm(k.Wide), Bead: mm(k.Bead()), Overhang: mm(d.Overhang()),
		TubeAt: [3]figure{mm(d.XTube), mm(side * (c.Lock.Width/2 + d.Lies)), mm(d.Z)}, StudAt: [3]figure{mm(d.XStud), mm(side * (c.Lock.Width/2 + d.Centre)), mm(d.Z)},
		TubeSeat: mm(d.Seat), StudSeat: mm(d.Dimple), Force: gram(k.Force), Aside: gram(k.Aside), Stress: gram(k.Stress), Cantilever: gram(k.Cantilever),
		Yield: unknown(k.Metal.Known(), k.Metal.Yield.Value), YieldKind: yieldKind(&k.Metal), Needed: gram(model.Safety * k.Stress), Mass: gram(k.Gram), Friction: gram(k.Friction),
	}
}
