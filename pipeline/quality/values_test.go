package quality

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"soletrial/pipeline/steady"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// By arithmetic over places 1 to 4: A B B A balances, A A B B leaves
// sqrt(4/5), A B A B sqrt(1/5).
func TestShoeTimeCorrelation(t *testing.T) {
	for _, c := range []struct {
		order string
		want  float64
	}{
		{"ABBA", 0}, {"AABB", 0.894427}, {"ABAB", 0.447214},
		{"ABC", 1}, {"ABCCBA", 0}, {"AAABBB", 0.878310}, {"AABBCC", 0.956183}, {"AAAA", 0},
	} {
		if got := shoeTimeCorrelation(worn(c.order)); !(math.Abs(got-c.want) < 5e-7) {
			t.Errorf("%s: %v, want %v", c.order, got, c.want)
		}
	}
}

func worn(order string) []*steady.Summary {
	var blocks []*steady.Summary
	for _, shoe := range strings.Split(order, "") {
		blocks = append(blocks, &steady.Summary{Shoe: shoe})
	}
	return blocks
}

// The correlation lies between 0 and 1 and does not care which way the clock runs
// or what the shoes are called; a mirrored order balances every shoe.
func TestShoeTimeCorrelationProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		order := rapid.StringOfN(rapid.RuneFrom([]rune("ABC")), 2, 12, -1).Draw(t, "order")
		r := shoeTimeCorrelation(worn(order))
		if !(r >= 0 && r <= 1+1e-12) {
			t.Fatalf("%s: %v", order, r)
		}
		backwards := reversed(order)
		if other := shoeTimeCorrelation(worn(backwards)); math.Abs(other-r) > 1e-12 {
			t.Fatalf("%s: %v, backwards %v", order, r, other)
		}
		renamed := strings.NewReplacer("A", "C", "C", "B", "B", "A").Replace(order)
		if other := shoeTimeCorrelation(worn(renamed)); math.Abs(other-r) > 1e-12 {
			t.Fatalf("%s: %v, renamed %v", order, r, other)
		}
		if mirrored := shoeTimeCorrelation(worn(order + backwards)); !(mirrored < 1e-7) {
			t.Fatalf("%s%s: %v, want 0", order, backwards, mirrored)
		}
	})
}

func reversed(s string) string {
	letters := []byte(s)
	for i, j := 0, len(letters)-1; i < j; i, j = i+1, j-1 {
		letters[i], letters[j] = letters[j], letters[i]
	}
	return string(letters)
}

// common practice, no source: 420 s covering 1550 m at 189 steps/min of 1.12 m,
// and 1490 m at 185 steps/min of 1.09 m. The products fall short of the speeds by
// 4.4 % and 5.3 %; the rule must remark on both.
func TestStepProductOfATradeExample(t *testing.T) {
	w := sound()
	for i, b := range []struct{ cadence, step, metres, off float64 }{{189, 1.12, 1550, -4.4}, {185, 1.09, 1490, -5.3}} {
		w.fill(i, trial.CadenceSpm, b.cadence)
		w.fill(i, trial.StepLengthM, b.step)
		w.fill(i, trial.SpeedMps, b.metres/420)
	}
	found := of("step-product", w.findings())
	if len(found) != 2 {
		t.Fatalf("%d findings, want 2: %+v", len(found), found)
	}
	for i, want := range []float64{-4.4, -5.3} {
		if f := found[i]; f.Severity != trial.Warn || units.Round(f.Value, 1) != want {
			t.Errorf("block %s: %s of %.2f %%, want a warning of %v %%", f.Block, f.Severity, f.Value, want)
		}
	}
}

