package quality

import (
	"math"
	"strings"
	"testing"

	"soletrial/pipeline/stats"
	"soletrial/pipeline/trial"
)

// uneven holds birch so much harder than alder, as a logarithm, in the second session, which
// is the only one with numbers for it then.
func uneven(effort trial.Effort, log float64) func(w *fixture) {
	return func(w *fixture) {
		w.order("")
		for i := range w.other().Blocks {
			b := &w.other().Blocks[i]
			harder := 0.0
			if b.Shoe == "birch" {
				harder = log
			}
			b.Measured[trial.MeasureSpeed] = 4 * math.Exp(harder)
			b.Measured[trial.MeasurePower] = 250 * math.Exp(harder)
			b.Measured[trial.MeasureHeartRate] = 150 * math.Exp(harder)
			b.Target, b.DistanceM = map[trial.Effort]float64{trial.Power: 250, trial.Pace: 250,
				trial.HeartRate: 150}[effort], none
		}
		w.other().Facts.Effort = string(effort)
	}
}

// By hand: the exponents are 0.90, 0.70 and 1.40 and the limit is 0.375 %, half of 0.75 %. So
// 0.5 % more power is 0.449 % of speed and fires, and 0.4 % is 0.359 % and does not; of pace
// it takes 0.6 % (0.420 %, and 0.5 % is 0.350 %); of heart rate 0.3 % (0.420 %, and 0.2 % is
// 0.280 %).
var unevenCases = []ruleCase{
	{"effort-uneven", "0.5 % more power", uneven(trial.Power, math.Log(1.005)), trial.Warn, "",
		100 * (math.Pow(1.005, 0.9) - 1), 0.375},
	{"effort-uneven", "0.4 % more power", uneven(trial.Power, math.Log(1.004)), "", "", none, none},
	{"effort-uneven", "0.376 % of speed", uneven(trial.Power, math.Log(1.00376)/0.9), trial.Warn, "", 0.376, 0.375},
	{"effort-uneven", "0.374 % of speed", uneven(trial.Power, math.Log(1.00374)/0.9), "", "", none, none},
	{"effort-uneven", "0.6 % less pace", uneven(trial.Pace, -math.Log(1.006)), trial.Warn, "",
		100 * (math.Pow(1.006, 0.7) - 1), 0.375},
	{"effort-uneven", "0.5 % more pace", uneven(trial.Pace, math.Log(1.005)), "", "", none, none},
	{"effort-uneven", "0.3 % more heart rate", uneven(trial.HeartRate, math.Log(1.003)), trial.Warn, "",
		100 * (math.Pow(1.003, 1.4) - 1), 0.375},
	{"effort-uneven", "0.2 % more heart rate", uneven(trial.HeartRate, math.Log(1.002)), "", "", none, none},
	{"effort-uneven", "harder in one session, softer in the other", func(w *fixture) {
		w.fill(1, trial.PowerW, 255)
		w.fill(2, trial.PowerW, 255)
		w.held(trial.MeasurePower, 245, 250, 250, 245)
	}, "", "", none, none},
	{"effort-uneven", "harder at a target of its own",
		func(w *fixture) { w.fill(1, trial.PowerW, 300); w.block(1).Target = 300 }, "", "", none, none},
	{"effort-uneven", "harder in a block that was excluded",
		func(w *fixture) { w.fill(1, trial.PowerW, 300); w.block(1).Excluded = true }, "", "", none, none},
	{"effort-uneven", "an exponent of 0", func(w *fixture) {
		uneven(trial.Power, 0.02)(w)
		w.ds.Facts.Method.PowerExponent = 0
	}, "", "", none, none},
}

// threeShoes gives the dataset a third session and shoe, and these orders.
func (w *fixture) threeShoes(first, second, third string) {
	w.order(first)
	w.other().Blocks = lined(second)
	facts := soundFacts("two")
	w.ds.Sessions = append(w.ds.Sessions, trial.Session{ID: "wednesday", Facts: facts, Plan: &trial.PlanFacts{},
		Blocks: lined(third), At: trial.Position{File: "sessions/wednesday/session.yaml"}})
}

// repeats gives the second session the order A BB AA BB AA at 250 W and these speeds.
func repeats(speeds ...float64) func(w *fixture) {
	return func(w *fixture) {
		w.order("BA")
		w.other().Blocks = lined("ABBAABBAA")
		for i := range w.other().Blocks {
			w.other().Blocks[i].DistanceM = none
		}
		w.held(trial.MeasureSpeed, speeds...)
		w.held(trial.MeasurePower, 250, 250, 250, 250, 250, 250, 250, 250, 250)
	}
}

