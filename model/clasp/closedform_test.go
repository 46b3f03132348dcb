package clasp

import (
	"math"
	"testing"

	"claspwright/model/contour"
	"claspwright/model/solid"
	"claspwright/params"
)

// derive makes a lock from key=value pairs.
func derive(t testing.TB, metal string, sets ...string) *Lock {
	t.Helper()
	job, err := params.Parse("test", nil, append([]string{"metal.alloy=au585-yellow"}, sets...))
	if err != nil {
		t.Fatal(err)
	}
	l, err := Derive(job, metal, nil)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// volume meshes a solid as finely as package model does at 0.005 mm (model.VolumeShare), proves the mesh and integrates
// it.
func volume(t testing.TB, s *solid.Solid, err error) float64 {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	m, err := contour.Finely(s, 0.005, 0.25)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := contour.Verify(m, s, 0.005); err != nil {
		t.Fatal(err)
	}
	return contour.Volume(m)
}

// fillet is what a round of radius r takes from, or adds to, a square corner: (1 - pi/4) r^2.
func fillet(r float64) float64 { return (1 - math.Pi/4) * r * r }

// crownArea is the area between the height z and a crown of radius r whose top is at height top, for |y| <= h:
// 2h (top - r - z) + h sqrt(r^2-h^2) + r^2 asin(h/r); flat when r is 0.
func crownArea(top, r, z, h float64) float64 {
	if r == 0 {
		return 2 * h * (top - z)
	}
	return 2*h*(top-r-z) + h*math.Sqrt(r*r-h*h) + r*r*math.Asin(h/r)
}

// boxVolume is the finished box in closed form, written out from the lock's dimensions and from nothing that builds it.
// Long edges must be sharp.
func boxVolume(l *Lock) float64 {
	outer := crownArea(l.Thickness, l.Crown, 0, l.Width/2) * l.BoxLength
	hollow := l.Lip*l.Mouth + (l.XStep-l.Lip)*(l.Mouth+l.LipDepth) + StepRun*(l.Mouth+l.LipDepth/2) + (l.XRear-l.XStep-StepRun)*l.Mouth
	n := float64(l.Leaves)
	v := outer - n*hollow*l.Chamber
	v += n * (fillet(l.LipRoot) - fillet(l.LipEntry)) * (l.Chamber - l.NotchWidth)
	v -= notchArea(l, l.ZLip)*l.Lip + notchArea(l, l.ZFront)*(l.XNotch-l.Lip)
	v -= float64(len(l.XCoreHoles)) * (2*l.Wall + l.Partition) * math.Pi / 4 * l.CoreHole * l.CoreHole
	v -= studSeatsVolume(l)
	switch l.FloorKind {
	case "closed":
		return v
	case "loose": // a pocket as high as the floor and the gap over it, which above the floor's level is chamber already
		long, broad := l.XRear+ledge-l.XFloor+2*l.FloorGap, l.Width-2*l.Wall+2*ledge+2*l.FloorGap
		above := (l.XRear - l.XFloor + l.FloorGap) * n * l.Chamber * l.FloorGap
		return v - (long*broad-4*fillet(windowCorner))*(l.Floor+l.FloorGap) + above
	}
	return v - n*l.Floor*(l.WindowLength*l.WindowWidth-4*fillet(windowCorner))
}

// notchArea is what all notches take of a section across, above the height z: under the crown, from edge to edge.
func notchArea(l *Lock, z float64) float64 {
	if l.Leaves == 1 {
		return crownArea(l.Thickness, l.Crown, z, l.NotchWidth/2)
	}
	mid := (l.Width/2 - l.Wall + l.Partition/2) / 2
	return crownArea(l.Thickness, l.Crown, z, mid+l.NotchWidth/2) - crownArea(l.Thickness, l.Crown, z, mid-l.NotchWidth/2)
}

// studSeatsVolume and tubeSeatsVolume are what the seats of the safety catches take: round dimples, square pockets.
func studSeatsVolume(l *Lock) float64 {
	r := l.Catch.Neck/2 + catchPlay
	return float64(len(l.CatchSides())) * math.Pi * r * r * l.Catch.Dimple
}

func tubeSeatsVolume(l *Lock) float64 {
	c := l.Catch
	chord := math.Sqrt(c.Outside*c.Outside - (c.Outside-2*c.Seat)*(c.Outside-2*c.Seat))
	return float64(len(l.CatchSides())) * (chord + 2*catchPlay) * (c.Tube + 2*catchPlay) * c.Seat
}

// tongueVolume is the finished tongue in closed form; long edges must be sharp.
func tongueVolume(l *Lock) float64 {
	v := crownArea(l.Thickness, l.Crown, 0, l.Width/2) * l.Block
	under, top, run := l.Floor+l.NeckPlay, l.ZLeaf+l.Leaf, l.ZPad-l.ZLeaf-l.Leaf
	front := l.Lip - l.XNeck // the chamfer from pad to neck, at 45 degrees
	lower := (l.XNeck+l.FaceGap)*(l.ZLip-l.NeckPlay-under) + front*(l.ZPad-under) + front*front/2 +
		(l.XPad-run-l.Lip)*(l.ZPad-under) + run*(top-under) + run*run/2 +
		(l.XFold-lap-l.XPad)*l.Leaf + neckPlayRamp*(l.ZLeaf-under)/2
	turn := math.Pi / 4 // between pad slope and leaf
	lower += rootFillet * rootFillet * (math.Tan(turn/2) - turn/2)
	n := float64(l.Leaves)
	v += n * lower * l.LowerWidth
	fold := math.Pi / 2 * (math.Pow(l.Fold+l.Leaf, 2) - l.Fold*l.Fold)
	upper := fold + lap*l.Leaf + (l.XFold-l.XKnee)*l.Leaf + (l.XKnee-l.XTip)*(1+l.Taper)*l.Leaf/2
	v += n * upper * l.UpperWidth
	slope := (l.ZTip - l.ZUpper) / (l.XKnee - l.XTip)
	v -= n * l.Chamfer * l.Chamfer * (1 + slope) / 2 * (l.UpperWidth - l.TabWidth) // the top rises towards the tip by the slope
	inward := (n - 1) * ((l.Width/2-l.Wall+l.Partition/2)/2 - l.TabWidth/2)
	height := l.Thickness + l.TabHeight - (l.ZTip - slope*l.TabThickness/2)
	if l.Crown > 0 { // off the middle the face beside the tab is lower
		height -= l.Crown - math.Sqrt(l.Crown*l.Crown-inward*inward)
	}
	v += n * l.TabThickness * l.TabWidth * height
	r := TabEase
	v -= tubeSeatsVolume(l)
	return v - n*(2*fillet(r)*(l.TabWidth+l.TabThickness)-4*r*r*r*(5.0/3-math.Pi/2))
}

// Plain: flat, sharp long edges, no fillets. Crowned: as derived, sharp long edges. 0.05 % is asked for.
func TestVolumeAgainstClosedForms(t *testing.T) {
	if testing.Short() {
		t.Skip("the plain run does it")
	}
	plain := func(l *Lock) { l.LipRoot, l.LipEntry = 0, 0 }
	asDerived := func(*Lock) {}
	for _, c := range []struct {
		name string
		sets []string
		edit func(*Lock)
	}{
		{"plain 12.4 x 5.2", []string{"chain.width=12.4", "chain.thickness=5.2", "chain.edge=0"}, plain},
		{"filleted 12.4 x 5.2", []string{"chain.width=12.4", "chain.thickness=5.2", "chain.edge=0"}, asDerived},
		{"crowned 12.4 x 5.2", []string{"chain.width=12.4", "chain.thickness=5.2", "chain.edge=0", "chain.crown=18.6"}, asDerived},
		{"with two catches", []string{"chain.width=12.4", "chain.thickness=5.2", "chain.edge=0", "catch.sides=both"}, plain},
		{"without a catch", []string{"chain.width=12.4", "chain.thickness=5.2", "chain.edge=0", "catch.sides=none"}, plain},
		{"plain 8 x 4", []string{"chain.width=8", "chain.thickness=4", "chain.edge=0"}, plain},
		{"closed 14 x 6.3", []string{"chain.width=14", "chain.thickness=6.3", "chain.edge=0", "lock.floor=closed"}, asDerived},
		{"closed, cored 10 x 4.5", []string{"chain.width=10", "chain.thickness=4.5", "chain.edge=0", "lock.floor=closed", "core.holes=1"}, asDerived},
		{"closed, cored 20 x 9", []string{"chain.width=20", "chain.thickness=9", "chain.edge=0", "lock.floor=closed", "core.holes=2", "core.hole=1.6"}, asDerived},
		{"loose 10 x 4.5", []string{"chain.width=10", "chain.thickness=4.5", "chain.edge=0", "lock.floor=loose"}, asDerived},
		{"loose 20 x 9", []string{"chain.width=20", "chain.thickness=9", "chain.edge=0", "lock.floor=loose", "floor.play=0.12"}, asDerived},
		{"double 14 x 5.9", []string{"tongue.count=2", "chain.width=14", "chain.thickness=5.9", "chain.edge=0"}, asDerived},
		{"double, closed, cored 20 x 9", []string{"tongue.count=2", "chain.width=20", "chain.thickness=9", "chain.edge=0", "lock.floor=closed", "core.holes=2", "core.hole=1.6"}, asDerived},
		{"double, loose, two catches 20 x 9", []string{"tongue.count=2", "chain.width=20", "chain.thickness=9", "chain.edge=0", "lock.floor=loose", "catch.sides=both"}, asDerived},
		{"double, crowned 24 x 11", []string{"tongue.count=2", "chain.width=24", "chain.thickness=11", "chain.edge=0", "chain.crown=36"}, asDerived},
		{"crowned 22 x 11", []string{"chain.width=22", "chain.thickness=11", "chain.edge=0", "chain.crown=33"}, asDerived},
	} {
		t.Run(c.name, func(t *testing.T) {
			l := derive(t, "gold", c.sets...)
			c.edit(l)
			s, err := l.Box(Finished)
			near(t, "box", volume(t, s, err), boxVolume(l))
			s, err = l.Tongue(Finished)
			near(t, "tongue", volume(t, s, err), tongueVolume(l))
			if l.Loose() {
				s, err = l.LooseFloor(Finished)
				plate := (l.XRear+ledge-l.XFloor)*(l.Width-2*l.Wall+2*ledge) - 4*fillet(windowCorner-l.FloorGap)
				near(t, "floor", volume(t, s, err), plate*l.Floor)
			}
		})
	}
}

func near(t *testing.T, part string, got, want float64) {
	t.Helper()
	off := 100 * (got/want - 1)
	t.Logf("%s: mesh %.4f mm3, closed form %.4f, %+.4f %%", part, got, want, off)
	if math.Abs(off) > 0.05 {
		t.Errorf("%s: mesh %.4f mm3, closed form %.4f: off by %.4f %%", part, got, want, off)
	}
}

// Eased long edges take (1 - pi/4) e^2 off each square corner of a flat lock.
func TestLongEdgesAgainstClosedForm(t *testing.T) {
	l := derive(t, "gold", "chain.width=12.4", "chain.thickness=5.2")
	sharp := *l
	sharp.Edge = 0
	ch, err := l.profile(0)
	if err != nil {
		t.Fatal(err)
	}
	sq, err := sharp.profile(0)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := sq.Area()-ch.Area(), 4*fillet(0.3); math.Abs(got-want) > 1e-12 {
		t.Errorf("four edges of 0.3 mm take %.12f mm2, want %.12f", got, want)
	}
}