// effort-off counts in the unit of what was held: a slower pace is more seconds.
func TestEffortOffByEffort(t *testing.T) {
	for _, c := range []struct {
		effort           trial.Effort
		target, recorded float64
		channel          trial.Channel
		want             float64
		message          string
	}{
		{trial.Pace, 250, 1000 / 260.0, trial.SpeedMps, 4, "held 4:20 per km against a target of 4:10 per km (+4.0 %)"},
		{trial.Pace, 250, 1000 / 240.0, trial.SpeedMps, -4,
			"held 4:00 per km against a target of 4:10 per km (-4.0 %)"},
		{trial.HeartRate, 150, 156, trial.HeartRateBpm, 4, "held 156.0 bpm against a target of 150 bpm (+4.0 %)"},
	} {
		w := sound()
		w.facts().Effort = string(c.effort)
		for i := range w.session().Blocks {
			w.block(i).Target = c.target
			w.fill(i, c.channel, c.recorded)
		}
		found := of("effort-off", w.findings())
		if len(found) != 4 || math.Abs(found[0].Value-c.want) > 1e-9 || found[0].Message != c.message {
			t.Errorf("%s at %v for a target of %v: %+v, want %v %% four times and %q", c.effort, c.recorded, c.target,
				found, c.want, c.message)
		}
	}
}

// Messages count in words that fit the number.
func TestMessagesCount(t *testing.T) {
	w := sound()
	w.values(trial.OscillationCm)[300] = 21
	w.samples().Elapsed[50] = 48.5
	for rule, want := range map[trial.RuleSlug]string{
		"out-of-range": "1 sample of vertical oscillation in the steady window cannot be right; " +
			"the worst reads 21.00 cm",
		"time-backwards": `time goes back 1 time in "pod.csv", first at sample 51 (48.5 s)`,
	} {
		if got := of(rule, w.findings())[0].Message; got != want {
			t.Errorf("%s: %q, want %q", rule, got, want)
		}
	}
	w.values(trial.OscillationCm)[310] = 1.5
	w.samples().Elapsed[60] = 57
	for rule, want := range map[trial.RuleSlug]string{
		"out-of-range": "2 samples of vertical oscillation in the steady window cannot be right; " +
			"the worst reads 21.00 cm",
		"time-backwards": `time goes back 2 times in "pod.csv", first at sample 51 (48.5 s)`,
	} {
		if got := of(rule, w.findings())[0].Message; got != want {
			t.Errorf("%s: %q, want %q", rule, got, want)
		}
	}
}

// A value at its limit is within it.
func TestLimitsAreInclusive(t *testing.T) {
	hundred := 100.0
	for _, c := range []struct {
		rule trial.RuleSlug
		bend func(*fixture)
	}{
		{"effort-off", func(w *fixture) { w.fill(3, trial.PowerW, 260); w.limits().EffortOffPct = off(260, 250) }},
		{"coverage-low", func(w *fixture) {
			w.blank(trial.SpeedMps, 200,
				226)
			w.limits().CoveragePct = hundred * 229 / 255
		}},
		{"order-confounded", func(w *fixture) {
			w.order("AABB")
			w.limits().OrderCorrelation = shoeTimeCorrelation(worn("AABB"))
		}},
	} {
		w := sound()
		c.bend(w)
		if found := of(c.rule, w.findings()); len(found) > 0 {
			t.Errorf("%s at its limit: %+v", c.rule, found)
		}
	}
	w := sound()
	w.blank(trial.PowerW, 200, 328)
	w.limits().CoverageStopPct = hundred * 127 / 255
	if found := of("coverage-low", w.findings()); len(found) != 1 || found[0].Severity != trial.Warn {
		t.Errorf("coverage at the limit of a stop: %+v, want a warning", found)
	}
	w = sound()
	w.fill(3, trial.PowerW, 200)
	w.limits().EffortOffStopPct = -off(200, 250)
	if found := of("effort-off", w.findings()); len(found) != 1 || found[0].Severity != trial.Warn {
		t.Errorf("effort at the limit of a stop: %+v, want a warning", found)
	}
}

// off is a ratio in percent, rounded in the way the rules round.
func off(held, target float64) float64 { return 100 * (held/target - 1) }

// Kilometres are whole in the message about wear.
func TestWearMessage(t *testing.T) {
	w := sound()
	w.ds.Shoes[0].WornKm, w.ds.Shoes[1].WornKm = 812.4, 12.6
	want := "birch had been worn for 13 km, alder for 812 km"
	if found := of("wear-apart", w.findings()); len(found) != 1 || found[0].Message != want ||
		math.Abs(found[0].Value-799.8) > 1e-9 {
		t.Errorf("%+v, want %s", found, want)
	}
}