// By hand: the pairs differ by the logarithms -0.010, -0.012, -0.008 and -0.010, mean -0.010,
// SD 0.001633, and 3.182 x 0.001633 / 2 = 0.0026 leaves out 0. With -0.010, +0.010, -0.012 and
// -0.008 the mean is -0.005, the SD 0.01013 and the interval +-0.016.
var carryOverCases = []ruleCase{
	{"first-shoe-same", "alder first twice", func(w *fixture) { w.other().Blocks = lined("ABBA") }, trial.Warn, "", 2,
		1},
	{"first-shoe-same", "birch first twice once the first block is excluded", func(w *fixture) {
		w.order("ABBA")
		w.block(0).Excluded = true
	}, trial.Warn, "", 2, 1},
	{"first-shoe-same", "one session begins in another", func(w *fixture) { w.threeShoes("ABC", "ABC", "BAC") }, "", "",
		none, none},
	{"first-shoe-same", "at another effort", func(w *fixture) {
		w.other().Blocks = lined("ABBA")
		w.other().Facts.Effort = string(trial.Pace)
		for i := range w.other().Blocks {
			w.other().Blocks[i].Target = 250
		}
	}, "", "", none, none},
	{"first-shoe-same", "a session of one shoe alone", func(w *fixture) { w.other().Blocks = lined("AA") }, "", "",
		none,
		none},
	{"carry-over", "cedar always after birch", func(w *fixture) { w.threeShoes("ABCA", "BCAB", "BCBA") }, trial.Note,
		"",
		3, 3},
	{"carry-over", "cedar twice after birch, once after alder",
		func(w *fixture) { w.threeShoes("ABCA", "BCAB", "BACB") }, "", "", none, none},
	{"carry-over", "cedar twice in all", func(w *fixture) { w.threeShoes("ABCA", "BCAB", "CBAB") }, "", "", none, none},
	{
		"carry-over", "1 % slower after each change",
		repeats(4, 4*math.Exp(-0.010), 4, 4*math.Exp(-0.012), 4, 4*math.Exp(-0.008), 4, 4*math.Exp(-0.010), 4),
		trial.Warn, "", 100 * math.Expm1(-0.010), 0.375,
	},
	{
		"carry-over", "no more than chance",
		repeats(4, 4*math.Exp(-0.010), 4, 4*math.Exp(0.010), 4, 4*math.Exp(-0.012), 4, 4*math.Exp(-0.008), 4), "", "",
		none, none,
	},
	{
		"carry-over", "0.3 % after each change",
		repeats(4, 4*math.Exp(-0.0030), 4, 4*math.Exp(-0.0031), 4, 4*math.Exp(-0.0029), 4, 4*math.Exp(-0.0030), 4), "",
		"", none, none,
	},
	{"carry-over", "1 % slower for 1.1 % less power", func(w *fixture) {
		repeats(4, 4*math.Exp(-0.010), 4, 4*math.Exp(-0.012), 4, 4*math.Exp(-0.008), 4, 4*math.Exp(-0.010), 4)(w)
		for i := range w.other().Blocks {
			b := &w.other().Blocks[i]
			b.Measured[trial.MeasurePower] = 250 * math.Pow(b.Measured[trial.MeasureSpeed]/4, 1/0.9)
		}
	}, "", "", none, none},
}

// What is true of the effort stands in the finding.
func TestUnevenEffortSaysWhatIsTrueOfIt(t *testing.T) {
	for effort, want := range map[trial.Effort]string{
		trial.Power: "birch was run at 2.0 % higher power than alder; speed changes by 0.90 % for each 1 % of power, " +
			"so this changes their difference by 1.8 %",
		trial.Pace: "birch was run 2.0 % faster than alder; heart rate changes by 0.70 % for each 1 % of pace, " +
			"so this changes their difference by 1.4 %",
		trial.HeartRate: "birch was run at a 2.0 % higher heart rate than alder; speed changes by 1.40 % for " +
			"each 1 % of heart rate, so this changes their difference by 2.8 %",
	} {
		w := sound()
		uneven(effort, stats.Log(1.02))(w)
		found := of(EffortUneven, w.findings())
		if len(found) != 1 || !strings.HasPrefix(found[0].Message, want) {
			t.Errorf("%s: %+v, want %q", effort, found, want)
		}
	}
}

// Two sessions are both, more are all of them.
func TestFirstShoeSameSaysHowMany(t *testing.T) {
	two, three := sound(), sound()
	two.other().Blocks = lined("ABBA")
	three.threeShoes("ABC", "ACB", "ABC")
	for want, w := range map[string]*fixture{
		"both sessions by power begin in alder": two, "all 3 sessions by power begin in alder": three,
	} {
		if found := of(FirstShoeSame, w.findings()); len(found) != 1 || found[0].Message != want {
			t.Errorf("%v, want %q", found, want)
		}
	}
}
