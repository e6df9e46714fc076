package figure

import "math"

// Smooth returns the line with every value replaced by the mean of the values within half
// the given span of seconds before and after it, without looking past a gap: the line then
// shows the block and not the noise of its samples. A missing value stays missing.
func (l TraceLine) Smooth(span float64) TraceLine {
	smoothed := l
	smoothed.Values = make([]float64, len(l.Values))
	for i := range l.Values {
		smoothed.Values[i] = math.NaN()
	}
	for _, run := range l.runs() {
		from, to, sum := run[0], run[0], 0.0
		for i := run[0]; i < run[1]; i++ {
			for to < run[1] && l.Seconds[to] <= l.Seconds[i]+span/2 {
				sum += l.Values[to]
				to++
			}
			for l.Seconds[from] < l.Seconds[i]-span/2 {
				sum -= l.Values[from]
				from++
			}
			smoothed.Values[i] = sum / float64(to-from)
		}
	}
	return smoothed
}

// Every returns the line with one sample for each so many seconds, and the first and the
// last of every stretch without a gap.
func (l TraceLine) Every(seconds float64) TraceLine {
	runs := l.runs()
	room := 3 * len(runs)
	if n := len(l.Seconds); n > 0 && seconds > 0 {
		room += int(math.Max(0, math.Min(float64(n), (l.Seconds[n-1]-l.Seconds[0])/seconds)))
	}
	thinned := TraceLine{Shoe: l.Shoe, Gap: l.Gap, Excluded: l.Excluded, Seconds: make([]float64, 0, room),
		Values: make([]float64, 0, room)}
	if thinned.Gap > 0 {
		thinned.Gap += seconds
	}
	add := func(i int, value float64) {
		thinned.Seconds, thinned.Values = append(thinned.Seconds, l.Seconds[i]), append(thinned.Values, value)
	}
	for n, run := range runs {
		if n > 0 {
			add(run[0], math.NaN()) // the gap stays a gap
		}
		last := math.Inf(-1)
		for i := run[0]; i < run[1]; i++ {
			if l.Seconds[i]-last >= seconds || i == run[1]-1 {
				add(i, l.Values[i])
				last = l.Seconds[i]
			}
		}
	}
	return thinned
}
