package contour

import (
	"bytes"
	"encoding/binary"
	"math/rand/v2"
	"runtime"
	"slices"
	"sync/atomic"
	"testing"

	"claspwright/model/solid"
)

// sameCases are solids with every kind of face; the box has 96 primitives.
func sameCases(t testing.TB) map[string]*solid.Solid {
	return map[string]*solid.Solid{
		"drilled block":    drilled(t),
		"groove of a ring": solid.Cut(block(t, -3, -3, -1, 3, 3, 0), solid.New(solid.NewRing(2, 0.7, "ring"), solid.Upright)),
		"balls":            solid.Join(inModel(t).ball(0, 0, 0, 1), inModel(t).ball(1.2, 0, 0, 1)),
		"drill point":      solid.Cut(block(t, -2, -2, 0, 2, 2, 3), inModel(t).turned(0, 0, 1, vec2(0, 0), vec2(1.5, 3), vec2(0, 3))),
		"benchmark box":    benchBox(12).solid(t),
	}
}

// bytesOf is all that a mesh holds, to the last bit. Of is asked anew for every call.
func bytesOf(t *testing.T, s *solid.Solid) []byte {
	t.Helper()
	m, err := ofSafely(s, 0.005)
	if err != nil {
		t.Fatalf("not meshed: %v", err)
	}
	var out bytes.Buffer
	for _, part := range []any{m.V, m.T, m.Face, m.On} {
		if err := binary.Write(&out, binary.LittleEndian, part); err != nil {
			t.Fatal(err)
		}
	}
	for _, tag := range m.Tags {
		out.WriteString(tag + "\n")
	}
	return out.Bytes()
}

// differ says where two meshes of one solid begin to differ.
func differ(t *testing.T, how string, want, got []byte) {
	t.Helper()
	if bytes.Equal(want, got) {
		return
	}
	at := 0
	for at < min(len(want), len(got)) && want[at] == got[at] {
		at++
	}
	t.Errorf("%s: other bytes, from %d of %d (%d before)", how, at, len(got), len(want))
}

func TestSameBytesOnAnyNumberOfCores(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	cases := sameCases(t)
	cases["benchmark box"] = benchBox(40).solid(t)
	for name, s := range cases {
		runtime.GOMAXPROCS(1)
		want := bytesOf(t, s)
		for _, cores := range []int{1, 2, 8} {
			runtime.GOMAXPROCS(cores)
			differ(t, name, want, bytesOf(t, s))
		}
	}
}

// A solid built anew has other addresses, and maps another order.
func TestSameBytesOfASolidBuiltAnew(t *testing.T) {
	first, second := sameCases(t), sameCases(t)
	for name, s := range first {
		differ(t, name, bytesOf(t, s), bytesOf(t, second[name]))
	}
}

func TestSameBytesInAnyOrderOfWork(t *testing.T) {
	defer func() { workOrder = nil }()
	for name, s := range sameCases(t) {
		workOrder = nil
		want := bytesOf(t, s)
		for how, order := range map[string]func(n int) []int{"backwards": backwards, "shuffled": shuffled(1), "shuffled otherwise": shuffled(2)} {
			asked := &atomic.Int64{}
			workOrder = func(n int) []int {
				if n > 1 { // one piece has no order
					asked.Add(1)
				}
				return order(n)
			}
			differ(t, name+", "+how, want, bytesOf(t, s))
			if asked.Load() == 0 {
				t.Errorf("%s, %s: no work was done in the order given", name, how)
			}
		}
	}
}

func inOrder(n int) []int {
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	return order
}

func backwards(n int) []int {
	order := inOrder(n)
	slices.Reverse(order)
	return order
}

func shuffled(seed uint64) func(n int) []int {
	return func(n int) []int {
		order := inOrder(n)
		r := rand.New(rand.NewPCG(seed, uint64(n)))
		r.Shuffle(n, func(i, j int) { order[i], order[j] = order[j], order[i] })
		return order
	}
}
