package align

import (
	"fmt"
	"math"

	"soletrial/pipeline/units"
)

// curve is the normalised cross-correlation of two signals at whole offsets from
// least on, missing where they overlap too little.
type curve struct {
	least int
	r     []float64
}

// correlate computes the correlation at every offset within [SearchS] of around.
func correlate(a, b signal, around float64) curve {
	centre := int(math.Round(max(-maxSpanS, min(maxSpanS, around))))
	c := curve{least: centre - SearchS, r: make([]float64, 2*SearchS+1)}
	need := max(MinOverlapS, min(a.count(), b.count())/2)
	for i := range c.r {
		c.r[i] = correlation(a, b, c.least+i, math.MinInt, math.MaxInt, need)
	}
	return c
}

// correlation is Pearson's r of the seconds from..to of a, on its own clock, with
// those of b that lie lag seconds earlier on the clock of b. Missing with fewer
// than need pairs or where one of the two does not vary.
func correlation(a, b signal, lag, from, to, need int) float64 {
	lo, hi := shared(a, b, lag)
	lo, hi = max(lo, from), min(hi, to)
	if hi-lo < need {
		return units.Missing
	}
	av, ak := a.value[lo-a.begin:hi-a.begin], a.known[lo-a.begin:hi-a.begin]
	bv, bk := b.value[lo-lag-b.begin:hi-lag-b.begin], b.known[lo-lag-b.begin:hi-lag-b.begin]
	var n, sa, sb, saa, sbb, sab float64
	for i, x := range av { // a missing second has value 0 and so adds nothing
		y, kx, ky := bv[i], ak[i], bk[i]
		n += float64(kx * ky)
		sa += float64(x * ky)
		sb += float64(y * kx)
		saa += float64(float64(x*x) * ky)
		sbb += float64(float64(y*y) * kx)
		sab += float64(x * y)
	}
	if n < float64(need) {
		return units.Missing
	}
	va, vb := saa-float64(sa*sa)/n, sbb-float64(sb*sb)/n
	const still = 1e-9 // of the unit squared
	if va <= still*n || vb <= still*n {
		return units.Missing
	}
	return (sab - float64(sa*sb)/n) / math.Sqrt(float64(va*vb))
}

// shared is the span lo..hi of a's clock that both signals cover.
func shared(a, b signal, lag int) (lo, hi int) {
	return max(a.begin, b.begin+lag), min(a.begin+len(a.value), b.begin+lag+len(b.value))
}

// pairs counts the seconds that both signals know.
func pairs(a, b signal, lag int) int {
	n := 0
	for t, hi := shared(a, b, lag); t < hi; t++ {
		n += int(a.known[t-a.begin] * b.known[t-lag-b.begin])
	}
	return n
}

func (s signal) count() int {
	n := 0
	for _, k := range s.known {
		n += int(k)
	}
	return n
}

// summit is the top of a curve.
type summit struct {
	lag    int     // the whole offset with the highest correlation
	at     float64 // the top of the parabola through it and its neighbours
	height float64
}

// peak finds the highest correlation, or says why there is no peak.
func (c curve) peak() (summit, string) {
	best := -1
	for i, r := range c.r {
		if units.Known(r) && (best < 0 || r > c.r[best]) {
			best = i
		}
	}
	if best < 0 {
		return summit{}, fmt.Sprintf("the recordings share less than %d s (or half of the shorter one) at every "+
			"offset within %d s of the stated one",
			MinOverlapS, SearchS)
	}
	top, ok := c.parabola(best)
	if !ok {
		return summit{}, fmt.Sprintf("the correlation is highest, %.2f, at the edge of the search, %d s",
			c.r[best], c.least+best)
	}
	return top, ""
}

// parabola refines the maximum at index i, which must have two neighbours.
func (c curve) parabola(i int) (summit, bool) {
	if i == 0 || i == len(c.r)-1 {
		return summit{}, false
	}
	left, mid, right := c.r[i-1], c.r[i], c.r[i+1]
	bend := left - mid + (right - mid)
	if !(bend < 0) {
		return summit{}, false
	}
	return summit{lag: c.least + i, at: float64(c.least+i) + float64(0.5*(left-right))/bend, height: mid}, true
}

// runnerUp is the highest correlation outside the hill around the peak. The hill
// ends at the first low point below half of the peak.
func (c curve) runnerUp(lag int) (r, at float64) {
	top := lag - c.least
	lo, hi := top, top
	for lo > 0 && (c.r[lo] > c.r[top]/2 || c.r[lo-1] < c.r[lo]) {
		lo--
	}
	for hi < len(c.r)-1 && (c.r[hi] > c.r[top]/2 || c.r[hi+1] < c.r[hi]) {
		hi++
	}
	r, at = 0, units.Missing
	for i, v := range c.r {
		if (i < lo || i > hi) && v > r {
			r, at = v, float64(c.least+i)
		}
	}
	return r, at
}
