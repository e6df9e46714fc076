package steady

// runLength is how many neighbouring samples form a run. A window is summed run by
// run, in order, and each run sample by sample. The sum of a run is cached, so that
// a window that is dragged costs next to nothing; its sums are the same to the last
// bit as those of a window that was never dragged.
const runLength = 64

// run is the sums over runLength samples.
type run struct {
	summed, fitted bool
	first, last    float64 // when its earliest sample begins and its latest ends, on the recording's clock
	sum            timed
	moments        moments // about the beginning of its first sample and the track's origin
}

// timed is a sum of values, each times the seconds that it stands for, and these
// seconds.
type timed struct{ weighted, seconds float64 }

// moments are the sums that a straight line is fitted from, each sample weighted
// by the seconds that it stands for.
type moments struct{ w, x, y, xx, xy, yy float64 }

// join adds the moments of samples whose times count from d seconds later.
func (m *moments) join(n *moments, d float64) {
	m.w += n.w
	m.x += n.x + float64(d*n.w)
	m.y += n.y
	m.xx += n.xx + float64(2*d*n.x) + float64(d*d*n.w)
	m.xy += n.xy + float64(d*n.y)
	m.yy += n.yy
}

// inside returns the run that begins at sample i if there is a whole one and all
// of it lies in [from, to) on the recording's clock; else nil.
func (t *track) inside(i int, from, to float64) *run {
	if i%runLength != 0 || i+runLength > len(t.elapsed) {
		return nil
	}
	if t.runs == nil {
		t.runs = make([]run, len(t.elapsed)/runLength)
	}
	r := &t.runs[i/runLength]
	if !r.summed {
		t.sumUp(r, i)
	}
	if r.first >= from && r.last < to {
		return r
	}
	return nil
}

func (t *track) sumUp(r *run, from int) {
	r.summed, r.first, r.last = true, t.elapsed[from], t.elapsed[from]
	for i := from; i < from+runLength; i++ {
		begin, stands := t.elapsed[i], t.stands[i]
		r.first, r.last = min(r.first, begin), max(r.last, begin, begin+stands)
		if stands > 0 && known(t.values[i]) {
			r.sum.weighted += float64(t.values[i] * stands)
			r.sum.seconds += stands
		}
	}
}

// upTo returns where the run that holds sample i ends, at most the samples' end.
func (t *track) upTo(i int) int { return min(i-i%runLength+runLength, len(t.elapsed)) }

// sum adds up the part of samples [i, end) that lies in [from, to).
func (t *track) sum(i, end int, from, to float64) (sum timed) {
	for ; i < end && t.elapsed[i] < to; i++ {
		begin, seconds := t.elapsed[i], t.stands[i]
		if until := begin + seconds; begin < from || until > to {
			seconds = min(until, to) - max(begin, from)
		}
		if seconds > 0 && known(t.values[i]) {
			sum.weighted += float64(t.values[i] * seconds)
			sum.seconds += seconds
		}
	}
	return sum
}

// fit returns the moments of samples [i, end) that begin in [from, to), about the
// time of sample i.
func (t *track) fit(i, end int, to float64) (m moments) {
	start, origin := t.elapsed[i], t.origin()
	for ; i < end && t.elapsed[i] < to; i++ {
		value, at := t.values[i], t.elapsed[i]
		if !known(value) {
			continue
		}
		stands := max(0, min(t.stands[i], to-at))
		dx, dy := at+stands/2-start, value-origin
		m.w += stands
		m.x += float64(stands * dx)
		m.y += float64(stands * dy)
		m.xx += float64(stands * dx * dx)
		m.xy += float64(stands * dx * dy)
		m.yy += float64(stands * dy * dy)
	}
	return m
}

// origin is the first known value of the track: sums of differences from it keep
// their digits.
func (t *track) origin() float64 {
	if !t.based {
		t.based = true
		for _, v := range t.values {
			if known(v) {
				t.base = v
				break
			}
		}
	}
	return t.base
}
