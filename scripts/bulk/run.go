package main

import (
	"math/rand/v2"
	"strconv"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// run records one session second by second. Everything is counted in whole
// numbers of the smallest unit that is written: tenths of a watt, mm/s, mm.
type run struct {
	rng     *rand.Rand
	effort  trial.Effort
	target  int // tenths of a watt
	clock   int // s
	walked  int // mm
	heart   int // thousandths of a beat per minute
	wobble  int // of the held effort, parts of ten thousand
	samples trial.Samples
}

func newRun(rng *rand.Rand, effort trial.Effort, target float64) *run {
	return &run{rng: rng, effort: effort, target: 10 * int(target), heart: 80_000}
}

// noise returns a whole number about zero with the given standard deviation: the
// sum of four uniform numbers, whose own is 65536 / sqrt(3).
func (r *run) noise(sd int) int {
	bits := r.rng.Uint64()
	sum := int(bits&0xffff) + int(bits>>16&0xffff) + int(bits>>32&0xffff) + int(bits>>48)
	return (sum - 2*0xffff) * sd / 37837
}

// all records the warm-up and the blocks with their rests, and returns the blocks.
func (r *run) all(order []shoe, seconds int, target float64) []trial.Block {
	// A sixth is warm-up; of the rest every block takes five sixths of its slot.
	warmUp := seconds / 6
	slot := (seconds - warmUp) / len(order)
	length := slot * 5 / 6
	for range warmUp {
		r.rest()
	}

	// Block after block, each with a rest behind it.
	var blocks []trial.Block
	for i, s := range order {
		b := trial.Block{
			ID: strconv.Itoa(i + 1), Shoe: s.id, Start: float64(r.clock), End: float64(r.clock + length),
			Target:    target,
			DistanceM: units.Missing, Laps: units.Missing, RPE: float64(4 + i/3), ComfortMm: float64(60 + r.noise(5)),
		}
		for m := range b.Measured {
			b.Measured[m] = units.Missing
		}
		blockFactor := r.noise(35)
		for range length {
			r.stride(s, blockFactor)
		}
		for range slot - length {
			r.rest()
		}
		blocks = append(blocks, b)
	}
	return blocks
}

// rest is a second of walking.
func (r *run) rest() {
	r.heart += (100_000 - r.heart) / 45
	r.record(600+r.noise(60), 1250+r.noise(100), 208+r.noise(4), 600+r.noise(20), 360+r.noise(30))
}

// stride is a second of a block: 250 W come to 3.8 m/s in the first shoe.
func (r *run) stride(s shoe, blockFactor int) {
	r.wobble += r.noise(40) - r.wobble/16
	factor := s.speed + blockFactor
	power, speed := 0, 0
	if r.effort == trial.Pace {
		speed = 3704 * (10_000 + r.wobble) / 10_000
		power = speed * 10_000 * 25 / (38 * factor)
	} else {
		power = r.target * (10_000 + r.wobble) / 10_000
		speed = power * 38 * factor / (25 * 10_000)
	}
	r.heart += (power*46 + 45_000 - r.heart) / 58
	r.record(power+r.noise(45), speed+r.noise(25), 358+r.noise(2), 226+s.contact+r.noise(3), 790+r.noise(12))
}

// record appends one second: power in tenths of a watt, speed in mm/s, cadence in
// half steps a minute, contact in ms, oscillation in hundredths of a centimetre.
// One second in a few hundred is lost on the way.
func (r *run) record(power, speed, cadence, contact, oscillation int) {
	r.walked += speed
	step := speed * 2 * 60 * 10 / cadence // tenths of a millimetre
	lost := r.rng.IntN(400) == 0
	r.samples.Elapsed = append(r.samples.Elapsed, float64(r.clock))
	for _, v := range []struct {
		channel  trial.Channel
		value    int
		fraction float64
	}{
		{trial.PowerW, power / 10 * 10, 10}, {trial.SpeedMps, speed, 1000}, {trial.DistanceM, r.walked / 10, 100},
		{trial.CadenceSpm, cadence, 2},
		{trial.StepLengthM, step, 10_000}, {trial.ContactMs, contact, 1}, {trial.OscillationCm, oscillation, 100},
		{trial.HeartRateBpm, (r.heart + r.noise(600)) / 1000, 1},
	} {
		value := float64(v.value) / v.fraction
		if lost && v.channel != trial.DistanceM {
			value = units.Missing
		}
		r.samples.Values[v.channel] = append(r.samples.Values[v.channel], value)
	}
	r.clock++
}
