//go:build long || outside

package contour

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"runtime"
	"runtime/debug"
	"slices"
	"syscall"
	"testing"
	"time"
)

// OnThreads is how long f takes in seconds on so many threads, Go's own work in the background included.
func OnThreads(n int, f func()) float64 {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(n))
	runtime.GC() // what was left by others is not f's work
	begin := time.Now()
	f()
	return time.Since(begin).Seconds()
}

// Processor is what this process uses of the processor while f runs on one thread, seconds; a busy machine disturbs it less
// than the time that passes.
func Processor(f func()) float64 {
	used := func() float64 {
		var r syscall.Rusage
		if err := syscall.Getrusage(syscall.RUSAGE_SELF, &r); err != nil {
			return math.NaN()
		}
		return float64(r.Utime.Nano()+r.Stime.Nano()) / 1e9
	}
	var before float64
	OnThreads(1, func() { before = used(); f() })
	return used() - before
}

// Repeat is OnThreads so many times over.
func Repeat(times, threads int, f func()) (took []float64) {
	for range times {
		took = append(took, OnThreads(threads, f))
	}
	return took
}

// Median of an odd number of values.
func Median(x []float64) float64 { return slices.Sorted(slices.Values(x))[len(x)/2] }

// PeakMiB is the most memory that this process has while f runs on one thread, the test program itself included: VmHWM
// after its reset (Linux, proc(5), /proc/pid/clear_refs).
func PeakMiB(t testing.TB, f func()) float64 {
	t.Helper()
	debug.FreeOSMemory()
	if err := os.WriteFile("/proc/self/clear_refs", []byte("5"), 0); err != nil {
		t.Fatal(err)
	}
	OnThreads(1, f)
	status, err := os.ReadFile("/proc/self/status")
	if err != nil {
		t.Fatal(err)
	}
	_, rest, _ := bytes.Cut(status, []byte("VmHWM:"))
	var kib float64
	if _, err := fmt.Sscanf(string(rest), "%f kB", &kib); err != nil {
		t.Fatal(err)
	}
	return kib / 1024
}
