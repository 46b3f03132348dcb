package contour
import ("testing";"math";"claspwright/model/solid";"gonum.org/v1/gonum/spatial/r3")
func rodAt(x,y,z,r,h float64) *solid.Solid { return solid.New(solid.NewRod(r,0,h,"rod","end"), at(x,y,z)) }
func TestTmp7(t *testing.T) {
	deg := math.Pi/180
	_ = deg
	coneAt := func(x,y,z,r0,r1,h float64) *solid.Solid { return solid.New(turnedProfile(vec2(0,0),vec2(r0,0),vec2(r1,h),vec2(0,h)), at(x,y,z)) }
	blk := func(sx,sy,sz float64, p solid.Pose) *solid.Solid { b, _ := solid.NewBlock(vec(-sx/2,-sy/2,0), vec(sx/2,sy/2,sz), "b"); return solid.New(b,p) }
	capAt := func(p solid.Pose, h, r float64) *solid.Solid { return solid.New(capsule(h,r), p) }
	for i, c := range []struct{ s *solid.Solid; tol float64 }{
		{solid.Cut(capAt(at(.71,.31,3.5), .95, .1), rodAt(.5,.5531122855982982,3.5,.31,1)), .01},
		{solid.Cut(capAt(then(at(-.65,1.4,4), turnedX(-3.036*deg)), 1.15, .2), rodAt(0,1,3.6,.78,1)), .02},
		{solid.Cut(capAt(at(.6,-.4855919985152257,3.5), 1.3, .15), rodAt(.75,0,3,.53,1)), .01},
		{solid.Cut(rodAt(1.1,.9,2.75,.1,1), coneAt(1,1.1,2,.25,.3,1)), .02},
		{solid.Cut(blk(.2,2,1,at(1,0,3.5)), solid.New(solid.NewRod(1,-2,2,"r","e"), then(at(.75,-.75,3),turnedX(3.3555*deg))), solid.New(solid.NewRod(.75,-2,2,"r","e"), then(at(.8,.8,3),turnedX(-3.3555*deg)))), .01},
	} {
		for _, share := range finer {
			m, err := once(c.s, c.tol, solid.Chord{Single: share*chordShare*c.tol, Double: share*doubleShare*c.tol})
			if err != nil { t.Log(i, share, err); continue }
			_, err = Verify(m, c.s, c.tol)
			t.Log(i, share, len(m.T), err)
		}
	}
	_ = r3.Vec{}
}
