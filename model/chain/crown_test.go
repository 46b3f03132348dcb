package chain

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

var stations = []float64{0, 3, -3, 5, -5, 6}

// circle is the thickness of an arc by Pythagoras, not by the function under test.
func circle(t, r, y float64) float64 { return t - r + math.Sqrt(r*r-y*y) }

func TestCrownRecoversAnArc(t *testing.T) {
	for _, r := range []float64{8, 18.7, 27.3, 400} {
		var rs []Reading
		for _, y := range stations {
			rs = append(rs, Reading{y, circle(5.2, r, y)})
		}
		c, err := FitCrown(rs)
		if err != nil || c.Join != 0 || math.Abs(c.Curvature.Value-1/r) > 1e-9 || math.Abs(c.Thickness.Value-5.2) > 1e-9 {
			t.Errorf("radius %v: %+v, %v", r, c, err)
		}
	}
}

// The circle of chord w and height h has the radius (w²/4 + h²)/(2h): Euclid III.35.
func TestCrownThroughThreeReadings(t *testing.T) {
	w, h := 12.4, 1.06
	c, err := FitCrown([]Reading{{-w / 2, 5.2 - h}, {0, 5.2}, {w / 2, 5.2 - h}})
	want := (w*w/4 + h*h) / (2 * h)
	if err != nil || math.Abs(c.Radius().Value-want) > 1e-7 || c.Greatest > 1e-9 {
		t.Errorf("radius %v, want %v; %v", c.Radius(), want, err)
	}
}

func TestCrownOfAFlatTop(t *testing.T) {
	c, err := FitCrown([]Reading{{0, 5}, {3, 5}, {-5, 5}})
	if err != nil || math.Abs(c.Curvature.Value) > 1e-12 {
		t.Errorf("%+v, %v", c, err)
	}
	c, err = FitCrown([]Reading{{0, 5}, {3, 5.01}, {-3, 4.99}, {5, 5.01}, {-5, 4.99}})
	if err != nil || !math.IsInf(c.Radius().High, 1) {
		t.Errorf("a top that may be flat has a greatest radius: %+v, %v", c.Radius(), err)
	}
}

// Of 95 % intervals, 92 to 98 % hold the true value, in 500 seeded trials.
func TestCrownFromNoisyReadings(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 1))
	const trials, sigma = 500, 0.02
	curved, thick := 0, 0
	for range trials {
		r, mid := 10+30*rnd.Float64(), 3+3*rnd.Float64()
		var rs []Reading
		for _, y := range stations {
			rs = append(rs, Reading{y, circle(mid, r, y) + sigma*rnd.NormFloat64()})
		}
		c, err := fitArcs(rs, 0)
		if err != nil {
			t.Fatal(err)
		}
		if c.Curvature.Low <= 1/r && 1/r <= c.Curvature.High {
			curved++
		}
		if c.Thickness.Low <= mid && mid <= c.Thickness.High {
			thick++
		}
	}
	t.Logf("of %d intervals, %d hold the curvature, %d the thickness", trials, curved, thick)
	for _, n := range []int{curved, thick} {
		if n < trials*92/100 || n > trials*98/100 {
			t.Errorf("%d of %d intervals hold the true value", n, trials)
		}
	}
}

// Tangent arcs drawn by their centres: the flank's lies on the line from the middle arc's centre to the join.
func TestCrownOfTangentArcs(t *testing.T) {
	const mid, r, flank, join = 5.2, 40.0, 5.0, 3.7
	cos := math.Sqrt(1 - join/r*join/r)
	cy, cz := (r-flank)*join/r, mid-r+(r-flank)*cos
	var rs []Reading
	for _, y := range []float64{0, 1.5, -1.5, 3, -3, 4.2, -4.2, 5, -5, 5.8, -5.8} {
		z := circle(mid, r, y)
		if a := math.Abs(y); a > join {
			z = cz + math.Sqrt(flank*flank-(a-cy)*(a-cy))
		}
		rs = append(rs, Reading{y, z})
	}
	c, err := FitCrown(rs)
	if err != nil || math.Abs(c.Join-join) > 1e-3 || math.Abs(c.FlankCurvature-1/flank) > 1e-4 || math.Abs(c.Curvature.Value-1/r) > 1e-4 {
		t.Errorf("%+v, %v", c, err)
	}
	if c.Greatest > 1e-5 || c.Better > 0.01 {
		t.Errorf("greatest residual %v, chance %v", c.Greatest, c.Better)
	}
}

func TestReadingsThatMakeNoCrown(t *testing.T) {
	for _, c := range []struct {
		rs   []Reading
		want string
	}{
		{[]Reading{{0, 5}, {3, 5}}, "2 readings, at least 3 are needed"},
		{[]Reading{{3, 5}, {-3, 5}, {3, 5}}, "all readings are 3 mm from mid-width"},
		{[]Reading{{0, math.NaN()}, {3, 5}, {4, 5}}, "not finite"},
	} {
		if _, err := FitCrown(c.rs); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v: %v, want %q", c.rs, err, c.want)
		}
	}
}
