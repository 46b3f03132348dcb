package fit

import (
	"fmt"
	"math/rand/v2"
	"runtime"
	"sync"
	"sync/atomic"
)

// blockSize is how many castings share one stream of random numbers. Blocks are what cores work on, so the castings that are
// drawn do not depend on the number of cores.
const blockSize = 500

// heldEvery says of how many blocks one is looked at again with each dimension at its nominal: that takes as long as all the rest, and
// the differences that it is for are between the same castings.
const heldEvery = 4

// DefaultSamples is how many castings a check draws: a share of one half is then known to 0.0035.
const DefaultSamples = 20000

// mostSamples keeps counts within their integers.
const mostSamples = 1 << 31

// Run draws samples castings with a seed, files each to fit where that can be, and counts. The same stack, number and seed
// give the same Result on any number of cores. It fails when the stack is not valid or samples is not 1 to 2^31.
func Run(s Stack, samples int, seed uint64) (*Result, error) {
	if err := s.Validate(); err != nil {
		return nil, err
	}
	if samples < 1 || samples > mostSamples {
		return nil, fmt.Errorf("%d samples: must be 1 to %d", samples, mostSamples)
	}
	sys := newSystem(s)
	stackup := sys.linear()
	blocks := (samples + blockSize - 1) / blockSize
	sums := make([]blockSums, blocks)
	workers := make([]*worker, min(runtime.GOMAXPROCS(0), blocks))
	var next atomic.Int64
	var wait sync.WaitGroup
	for i := range workers {
		workers[i] = newWorker(sys, stackup)
		wait.Go(func() {
			for b := int(next.Add(1)) - 1; b < blocks; b = int(next.Add(1)) - 1 {
				n := min(blockSize, samples-b*blockSize)
				sums[b] = workers[i].block(seed, uint64(b), n)
			}
		})
	}
	wait.Wait()
	return gather(sys, stackup, workers, sums, samples, seed), nil
}

// blockSums are the sums of one block, which are added up in the order of the blocks since rounding depends on it.
type blockSums struct {
	cast, filed []moments // by clearance, about what is cast, about what is finished
	amount      []float64 // by surface
}

// counts are whole numbers, which may be added up in any order.
type counts struct {
	asCast, fileable, kept           int
	reason                           [Loose + 1]int
	good                             []int            // by clearance
	rowReason                        [][Loose + 1]int // by clearance
	filed                            []int            // by surface
	heldOf, heldLost                 int              // castings looked at again, and those of them that are lost as they are
	held                             []int            // by dimension: lost when it is held at its nominal
	castHist, filedHist, amountsHist []histogram
}

// worker draws and files; nothing of it is shared.
type worker struct {
	sys              *system
	counts           counts
	parts            []*partBench
	dim              []float64 // error of each dimension, mm
	left             []float64 // stock on each surface beyond nominal, mm
	missed           []float64 // by how much the file would miss on each surface, mm
	castings, prints []sampler // by dimension
	lefts, filings   []sampler // by surface
	inPart           []bool    // dimension belongs to a part
	sums             blockSums
	lostPart         int
}

func newWorker(sys *system, stackup []Stackup) *worker {
	nc, nd, ns := len(sys.cast), len(sys.stack.Dimensions), len(sys.stack.Surfaces)
	w := &worker{sys: sys, dim: make([]float64, nd), left: make([]float64, ns), missed: make([]float64, ns), inPart: make([]bool, nd)}
	w.counts = counts{good: make([]int, nc), rowReason: make([][Loose + 1]int, nc), filed: make([]int, ns), held: make([]int, nd)}
	for _, d := range sys.stack.Dimensions {
		w.castings, w.prints = append(w.castings, d.Casting.sampler()), append(w.prints, d.Print.sampler())
	}
	for _, f := range sys.stack.Surfaces {
		w.lefts, w.filings = append(w.lefts, f.Left.sampler()), append(w.filings, f.Filing.sampler())
	}
	for i := range sys.parts {
		w.parts = append(w.parts, newPartBench(sys, &sys.parts[i]))
		for _, d := range sys.parts[i].dims {
			w.inPart[d] = true
		}
	}
	for i, u := range stackup {
		down, up := sys.filedRange(i)
		w.counts.castHist = append(w.counts.castHist, newHistogram(u.Low, u.High))
		w.counts.filedHist = append(w.counts.filedHist, newHistogram(u.Low-down, u.High+up))
	}
	for _, f := range sys.stack.Surfaces {
		w.counts.amountsHist = append(w.counts.amountsHist, newHistogram(0, f.May()+f.Left.Half))
	}
	return w
}

