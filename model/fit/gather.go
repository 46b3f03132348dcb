package fit

// gather adds up what the workers counted and the blocks summed.
func gather(sys *system, stackup []Stackup, workers []*worker, sums []blockSums, samples int, seed uint64) *Result {
	all := workers[0].counts
	for _, w := range workers[1:] {
		all.merge(w.counts)
	}
	total := sums[0]
	for _, b := range sums[1:] {
		total.merge(b)
	}
	r := &Result{Samples: samples, Seed: seed, AsCast: share(all.asCast, samples), Fileable: share(all.fileable, samples), Kept: share(all.kept, samples),
		Lost: share(samples-all.fileable, samples), TooLoose: share(all.reason[Loose], samples), TooTight: share(all.reason[Tight], samples),
		Conflict: share(all.reason[Conflict], samples), HeldSamples: all.heldOf}
	for i, c := range sys.stack.Clearances {
		r.Clearances = append(r.Clearances, all.clearance(i, c, stackup[i], total, samples))
	}
	for k, f := range sys.stack.Surfaces {
		r.Surfaces = append(r.Surfaces, all.surface(k, f, total))
	}
	for j, d := range sys.stack.Dimensions {
		r.Dimensions = append(r.Dimensions, all.dimension(j, d, stackup))
	}
	r.Dearest = r.dearest()
	return r
}

func (c *counts) merge(o counts) {
	c.asCast += o.asCast
	c.fileable += o.fileable
	c.kept += o.kept
	c.heldOf += o.heldOf
	c.heldLost += o.heldLost
	for i, n := range o.reason {
		c.reason[i] += n
	}
	addInts(c.good, o.good)
	addInts(c.filed, o.filed)
	addInts(c.held, o.held)
	for i, row := range o.rowReason {
		addInts(c.rowReason[i][:], row[:])
		c.castHist[i].merge(o.castHist[i])
		c.filedHist[i].merge(o.filedHist[i])
	}
	for k, h := range o.amountsHist {
		c.amountsHist[k].merge(h)
	}
}

func addInts(to, from []int) {
	for i, n := range from {
		to[i] += n
	}
}

func (b *blockSums) merge(o blockSums) {
	for i := range b.cast {
		b.cast[i].merge(o.cast[i])
		b.filed[i].merge(o.filed[i])
	}
	for k, a := range o.amount {
		b.amount[k] += a
	}
}

func (c *counts) clearance(i int, spec Clearance, u Stackup, sums blockSums, n int) ClearanceResult {
	cast, filed := &c.castHist[i], &c.filedHist[i]
	r := ClearanceResult{Stackup: u, Least: spec.Least, Most: spec.Most,
		Mean: u.Cast + sums.cast[i].mean(n), SampleSD: sums.cast[i].sd(n),
		Low95: cast.quantile(0.025), High95: cast.quantile(0.975), Good: share(c.good[i], n),
		TooLoose: share(c.rowReason[i][Loose], n), TooTight: share(c.rowReason[i][Tight], n), Conflict: share(c.rowReason[i][Conflict], n)}
	if c.fileable > 0 {
		r.FiledMean, r.FiledLow, r.FiledHigh = u.Finished+sums.filed[i].mean(c.fileable), filed.quantile(0.025), filed.quantile(0.975)
	}
	return r
}

func (c *counts) surface(k int, f Surface, sums blockSums) SurfaceResult {
	s := SurfaceResult{Name: f.Name, Stock: f.Stock, May: f.May(), Filed: share(c.filed[k], c.fileable)}
	if c.filed[k] > 0 {
		s.Mean, s.P95 = sums.amount[k]/float64(c.fileable), c.amountsHist[k].quantile(0.95)
	}
	return s
}

func (c *counts) dimension(j int, d Dimension, stackup []Stackup) DimensionResult {
	r := DimensionResult{Name: d.Name, Half: d.Casting.Half + d.Print.Half, SD: d.SD(), LostHeld: share(c.held[j], c.heldOf)}
	r.Saves = float64(c.heldLost-c.held[j]) / float64(c.heldOf)
	for _, u := range stackup {
		for _, s := range u.Shares {
			if s.Source == d.Name && s.Variance > r.Variance {
				r.Variance, r.Of = s.Variance, u.Name
			}
		}
	}
	return r
}
