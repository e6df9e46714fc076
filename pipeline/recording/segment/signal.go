package segment

import (
	"math"

	"soletrial/pipeline/stats"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Engineering choices, no source.
const (
	gapS      = 15        // time without a sample that ends a section, at least
	gapSteps  = 4         // and at least so many usual steps between samples
	maxSpanS  = 4 * 86400 // longer than any recording
	distanceS = 10        // seconds over which speed is taken from distance
	restHeart = 50        // bpm that count as no effort
)

// signal is one channel that tells effort, as sections without a break.
type signal struct {
	channel  trial.Channel
	sections []section
}

// section is a part of a channel without a long gap or a pause.
type section struct{ at, value []float64 }

// Effort returns the channel that tells the effort of a recording best: power,
// else speed (or distance, from which speed can be had), else cadence, else heart
// rate; false when none has a value.
func Effort(s *trial.Samples) (trial.Channel, bool) {
	for _, c := range []trial.Channel{
		trial.PowerW, trial.SpeedMps, trial.DistanceM, trial.CadenceSpm, trial.HeartRateBpm,
	} {
		switch {
		case !s.Has(c):
		case c == trial.DistanceM:
			return trial.SpeedMps, true
		default:
			return c, true
		}
	}
	return trial.PowerW, false
}

// signals lists the channels by which blocks can be found. Power and speed are
// both tried; cadence tells running from walking only, and heart rate lags, so
// they serve where nothing else does.
func signals(e Evidence) []signal {
	if e.Samples == nil {
		e.Samples = &trial.Samples{}
	}
	var list []signal
	add := func(c trial.Channel, values []float64) {
		if s := newSignal(e, c, values); len(s.sections) > 0 {
			list = append(list, s)
		}
	}
	add(trial.PowerW, e.Samples.Values[trial.PowerW])
	add(trial.SpeedMps, speed(e.Samples))
	if len(list) == 0 {
		add(trial.CadenceSpm, e.Samples.Values[trial.CadenceSpm])
	}
	if len(list) == 0 {
		add(trial.HeartRateBpm, e.Samples.Values[trial.HeartRateBpm])
	}
	if len(list) == 0 {
		if laps := lapSpeeds(e.Laps); laps.Len() > 1 {
			e.Samples = laps
			add(trial.SpeedMps, laps.Values[trial.SpeedMps])
		}
	}
	return list
}

// lapSpeeds is a recording with the mean speed of each lap in every second of it,
// for devices that record laps only.
func lapSpeeds(laps []trial.Lap) *trial.Samples {
	s := &trial.Samples{}
	for _, lap := range laps {
		if length := lap.EndS - lap.StartS; length > 0 && length < maxSpanS && lap.DistanceM > 0 {
			for t := lap.StartS; t < lap.EndS; t++ {
				s.Elapsed = append(s.Elapsed, t)
				s.Values[trial.SpeedMps] = append(s.Values[trial.SpeedMps], lap.DistanceM/length)
			}
		}
	}
	return s
}

// speed is the recorded speed, or the distance per time where none is recorded.
func speed(s *trial.Samples) []float64 {
	if s.Has(trial.SpeedMps) || !s.Has(trial.DistanceM) {
		return s.Values[trial.SpeedMps]
	}
	distance := s.Values[trial.DistanceM]
	values := make([]float64, s.Len())
	from := 0
	for i, t := range s.Elapsed {
		values[i] = units.Missing
		if !units.Known(distance[i]) {
			continue
		}
		for from < i && (t-s.Elapsed[from] > distanceS || !units.Known(distance[from])) {
			from++
		}
		if dt := t - s.Elapsed[from]; dt > 0 && distance[i] >= distance[from] {
			values[i] = (distance[i] - distance[from]) / dt
		}
	}
	return values
}

// newSignal ends a section at every pause, however short, and where there is no
// sample for long. Samples whose clock does not advance are passed over. Heart
// rate is counted from restHeart, so that its ratios mean effort.
func newSignal(e Evidence, c trial.Channel, values []float64) signal {
	s, current := signal{channel: c}, section{}
	longest := max(gapS, float64(gapSteps*usualStep(e.Samples.Elapsed)))
	finish := func() {
		if len(current.at) > 1 {
			s.sections = append(s.sections, current)
		}
		current = section{}
	}
	// A gap, a pause or a span that is too long ends a section; time never goes back.
	pauses := e.Pauses
	for i, t := range e.Samples.Elapsed {
		if len(values) <= i || !units.Known(values[i]) {
			continue
		}
		n := len(current.at)
		if n > 0 && t <= current.at[n-1] {
			continue
		}
		if n > 0 &&
			(t-current.at[n-1] > longest || t-current.at[0] > maxSpanS || pausedBetween(pauses, current.at[n-1], t)) {
			finish()
		}
		v := values[i]
		if c == trial.HeartRateBpm {
			v = max(0, v-restHeart)
		}
		current.at, current.value = append(current.at, t), append(current.value, v)
	}
	finish()
	return s
}

// usualStep is the median time between samples.
func usualStep(elapsed []float64) float64 {
	var steps []float64
	for i := 1; i < len(elapsed); i++ {
		if d := elapsed[i] - elapsed[i-1]; d > 0 {
			steps = append(steps, d)
		}
	}
	if len(steps) == 0 {
		return 1
	}
	return stats.Median(steps)
}

// pausedBetween reports whether a pause lies between two samples.
func pausedBetween(pauses []trial.Pause, from, to float64) bool {
	for _, p := range pauses {
		if p.StartS >= from && p.StartS < to && p.EndS > from {
			return true
		}
	}
	return false
}

// within returns the values of the samples from one time to another, at most
// those of one section.
func (s section) within(from, to float64) []float64 {
	lo, hi := s.index(from), s.index(to)
	return s.value[lo:hi]
}

// index is that of the first sample at or after a time.
func (s section) index(t float64) int {
	lo, hi := 0, len(s.at)
	for lo < hi {
		if m := (lo + hi) / 2; s.at[m] < t {
			lo = m + 1
		} else {
			hi = m
		}
	}
	return lo
}

// mean is the plain mean of all samples from one time to another, NaN without any.
func (s signal) mean(from, to float64) float64 {
	sum, n := 0.0, 0.0
	for _, part := range s.sections {
		for _, v := range part.within(from, to) {
			sum, n = sum+v, n+1
		}
	}
	return sum / n
}

// unit turns a mean of the signal into the channel's unit.
func (s signal) unit(v float64) float64 {
	if s.channel == trial.HeartRateBpm {
		return v + restHeart
	}
	return v
}

// positive are the values above zero of all sections.
func (s signal) positive() []float64 {
	var values []float64
	for _, part := range s.sections {
		for _, v := range part.value {
			if v > 0 && !math.IsInf(v, 0) {
				values = append(values, v)
			}
		}
	}
	return values
}

// Mean is the plain mean of a channel's samples from one time to another, missing
// where there is none. Speed is taken from distance where it is not recorded.
func Mean(s *trial.Samples, c trial.Channel, from, to float64) float64 {
	values := s.Values[c]
	if c == trial.SpeedMps {
		values = speed(s)
	}
	sum, n := 0.0, 0.0
	for i, t := range s.Elapsed {
		if t >= from && t < to && i < len(values) && units.Known(values[i]) {
			sum, n = sum+values[i], n+1
		}
	}
	return sum / n
}
