package survey

import (
	"sync"
	"syscall"
	"testing"

	"claspwright/model/solid"
)

// processor reports processor time, which says more than the clock while others use the machine.
func processor(b *testing.B) func() {
	used := func() float64 {
		var u syscall.Rusage
		if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
			b.Fatal(err)
		}
		return float64(u.Utime.Nano()+u.Stime.Nano()) / 1e6
	}
	start := used()
	return func() { b.ReportMetric((used()-start)/float64(b.N), "cpu-ms/op") }
}

// The box and the tongue of the lock of 12.4 x 5.2, each item for both, one after the other.
func benchEach(b *testing.B, f func(s *solid.Solid)) {
	box, tongue := trial(b)
	b.ResetTimer()
	defer processor(b)()
	for range b.N {
		f(box)
		f(tongue)
	}
}

func BenchmarkSurveyThinnest(b *testing.B) {
	benchEach(b, func(s *solid.Solid) { Thinnest(s, SpotOptions{}) })
}

func BenchmarkSurveyNarrowest(b *testing.B) {
	benchEach(b, func(s *solid.Solid) { Narrowest(s, SpotOptions{Most: 1}) })
}

func BenchmarkSurveyHollows(b *testing.B) {
	benchEach(b, func(s *solid.Solid) { Hollows(s, HollowOptions{}) })
}

func BenchmarkSurveyCores(b *testing.B) {
	benchEach(b, func(s *solid.Solid) { Cores(s, CoreOptions{}) })
}

func BenchmarkSurveyLayers(b *testing.B) {
	benchEach(b, func(s *solid.Solid) { LayersOf(s, LayerOptions{}) })
}

func BenchmarkSurveyThickest(b *testing.B) {
	benchEach(b, func(s *solid.Solid) { Thickest(s, ThickOptions{}) })
}

func BenchmarkSurveySection(b *testing.B) {
	benchEach(b, func(s *solid.Solid) { SectionOf(s, vec(2, 0, 2), vec(1, 0, 0), SectionOptions{}) })
}

func BenchmarkSurveyEdges(b *testing.B) {
	benchEach(b, func(s *solid.Solid) { SharpEdges(s, EdgeOptions{}) })
}

// worked are the surfaces that a file must get to.
var worked = []string{"floor", "roof", "side wall", "end", "roof step", "lip, underside", "lip, inner face", "notch", "window",
	"neck", "shoulder", "upper leaf", "lower leaf", "thumb tab"}

func BenchmarkSurveyReach(b *testing.B) {
	benchEach(b, func(s *solid.Solid) { ReachOf(s, worked, ReachOptions{}) })
}

// All that a check of the lock asks for, both halves side by side.
func BenchmarkSurveyCheck(b *testing.B) {
	box, tongue := trial(b)
	b.ResetTimer()
	defer processor(b)()
	for range b.N {
		var wait sync.WaitGroup
		for _, s := range []*solid.Solid{box, tongue} {
			wait.Go(func() {
				body := NewBody(s)
				body.Thinnest(SpotOptions{})
				body.Narrowest(SpotOptions{Most: 1})
				body.Hollows(HollowOptions{})
				body.Cores(CoreOptions{})
				body.SharpEdges(EdgeOptions{})
				body.Reach(worked, ReachOptions{})
				Thickest(s, ThickOptions{})
				SectionOf(s, vec(2, 0, 2), vec(1, 0, 0), SectionOptions{})
			})
		}
		wait.Wait()
	}
}
