package segment_test

import (
	"math"
	"math/rand/v2"

	"soletrial/pipeline/recording/segment"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// leg is a part of an invented session: some seconds at one power, as a block or
// not. Without samples the watch was stopped.
type leg struct {
	seconds, watts float64
	block          bool
	stopped        bool
}

func easy(seconds, watts float64) leg   { return leg{seconds: seconds, watts: watts} }
func effort(seconds, watts float64) leg { return leg{seconds: seconds, watts: watts, block: true} }
func stop(seconds float64) leg          { return leg{seconds: seconds, stopped: true} }

// repeat is a block and what follows it, so many times.
func repeat(n int, legs ...leg) (all []leg) {
	for range n {
		all = append(all, legs...)
	}
	return all
}

func legs(parts ...[]leg) (all []leg) {
	for _, p := range parts {
		all = append(all, p...)
	}
	return all
}

// session is an invented session: what a watch recorded, and the truth.
type session struct {
	samples *trial.Samples
	edges   []float64 // where each leg starts, and the end
	pauses  []trial.Pause
	truth   [][2]float64
}

// invent makes a session of legs, one sample a second. Power wavers about that of
// the leg for some seconds as a runner does and takes 15 s to rise, speed follows
// it, heart rate follows slowly. Nobody ran it.
func invent(noise float64, all []leg) session {
	chance := rand.New(rand.NewPCG(3, 4))
	s := session{samples: &trial.Samples{}}
	t, waver, power, heart, distance := 0.0, 0.0, 60.0, 95.0, 0.0
	for _, l := range all {
		s.edges = append(s.edges, t)
		if l.block {
			s.truth = append(s.truth, [2]float64{t, t + l.seconds})
		}
		if l.stopped {
			s.pauses = append(s.pauses, trial.Pause{StartS: t, EndS: t + l.seconds})
			t, power, heart = t+l.seconds, 60, max(95, heart-l.seconds/4)
			continue
		}
		for range int(l.seconds) {
			waver += -waver/5 + noise*chance.NormFloat64()*math.Sqrt(0.36)
			if power += (l.watts - power) / 8; l.watts < power {
				power = l.watts
			}
			wanted := 70 + 0.35*l.watts
			heart += (wanted - heart) / 40
			speed := max(0, power+waver) / 67
			distance += speed
			s.add(t, max(0, power+waver), speed, distance, heart)
			t++
		}
	}
	s.edges = append(s.edges, t)
	return s
}

func (s *session) add(t, power, speed, distance, heart float64) {
	s.samples.Elapsed = append(s.samples.Elapsed, t)
	for c, v := range map[trial.Channel]float64{trial.PowerW: power, trial.SpeedMps: speed,
		trial.DistanceM: math.Round(distance*10) / 10, trial.HeartRateBpm: math.Round(heart)} {
		s.samples.Values[c] = append(s.samples.Values[c], v)
	}
}

// only leaves the session nothing but some channels.
func (s session) only(channels ...trial.Channel) session {
	reduced := &trial.Samples{Elapsed: s.samples.Elapsed}
	for _, c := range channels {
		reduced.Values[c] = s.samples.Values[c]
	}
	s.samples = reduced
	return s
}

// wave multiplies a channel by a wave, as hills do.
func (s session) wave(c trial.Channel, share, period float64) session {
	values := make([]float64, s.samples.Len())
	for i, v := range s.samples.Values[c] {
		values[i] = v * (1 + share*math.Sin(2*math.Pi*s.samples.Elapsed[i]/period))
	}
	copied := *s.samples
	copied.Values[c] = values
	s.samples = &copied
	return s
}

// sparse keeps a sample every one to nine seconds, as watches do that save space.
func (s session) sparse() session {
	chance, kept := rand.New(rand.NewPCG(1, 2)), &trial.Samples{}
	next := 0.0
	for i, t := range s.samples.Elapsed {
		if t < next {
			continue
		}
		next = t + 1 + float64(chance.IntN(9))
		kept.Elapsed = append(kept.Elapsed, t)
		for c := range s.samples.Values {
			if s.samples.Values[c] != nil {
				kept.Values[c] = append(kept.Values[c], s.samples.Values[c][i])
			}
		}
	}
	s.samples = kept
	return s
}

// laps are those between some of the edges of the legs, by number.
func (s session) laps(edges ...int) []trial.Lap {
	var laps []trial.Lap
	at := 0.0
	for _, e := range append(edges, len(s.edges)-1) {
		laps = append(laps, s.lap(at, s.edges[e], "manual"))
		at = s.edges[e]
	}
	return laps
}

func (s session) lap(from, to float64, trigger string) trial.Lap {
	return trial.Lap{StartS: from, EndS: to, DistanceM: s.distance(to) - s.distance(from), Trigger: trigger}
}

// distance is what the watch had counted at a time.
func (s session) distance(t float64) float64 {
	last := 0.0
	for i, at := range s.samples.Elapsed {
		if at <= t {
			last = s.samples.Values[trial.DistanceM][i]
		}
	}
	return last
}

// evidence is what the watch gives of the session.
func (s session) evidence(laps ...trial.Lap) segment.Evidence {
	return segment.Evidence{
		Samples: s.samples, Laps: laps, Pauses: s.pauses, Target: units.Missing, BlockS: units.Missing,
	}
}