// filedRange is how far filing, its misses included, can move clearance i, mm.
func (sys *system) filedRange(i int) (down, up float64) {
	for k, f := range sys.stack.Surfaces {
		if !f.Filable {
			continue
		}
		b, most := sys.byFile[i][k], f.May()+f.Left.Half+f.Filing.Half
		if b > 0 {
			up += b * most
		} else {
			down -= b * most
		}
	}
	return down, up
}

// mix spreads the bits of neighbouring numbers (S. Vigna's splitmix64, after G. L. Steele, D. Lea and C. H. Flood, Fast
// splittable pseudorandom number generators, OOPSLA 2014; from memory), so that streams of neighbouring blocks share nothing.
func mix(x uint64) uint64 {
	x += 0x9e3779b97f4a7c15
	x = (x ^ x>>30) * 0xbf58476d1ce4e5b9
	x = (x ^ x>>27) * 0x94d049bb133111eb
	return x ^ x>>31
}

// stream is the random numbers of a block for one purpose: 0 the casting, 1 the file.
func stream(seed, block, purpose uint64) *rand.Rand {
	return rand.New(rand.NewPCG(mix(seed), mix(mix(2*block+purpose)^seed)))
}

// block draws n castings.
func (w *worker) block(seed, number uint64, n int) blockSums {
	nc := len(w.sys.cast)
	w.sums = blockSums{make([]moments, nc), make([]moments, nc), make([]float64, len(w.left))}
	cast, file := stream(seed, number, 0), stream(seed, number, 1)
	for _, b := range w.parts {
		b.bench.age = 0 // what a block finds must not depend on which block went before
	}
	for range n {
		w.draw(cast, file)
		w.judge()
		w.countCast()
		w.countFiled()
		if number%heldEvery == 0 {
			w.countHeld()
		}
	}
	return w.sums
}

// draw makes one casting and one hand.
func (w *worker) draw(cast, file *rand.Rand) {
	for i := range w.dim {
		w.dim[i] = w.castings[i].draw(cast) + w.prints[i].draw(cast)
	}
	for k := range w.left {
		w.left[k] = w.lefts[k].draw(cast)
		w.missed[k] = w.filings[k].draw(file)
	}
}

// judge files every part of the casting.
func (w *worker) judge() {
	w.lostPart = 0
	for _, b := range w.parts {
		b.load(w.sys, w.dim, w.left)
		b.judge()
		if b.reason != Fits {
			w.lostPart++
		}
	}
}

// countCast counts the casting as it comes, and why it is lost.
func (w *worker) countCast() {
	asCast, gravest := true, Fits
	for _, b := range w.parts {
		asCast = asCast && b.asCast
		gravest = max(gravest, b.reason)
		for r, i := range b.p.rows {
			x := b.start[r]
			w.sums.cast[i].add(x - w.sys.cast[i])
			w.counts.castHist[i].add(x)
			if x >= b.p.least[r]-slack && x <= b.p.most[r]+slack {
				w.counts.good[i]++
			}
			w.counts.rowReason[i][b.rowReason[r]]++
		}
	}
	w.counts.reason[gravest]++
	if asCast {
		w.counts.asCast++
	}
}

// countFiled counts what was filed, and whether the file's misses spoil the fit.
func (w *worker) countFiled() {
	if w.lostPart > 0 {
		return
	}
	w.counts.fileable++
	kept := true
	for _, b := range w.parts {
		for j, k := range b.p.files {
			a := b.amounts[j]
			w.sums.amount[k] += a
			w.counts.amountsHist[k].add(a)
			if a > slack {
				w.counts.filed[k]++
			}
		}
		again := b.miss(w.missed)
		kept = kept && again
		for r, i := range b.p.rows {
			w.sums.filed[i].add(b.after[r] - w.sys.finished[i])
			w.counts.filedHist[i].add(b.after[r])
		}
	}
	if kept {
		w.counts.kept++
	}
}

// countHeld counts, for each dimension, whether the casting were lost if that dimension alone were at its nominal.
func (w *worker) countHeld() {
	w.counts.heldOf++
	if w.lostPart > 0 {
		w.counts.heldLost++
	}
	for _, b := range w.parts {
		others := w.lostPart
		if b.reason != Fits {
			others--
		}
		for j, d := range b.p.dims {
			if others > 0 || !b.fitsHeld(j, w.dim[d]) {
				w.counts.held[d]++
			}
		}
	}
	if w.lostPart > 0 {
		for d, in := range w.inPart {
			if !in {
				w.counts.held[d]++
			}
		}
	}
}
