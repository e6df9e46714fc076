package align

import (
	"fmt"
	"math"
)

// How the run is cut into parts, each of which must tell the same offset.
const (
	partS     = 300  // seconds of a part; the parts of a short run are shorter
	minParts  = 3    // parts that must agree
	maxParts  = 24   // parts of a long run are longer
	nearS     = 15   // how far from the offset of the whole a part may lie
	partPeak  = 0.4  // the correlation from which on a part has a say
	millionth = 1e-6 // one part per million
)

// follow finds the offset of every part and from them the drift of the clocks
// and the standard error of the offset, or says why the parts do not agree.
func (m *Match) follow(a, b signal, lag int) string {
	lo, hi := shared(a, b, lag)
	n := min(max((hi-lo)/partS, minParts), maxParts)
	var at, offset []float64
	for k := range n {
		from, to := lo+(hi-lo)*k/n, lo+(hi-lo)*(k+1)/n
		c := curve{least: lag - nearS, r: make([]float64, 2*nearS+1)}
		for i := range c.r {
			c.r[i] = correlation(a, b, c.least+i, from, to, (to-from)/2)
		}
		if top, reason := c.peak(); reason == "" && top.height >= partPeak {
			at, offset = append(at, float64(from+to)/2), append(offset, top.at)
		}
	}
	m.Parts = len(at)
	if m.Parts < minParts || 2*m.Parts < n {
		return fmt.Sprintf("only %d of %d parts of the run give an offset within %d s of %.1f s",
			m.Parts, n, nearS, m.OffsetS)
	}
	m.fitLine(at, offset)
	if m.StandardErrorS > MaxStandardErrorS {
		return fmt.Sprintf("the parts of the run disagree: the offset of %.1f s is uncertain by %.1f s",
			m.OffsetS, m.StandardErrorS)
	}
	return ""
}

// fitLine fits a straight line through the offsets of the parts by least squares.
func (m *Match) fitLine(at, offset []float64) {
	n := float64(len(at))
	var meanT, meanY float64
	for i := range at {
		meanT += at[i] / n
		meanY += offset[i] / n
	}
	var tt, ty, ss float64
	for i := range at {
		t := at[i] - meanT
		tt += float64(t * t)
		ty += float64(t * (offset[i] - meanY))
	}
	slope := ty / tt
	for i := range at {
		e := offset[i] - meanY - float64(slope*(at[i]-meanT))
		ss += float64(e * e)
	}
	variance := ss / (n - 2)
	m.StandardErrorS = math.Sqrt(variance / n)
	m.DriftPpm, m.DriftStandardError = slope/millionth, math.Sqrt(variance/tt)/millionth
}
