package align_test

import (
	"math"
	"math/rand/v2"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// invented is a run that nobody ran: what one channel truly was, ten times a
// second, so that two devices can sample it at moments of their own.
type invented []float64

const perSecond = 10

// wandering is steady running: slow wander with a memory of 12 s and a small
// swing of the step, around level.
func wandering(seconds int, level, swing float64, chance *rand.Rand) invented {
	out := make(invented, seconds*perSecond)
	slow, quick := 0.0, 0.0
	for i := range out {
		slow += -slow/120 + chance.NormFloat64()*swing*math.Sqrt(2.0/120)
		quick += (slow - quick) / 15 // a device answers within 1.5 s
		out[i] = level + quick
	}
	return out
}

// intervals replaces every rest by standing: blocks and rests in turn. A runner
// takes two seconds to stop and to start.
func (v invented) intervals(blockS, restS int) invented {
	running := func(i int) float64 {
		if i/perSecond%(blockS+restS) < blockS {
			return 1
		}
		return 0
	}
	out := make(invented, len(v))
	for i := range v {
		for k := range 2 * perSecond {
			out[i] += v[i] * running(i+k) / (2 * perSecond)
		}
	}
	return out
}

func (v invented) at(t float64) float64 {
	i := int(math.Floor(t * perSecond))
	if i < 0 || i+1 >= len(v) {
		return units.Missing
	}
	f := t*perSecond - float64(i)
	return v[i]*(1-f) + v[i+1]*f
}

// device samples the run: its second e is second begin + e(1+ppm/1e6) of it.
type device struct {
	begin, ppm, noise, dropout, resolution float64
	every                                  float64 // seconds between samples; 1 when zero
	channel                                trial.Channel
}

func (d device) samples(v invented, chance *rand.Rand) *trial.Samples {
	step := max(d.every, 1)
	s := &trial.Samples{}
	for e := 0.0; ; e += step {
		t := d.begin + e*(1+d.ppm*1e-6)
		x := v.at(t)
		if !units.Known(x) && t > 0 {
			break
		}
		if chance.Float64() < d.dropout {
			x = units.Missing
		}
		if x > 0 {
			x += chance.NormFloat64() * d.noise
		}
		if d.resolution > 0 {
			x = math.Round(x/d.resolution) * d.resolution
		}
		s.Elapsed = append(s.Elapsed, e)
		s.Values[d.channel] = append(s.Values[d.channel], x)
	}
	return s
}

func seeded(seed uint64) *rand.Rand { return rand.New(rand.NewPCG(seed, 2)) }
