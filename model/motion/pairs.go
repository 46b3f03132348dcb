package motion

// pair is a patch of a placed body and one of the other, and how far they are apart at least, mm.
type pair struct {
	far        float64
	order      int32 // of coming
	part, i, j int32
}

// pairs is a heap, the nearest on top; of equals the one that came last, so that a search goes into depth.
type pairs struct {
	list []pair
	came int32
}

func (h *pairs) before(i, j int) bool {
	p, q := &h.list[i], &h.list[j]
	return p.far < q.far || p.far == q.far && p.order > q.order
}

func (h *pairs) push(p pair) {
	h.came++
	p.order = h.came
	h.list = append(h.list, p)
	for i := len(h.list) - 1; i > 0; {
		up := (i - 1) / 2
		if !h.before(i, up) {
			break
		}
		h.list[i], h.list[up] = h.list[up], h.list[i]
		i = up
	}
}

func (h *pairs) pop() pair {
	top, n := h.list[0], len(h.list)-1
	h.list[0] = h.list[n]
	h.list = h.list[:n]
	for i := 0; ; {
		k := 2*i + 1
		if k >= n {
			break
		}
		if k+1 < n && h.before(k+1, k) {
			k++
		}
		if !h.before(k, i) {
			break
		}
		h.list[i], h.list[k] = h.list[k], h.list[i]
		i = k
	}
	return top
}
