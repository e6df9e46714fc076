package quality

import (
	"math"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// hold keeps a channel at one value for the samples [from, to).
func (w *fixture) hold(c trial.Channel, from, to int, value float64) {
	for i := from; i < to; i++ {
		w.values(c)[i] = value
	}
}

// The steady window of block 1 is samples 180 to 434; without a bend, power reads
// 252 W at sample 299, 248 W at 300 and 250 W at 301.
var sampleCases = []ruleCase{
	{"time-repeated", "one second twice", func(w *fixture) { w.samples().Elapsed[50] = 49 }, trial.Warn, "", 1, 0},
	{"time-repeated", "half a second", func(w *fixture) { w.samples().Elapsed[50] = 49.5 }, "", "", none, none},
	{"value-frozen", "power stands still for 31 s", func(w *fixture) { w.hold(trial.PowerW, 200, 232, 251) },
		trial.Warn, "1", 31, 30},
	{"value-frozen", "heart rate stands still for 91 s", func(w *fixture) { w.hold(trial.HeartRateBpm, 310, 402, 160) },
		trial.Warn, "1", 91, 90},
	{"value-frozen", "the channel that is worst against its own limit", func(w *fixture) {
		w.hold(trial.HeartRateBpm, 310, 402, 160)
		w.hold(trial.PowerW, 200, 233, 251)
	}, trial.Warn, "1", 32, 30},
	{"value-frozen", "from the second sample of the window on",
		func(w *fixture) { w.hold(trial.PowerW, 181, 213, 253) }, trial.Warn, "1", 31, 30},
	{"value-frozen", "into the window for 31 s", func(w *fixture) { w.hold(trial.PowerW, 150, 212, 253) }, trial.Warn,
		"1", 31, 30},
	{"value-frozen", "into the window for 30 s", func(w *fixture) { w.hold(trial.PowerW, 150, 211, 253) }, "", "", none,
		none},
	{"value-frozen", "out of the window", func(w *fixture) { w.hold(trial.PowerW, 403, 600, 253) }, trial.Warn, "1", 31,
		30},
	{"value-frozen", "the longer of two stretches", func(w *fixture) {
		w.hold(trial.PowerW, 200, 234, 251)
		w.hold(trial.PowerW, 240, 276, 253)
		w.hold(trial.PowerW, 280, 314, 251)
	}, trial.Warn, "1", 35, 30},
	{"value-frozen", "across a gap as long as is allowed",
		func(w *fixture) { w.hold(trial.PowerW, 200, 240, 251); w.cut(215, 219) }, trial.Warn, "1", 39, 30},
	{"value-frozen", "30 s", func(w *fixture) { w.hold(trial.PowerW, 200, 231, 251) }, "", "", none, none},
	{"value-frozen", "cadence for 60 s", func(w *fixture) { w.hold(trial.CadenceSpm, 200, 261, 181) }, "", "", none,
		none},
	{"value-frozen", "the same value before and after a blank", func(w *fixture) {
		w.hold(trial.PowerW, 200, 240, 251)
		w.blank(trial.PowerW, 220, 221)
	}, "", "", none, none},
	{"value-frozen", "the same value before and after a gap",
		func(w *fixture) { w.hold(trial.PowerW, 200, 240, 251); w.cut(215, 225) }, "", "", none, none},
	{
		"value-frozen", "between two blocks", func(w *fixture) { w.hold(trial.PowerW, 450, 600, 251) }, "", "", none,
		none,
	},
	{"value-spike", "one sample of 350 W", func(w *fixture) { w.values(trial.PowerW)[300] = 350 }, trial.Warn, "1",
		9900.0 / 251, 30},
	{
		"value-spike", "a drop to nothing", func(w *fixture) { w.values(trial.PowerW)[300] = 0 }, trial.Warn, "1", 100,
		30,
	},
	{"value-spike", "between neighbours 40 W apart, 100 W above their mean", func(w *fixture) {
		w.values(trial.PowerW)[300], w.values(trial.PowerW)[301] = 372, 292
	}, trial.Warn, "1", 10_000.0 / 272, 30},
	{"value-spike", "between neighbours half as far apart as it is above", func(w *fixture) {
		w.values(trial.PowerW)[300], w.values(trial.PowerW)[301] = 377, 302
	}, "", "", none, none},
	{"value-spike", "one sample of 320 W", func(w *fixture) { w.values(trial.PowerW)[300] = 320 }, "", "", none, none},
	{
		"value-spike", "a step up that stays", func(w *fixture) { w.hold(trial.PowerW, 300, 435, 400) }, "", "", none,
		none,
	},
	{"value-spike", "beside a gap", func(w *fixture) { w.values(trial.PowerW)[300] = 350; w.cut(301, 306) }, "", "",
		none, none},
	{"value-spike", "beside samples that are wrong themselves",
		func(w *fixture) { w.hold(trial.PowerW, 290, 310, 20); w.values(trial.PowerW)[300] = 30 }, "", "", none, none},
	{"value-spike", "before the steady window", func(w *fixture) { w.values(trial.PowerW)[170] = 350 }, "", "", none,
		none},
	{"distance-falling", "10 m lost at once", func(w *fixture) { w.walkOn(); w.values(trial.DistanceM)[300] -= 10 },
		trial.Warn, "1", 6.25, 0},
	{"distance-falling", "10 m lost after a blank", func(w *fixture) {
		w.walkOn()
		w.values(trial.DistanceM)[300] -= 10
		w.values(trial.DistanceM)[299] = units.Missing
	}, trial.Warn, "1", 2.5, 0},
	{"distance-falling", "standing still", func(w *fixture) {
		w.walkOn()
		w.values(trial.DistanceM)[300] = w.values(trial.DistanceM)[299]
	}, "", "", none, none},
	{"distance-falling", "a new count between two blocks", func(w *fixture) {
		w.walkOn()
		for i := 500; i < soundSamples; i++ {
			w.values(trial.DistanceM)[i] -= 1800
		}
	}, "", "", none, none},
	{"speed-distance", "a speed 4 % too low", func(w *fixture) { w.walkOn(); w.fill(1, trial.SpeedMps, 3.6) },
		trial.Warn, "2", 100 * (3.75/3.6 - 1), 3},
	{"speed-distance", "a speed 2.7 % too low", func(w *fixture) { w.walkOn(); w.fill(1, trial.SpeedMps, 3.65) }, "",
		"", none, none},
	{"speed-distance", "no speed of its own", func(w *fixture) { w.walkOn(); w.samples().Values[trial.SpeedMps] = nil },
		"", "", none, none},
	{"speed-distance", "no distance", func(w *fixture) { w.fill(1, trial.SpeedMps, 3) }, "", "", none, none},
}

var unitCases = []ruleCase{
	{"unit-wrong", "steps of one leg", func(w *fixture) { w.fill(1, trial.CadenceSpm, 90) }, trial.Stop, "2", 90, 145},
	{"unit-wrong", "strides for steps", func(w *fixture) { w.fill(1, trial.StepLengthM, 2.5) }, trial.Stop, "2", 2.5,
		1.9},
	{"unit-wrong", "centimetres", func(w *fixture) { w.fill(1, trial.StepLengthM, 125) }, trial.Stop, "2", 125, 1.9},
	{"unit-wrong", "km/h", func(w *fixture) { w.fill(1, trial.SpeedMps, 13.5) }, trial.Stop, "2", 13.5, 6.5},
	{"unit-wrong", "seconds", func(w *fixture) { w.fill(1, trial.ContactMs, 0.24) }, trial.Stop, "2", 0.24, 150},
	{"unit-wrong", "millimetres", func(w *fixture) { w.fill(1, trial.OscillationCm, 80) }, trial.Stop, "2", 80, 13},
	{"unit-wrong", "metres", func(w *fixture) { w.fill(1, trial.OscillationCm, 0.08) }, trial.Stop, "2", 0.08, 4},
	{
		"unit-wrong", "beats per second", func(w *fixture) { w.fill(1, trial.HeartRateBpm, 2.5) }, trial.Stop, "2", 2.5,
		90,
	},
	{"unit-wrong", "minutes", func(w *fixture) {
		for i := range w.samples().Elapsed {
			w.samples().Elapsed[i] /= 60
		}
	}, trial.Stop, "", 1.0 / 60, none},
	{"unit-wrong", "a hundred samples a second", func(w *fixture) {
		for i := range w.samples().Elapsed {
			w.samples().Elapsed[i] /= 100
		}
	}, "", "", none, none},
	{"unit-wrong", "a low cadence, twice which is too much", func(w *fixture) { w.fill(1, trial.CadenceSpm, 144) }, "",
		"", none, none},
	{"unit-wrong", "walking", func(w *fixture) { w.fill(1, trial.CadenceSpm, 110); w.fill(1, trial.SpeedMps, 1.9) }, "",
		"", none, none},
	{"unit-wrong", "long steps of a fast runner", func(w *fixture) {
		w.fill(1, trial.StepLengthM, 2)
		w.fill(1, trial.CadenceSpm, 195)
		w.fill(1, trial.SpeedMps, 6.5)
	}, "", "", none, none},
	{"unit-wrong", "a channel whose limits were taken away", func(w *fixture) {
		delete(w.limits().Ranges, "cadence_spm")
		w.fill(1, trial.CadenceSpm, 90)
	}, "", "", none, none},
}

// swing writes a value that swings by d either way with a period of 3 s.
func (w *fixture) swing(i int, c trial.Channel, value, d float64) {
	w.write(i, c, func(t float64) float64 { return value + d*(math.Mod(t, 3)-1) })
}

// ramp writes a value that changes by slope a second, through value in the middle
// of block 1's steady window.
func (w *fixture) ramp(c trial.Channel, value, slope float64) {
	w.write(0, c, func(t float64) float64 { return value + slope*(t-307) })
}

var byShoeCases = []ruleCase{
	{"ground-distance", "1237.5 m on 1200 m", func(w *fixture) { w.block(1).DistanceM = 1200 }, trial.Warn, "2", 3.125,
		3},
	{"ground-distance", "1237.5 m on 1100 m", func(w *fixture) { w.block(1).DistanceM = 1100 }, trial.Stop, "2", 12.5,
		10},
	{"ground-distance", "1237.5 m on three laps", func(w *fixture) { w.block(1).DistanceM, w.block(1).Laps = none, 3 },
		trial.Warn, "2", 3.125, 3},
	{"ground-distance", "1237.5 m on 1205 m", func(w *fixture) { w.block(1).DistanceM = 1205 }, "", "", none, none},
	{"ground-distance", "nobody measured", func(w *fixture) { w.block(1).DistanceM = none }, "", "", none, none},
	{"effort-unsteady", "swinging by 10 %", func(w *fixture) { w.swing(0, trial.PowerW, 250, 25) }, trial.Warn, "1",
		10 * math.Sqrt(2.0/3), 8},
	{"effort-unsteady", "swinging by 9.6 %", func(w *fixture) { w.swing(0, trial.PowerW, 250, 24) },
		"", "", none, none},
	{"effort-unsteady", "a speed that was not held", func(w *fixture) { w.swing(0, trial.SpeedMps, 3.75, 1) }, "", "",
		none, none},
	{
		"effort-drifting", "rising by 5.1 %", func(w *fixture) { w.ramp(trial.PowerW, 250, 0.05) }, trial.Warn, "1",
		5.1, 5,
	},
	{"effort-drifting", "falling by 5.1 %", func(w *fixture) { w.ramp(trial.PowerW, 250, -0.05) }, trial.Warn, "1",
		-5.1, 5},
	{"effort-drifting", "rising by 4.9 %", func(w *fixture) { w.ramp(trial.PowerW, 250, 0.048) }, "", "", none, none},
	{"heart-unsettled", "rising by 3.3 bpm per minute", func(w *fixture) { w.ramp(trial.HeartRateBpm, 155, 0.055) },
		trial.Warn, "1", 3.3, 3},
	{"heart-unsettled", "falling by 3.3 bpm per minute", func(w *fixture) { w.ramp(trial.HeartRateBpm, 155, -0.055) },
		trial.Warn, "1", -3.3, 3},
	{"heart-unsettled", "rising by 2.7 bpm per minute", func(w *fixture) { w.ramp(trial.HeartRateBpm, 155, 0.045) }, "",
		"", none, none},
	{"ground-by-shoe", "1.2 % more in birch", func(w *fixture) {
		w.block(1).DistanceM /= 1.012
		w.block(2).DistanceM /= 1.012
	}, trial.Warn, "", 1.2, 1},
	{"ground-by-shoe", "0.8 % more in birch", func(w *fixture) {
		w.block(1).DistanceM /= 1.008
		w.block(2).DistanceM /= 1.008
	}, "", "", none, none},
	{"ground-by-shoe", "5 % more in every shoe", func(w *fixture) {
		for i := range w.session().Blocks {
			w.block(i).DistanceM /= 1.05
		}
	}, "", "", none, none},
	{"ground-by-shoe", "measured in one shoe only", func(w *fixture) {
		w.block(0).DistanceM, w.block(3).DistanceM, w.block(1).DistanceM = none, none, 1200
	}, "", "", none, none},
	{"step-by-shoe", "1.6 % more in birch", func(w *fixture) {
		w.fill(1, trial.StepLengthM, 1.27)
		w.fill(2, trial.StepLengthM, 1.27)
	}, trial.Warn, "", 1.6, 1},
	{
		"step-by-shoe", "0.8 % more in birch", func(w *fixture) { w.fill(1, trial.StepLengthM, 1.27) }, "", "", none,
		none,
	},
}
