package quality

import (
	"math"
	"reflect"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// ruleCase bends the sound session. A case with a severity must make its rule
// give exactly that finding; one without is a near miss: the rule keeps silent.
// Limits are those of trial.DefaultLimits.
type ruleCase struct {
	rule         trial.RuleSlug
	name         string
	bend         func(*fixture)
	severity     trial.Severity
	block        string
	value, limit float64
}

var none = units.Missing

var recordingCases = []ruleCase{
	{"time-backwards", "one sample steps back", func(w *fixture) { w.samples().Elapsed[50] = 48.5 }, trial.Stop, "", 1,
		0},
	{"time-backwards", "a second twice", func(w *fixture) { w.samples().Elapsed[50] = 49 }, "", "", none, none},
	{"recording-gap", "five samples lost in block 1", func(w *fixture) { w.cut(200, 205) }, trial.Warn, "1", 6, 5},
	{"recording-gap", "four samples lost leave 5 s", func(w *fixture) { w.cut(200, 204) }, "", "", none, none},
	{"recording-gap", "a gap between two blocks", func(w *fixture) { w.cut(451, 600) }, "", "", none, none},
	{"recording-gap", "a gap of the watch that the heart rate is taken from",
		func(w *fixture) { w.split(trial.HeartRateBpm, 300, 307) }, trial.Warn, "1", 8, 5},
	{"recording-gap", "a gap of the device that the power is taken from",
		func(w *fixture) { w.split(trial.PowerW, 300, 307) }, trial.Warn, "1", 8, 5},
	{"recording-gap", "a gap of the device that the speed is taken from",
		func(w *fixture) { w.split(trial.SpeedMps, 300, 307) }, trial.Warn, "1", 8, 5},
	{"recording-gap", "no heart rate in block 1", func(w *fixture) { w.split(trial.HeartRateBpm, 100, 460) },
		trial.Warn, "1", 330, 5},
	{"recording-gap", "a gap of a device that only counts steps",
		func(w *fixture) { w.split(trial.CadenceSpm, 300, 307) }, "", "", none, none},
	{"recording-gap", "a gap of a device that nothing is taken from", func(w *fixture) {
		w.recordings = append(w.recordings, trial.Recording{Fact: trial.RecordingFact{File: "watch.csv"},
			Samples: &trial.Samples{Elapsed: []float64{0, 2000}}})
		w.recordings[1].Samples.Values[trial.SpeedMps] = []float64{3, 3}
	}, "", "", none, none},
	{"channel-missing", "no power was recorded", func(w *fixture) { w.samples().Values[trial.PowerW] = nil },
		trial.Warn, "", none, none},
	{"channel-missing", "a channel of blanks only", func(w *fixture) {
		for i := range w.values(trial.SpeedMps) {
			w.values(trial.SpeedMps)[i] = units.Missing
		}
	}, trial.Warn, "", none, none},
	{"channel-missing", "the means were written by hand", func(w *fixture) {
		w.samples().Values[trial.PowerW] = nil
		for i := range w.session().Blocks {
			w.block(i).Measured[trial.MeasurePower] = 250
		}
	}, "", "", none, none},
	{"channel-missing", "power does not matter at the same pace", func(w *fixture) {
		w.samples().Values[trial.PowerW] = nil
		w.facts().Effort = string(trial.Pace)
		for i := range w.session().Blocks {
			w.block(i).Target = 1000 / 3.75
		}
	}, "", "", none, none},
}

var valueCases = []ruleCase{
	{"out-of-range", "mean beyond what is possible", func(w *fixture) { w.fill(0, trial.ContactMs, 451) }, trial.Stop,
		"1", 451, 450},
	{"out-of-range", "mean below what is possible", func(w *fixture) { w.fill(2, trial.CadenceSpm, 90) }, trial.Stop,
		"3", 90, 120},
	{"out-of-range", "mean beyond what is usual", func(w *fixture) { w.fill(0, trial.ContactMs, 331) }, trial.Warn, "1",
		331, 330},
	{"out-of-range", "one sample that cannot be right", func(w *fixture) { w.values(trial.OscillationCm)[300] = 21 },
		trial.Warn, "1", 21, 20},
	{"out-of-range", "the first sample of the steady window",
		func(w *fixture) { w.values(trial.OscillationCm)[180] = 21 }, trial.Warn, "1", 21, 20},
	{"out-of-range", "the last sample of the steady window, by an offset", func(w *fixture) {
		w.recordings[0].Fact.OffsetS = 10
		w.values(trial.OscillationCm)[424] = 21
	}, trial.Warn, "1", 21, 20},
	{"out-of-range", "the sample after it, by an offset", func(w *fixture) {
		w.recordings[0].Fact.OffsetS = 10
		w.values(trial.OscillationCm)[425] = 21
	}, "", "", none, none},
	{"out-of-range", "the worst of two", func(w *fixture) {
		w.values(trial.OscillationCm)[300],
			w.values(trial.OscillationCm)[301] = 1, 22
	}, trial.Warn, "1", 22, 20},
	{"out-of-range", "the start of what is usual", func(w *fixture) { w.fill(0, trial.ContactMs, 150) }, "", "", none,
		none},
	{"out-of-range", "the end of what is usual", func(w *fixture) { w.fill(0, trial.ContactMs, 330) }, "", "", none,
		none},
	{"out-of-range", "a stray sample before the steady window",
		func(w *fixture) { w.values(trial.OscillationCm)[179] = 21 }, "", "", none, none},
	{"out-of-range", "a stray sample after the steady window",
		func(w *fixture) { w.values(trial.OscillationCm)[435] = 21 }, "", "", none, none},
	{"out-of-range", "a channel whose limits were taken away", func(w *fixture) {
		delete(w.limits().Ranges, "contact_ms")
		w.fill(0, trial.ContactMs, 900)
	}, "", "", none, none},
	{"step-product", "11 % too long a step", func(w *fixture) { w.fill(1, trial.StepLengthM, 1.3875) }, trial.Stop, "2",
		11, 10},
	{"step-product", "2.4 % too long a step", func(w *fixture) { w.fill(1, trial.StepLengthM, 1.28) }, trial.Warn, "2",
		2.4, 2},
	{"step-product", "1.6 % too long a step", func(w *fixture) { w.fill(1, trial.StepLengthM, 1.27) }, "", "", none,
		none},
	{"step-product", "no step length", func(w *fixture) { w.samples().Values[trial.StepLengthM] = nil }, "", "", none,
		none},
	{"coverage-low", "26 of 255 s blank", func(w *fixture) { w.blank(trial.SpeedMps, 200, 226) }, trial.Warn, "1",
		100 * 229.0 / 255, 90},
	{"coverage-low", "more than half blank", func(w *fixture) { w.blank(trial.PowerW, 200, 328) }, trial.Stop, "1",
		100 * 127.0 / 255, 50},
	{"coverage-low", "25 of 255 s blank", func(w *fixture) { w.blank(trial.SpeedMps, 200, 225) }, "", "", none, none},
	{"coverage-low", "blanks in a channel that decides nothing",
		func(w *fixture) { w.blank(trial.ContactMs, 180, 430) }, "", "", none, none},
	{"effort-off", "4 % too hard", func(w *fixture) { w.fill(3, trial.PowerW, 260) }, trial.Warn, "4", 4, 3},
	{"effort-off", "20 % too easy", func(w *fixture) { w.fill(3, trial.PowerW, 200) }, trial.Stop, "4", -20, 15},
	{"effort-off", "2 % too hard", func(w *fixture) { w.fill(3, trial.PowerW, 255) }, "", "", none, none},
	{"effort-off", "another target of its own",
		func(w *fixture) { w.fill(3, trial.PowerW, 300); w.block(3).Target = 300 }, "", "", none, none},
	{"effort-off", "no target at all", func(w *fixture) {
		w.fill(3, trial.PowerW,
			300)
		w.block(3).Target = units.Missing
	}, "", "", none, none},
}

var blockCases = []ruleCase{
	{"shoe-blank", "nobody wrote the shoe", func(w *fixture) { w.block(1).Shoe = "" }, trial.Stop, "2", none, none},
	{"shoe-blank", "a lap that was left out", func(w *fixture) {
		w.block(1).Shoe, w.block(1).Excluded,
			w.block(1).Reason = "", true, "warm-up"
	}, "", "", none, none},
	{"block-short", "179 s", func(w *fixture) { w.block(0).End = w.block(0).Start + 179 }, trial.Warn, "1", 179, 180},
	{"block-short", "180 s", func(w *fixture) { w.block(0).End = w.block(0).Start + 180 }, "", "", none, none},
	{"window-short", "the trim of 60 and 15 s leaves 59", func(w *fixture) { w.block(0).End = w.block(0).Start + 134 },
		trial.Stop, "1", 59, 60},
	{"window-short", "nothing is left", func(w *fixture) { w.block(0).End = w.block(0).Start + 40 }, trial.Stop, "1", 0,
		60},
	{"window-short", "the trim leaves 60", func(w *fixture) { w.block(0).End = w.block(0).Start + 135 }, "", "", none,
		none},
	{"window-short", "means written by hand have no window", func(w *fixture) {
		w.recordings = nil
		w.block(0).End = w.block(0).Start + 100
	}, "", "", none, none},
	{"block-outside", "6 s past the last sample", func(w *fixture) { w.block(3).End = soundSamples - 1 + 6 },
		trial.Stop, "4", 6, 5},
	{"block-outside", "6 s before the first, by an offset",
		func(w *fixture) { w.recordings[0].Fact.OffsetS = firstStart + 6 }, trial.Stop, "1", 6, 5},
	{"block-outside", "6 s past the last sample, by an offset", func(w *fixture) {
		w.recordings[0].Fact.OffsetS = w.block(3).End - 6 - (soundSamples - 1)
	}, trial.Stop, "4", 6, 5},
	{"block-outside", "an empty recording beside a whole one", func(w *fixture) {
		w.recordings = append(w.recordings, trial.Recording{Samples: &trial.Samples{}})
	}, "", "", none, none},
	{"block-outside", "5 s past the last sample", func(w *fixture) { w.block(3).End = soundSamples - 1 + 5 }, "", "",
		none, none},
	{"block-outside", "nothing was recorded", func(w *fixture) { w.recordings = nil }, "", "", none, none},
	{"block-overlap", "starts 1 s too early", func(w *fixture) { w.block(1).Start = w.block(0).End - 1 }, trial.Stop,
		"2", 1, 0},
	{"block-overlap", "starts as the other ends", func(w *fixture) { w.block(1).Start = w.block(0).End }, "", "", none,
		none},
}

var orderCases = []ruleCase{
	{"order-confounded", "A A B B", func(w *fixture) { w.order("AABB") }, trial.Warn, "", 2 / math.Sqrt(5), 0.7},
	{"order-confounded", "A B A B", func(w *fixture) { w.order("ABAB") }, "", "", none, none},
	{"order-confounded", "one of each has its own rule", func(w *fixture) { w.order("ABC") }, "", "", none, none},
	{"order-confounded", "one shoe", func(w *fixture) { w.order("AAAA") }, "", "", none, none},
	{"order-confounded", "A A B B with the last left out",
		func(w *fixture) { w.order("ABAB"); w.block(3).Excluded = true }, "", "", none, none},
	{"one-block-per-shoe", "A B", func(w *fixture) { w.order("AB") }, trial.Note, "", 1, 2},
	{"one-block-per-shoe", "A B B with one left out", func(w *fixture) { w.order("ABB"); w.block(2).Excluded = true },
		trial.Note, "", 1, 2},
	{"one-block-per-shoe", "A B A", func(w *fixture) { w.order("ABA") }, "", "", none, none},
	{"one-block-per-shoe", "one shoe alone", func(w *fixture) { w.order("A") }, "", "", none, none},
	{"mass-missing", "a shoe that was run", func(w *fixture) { w.ds.Shoes[0].MassG = units.Missing }, trial.Warn, "",
		none, none},
	{"mass-missing", "a shoe that was not run", func(w *fixture) { w.ds.Shoes[2].MassG = units.Missing }, "", "", none,
		none},
}

// split takes a channel from a second recording, which lacks the samples
// [from, to).
func (w *fixture) split(channel trial.Channel, from, to int) {
	whole := soundSamplesOf()
	w.samples().Values[channel] = nil
	for c := range whole.Values {
		if trial.Channel(c) != channel {
			whole.Values[c] = nil
		}
	}
	second := fixture{recordings: []trial.Recording{{Fact: trial.RecordingFact{File: "watch.csv"}, Samples: whole}}}
	second.cut(from, to)
	w.recordings = append(w.recordings, second.recordings...)
}

// blank takes away the values of a channel at the samples [from, to).
func (w *fixture) blank(c trial.Channel, from, to int) {
	for i := from; i < to; i++ {
		w.values(c)[i] = units.Missing
	}
}

func allCases() []ruleCase {
	var all []ruleCase
	for _, list := range [][]ruleCase{recordingCases, valueCases, sampleCases, unitCases, blockCases, byShoeCases,
		orderCases, sessionCases, datasetCases, unevenCases, carryOverCases, textCases} {
		all = append(all, list...)
	}
	return all
}

func TestRules(t *testing.T) {
	for _, c := range allCases() {
		t.Run(string(c.rule)+"/"+c.name, func(t *testing.T) {
			w := sound()
			c.bend(w)
			found := of(c.rule, w.findings())
			if c.severity == "" {
				if len(found) > 0 {
					t.Errorf("the rule speaks: %+v", found)
				}
				return
			}
			if len(found) != 1 {
				t.Fatalf("%d findings, want 1: %+v", len(found), found)
			}
			f := found[0]
			if f.Severity != c.severity || f.Block != c.block || !same(f.Value, c.value) || !same(f.Limit, c.limit) {
				t.Errorf("found %s about block %q with value %v and limit %v; want %s, %q, %v, %v", f.Severity,
					f.Block, f.Value, f.Limit, c.severity, c.block, c.value, c.limit)
			}
			if f.Message == "" || f.At.File == "" {
				t.Errorf("a finding says what and where: %+v", f)
			}
			if rule, _ := RuleNamed(c.rule); (f.Session == "") != (rule.Scope == OfDataset &&
				c.rule != RecordingTwice) {
				t.Errorf("the finding is about session %q", f.Session)
			}
		})
	}
}

func same(got, want float64) bool {
	return units.Known(got) == units.Known(want) && !(math.Abs(got-want) > 1e-9)
}

// Every rule has every word that explain prints, a case for each severity that it
// can give, and a near miss.
func TestEveryRuleIsExplainedAndTried(t *testing.T) {
	fires, misses := map[trial.RuleSlug]map[trial.Severity]bool{}, map[trial.RuleSlug]bool{}
	for _, c := range allCases() {
		if _, ok := RuleNamed(c.rule); !ok {
			t.Errorf("case %q is about %q, which is no rule", c.name, c.rule)
		}
		if fires[c.rule] == nil {
			fires[c.rule] = map[trial.Severity]bool{}
		}
		fires[c.rule][c.severity] = true
		misses[c.rule] = misses[c.rule] || c.severity == ""
	}
	seen := map[trial.RuleSlug]bool{}
	for _, r := range Rules() {
		if seen[r.Slug] || !regexp.MustCompile(`^[a-z]+(-[a-z]+)*$`).MatchString(string(r.Slug)) {
			t.Errorf("%q cannot name a rule, or names two", r.Slug)
		}
		seen[r.Slug] = true
		for part, text := range map[string]string{
			"title": r.Title, "brief": r.Brief, "scope": string(r.Scope), "measures": r.Measures, "limit": r.Limit,
			"source": r.Source, "what to do": r.Fix, "hint": r.Hint,
		} {
			if text == "" {
				t.Errorf("%s has no %s", r.Slug, part)
			}
		}
		if len(r.Severities) == 0 {
			t.Errorf("%s gives no severity", r.Slug)
		}
		if r.Scope == OfAnswer {
			continue // tried where the answers are: package answer
		}
		for _, s := range r.Severities {
			if !fires[r.Slug][s] {
				t.Errorf("no case makes %s give a %s", r.Slug, s)
			}
		}
		if !misses[r.Slug] {
			t.Errorf("no near miss of %s", r.Slug)
		}
	}
	if len(seen) < 43 {
		t.Errorf("%d rules, want at least 43", len(seen))
	}
}

// What explain says of a limit is the default, whatever that is: doubling every
// default changes the words of every rule that names one, and nothing else in them.
func TestTheWordsStateTheDefaults(t *testing.T) {
	defaults := trial.DefaultLimits()
	doubled := defaults
	fields := reflect.ValueOf(&doubled).Elem()
	for i := range fields.NumField() {
		if fields.Field(i).Kind() == reflect.Float64 {
			fields.Field(i).SetFloat(2 * fields.Field(i).Float())
		}
	}
	named := map[string]bool{}
	before, after := rulesWith(defaults), rulesWith(doubled)
	for i, r := range before {
		want := stated.ReplaceAllStringFunc(r.Limit, func(match string) string {
			key, number, _ := strings.Cut(match, ", default ")
			named[key] = true
			x, err := strconv.ParseFloat(number, 64)
			if err != nil {
				t.Fatalf("%s: %v", r.Slug, err)
			}
			return key + ", default " + strconv.FormatFloat(2*x, 'f', -1, 64)
		})
		if after[i].Limit != want {
			t.Errorf("%s: with doubled defaults it says %q, want %q", r.Slug, after[i].Limit, want)
		}
		if strings.ContainsAny(r.Limit, "{}") {
			t.Errorf("%s names a limit that there is none of: %q", r.Slug, r.Limit)
		}
	}
	for i := range fields.NumField() {
		key, _, _ := strings.Cut(fields.Type().Field(i).Tag.Get("json"), ",")
		if fields.Field(i).Kind() == reflect.Float64 && !named["limits."+key] {
			t.Errorf("no rule says that limits.%s is its limit", key)
		}
	}
	if r, _ := RuleNamed(RecordingGap); r.Limit != "limits.gap_s, default 5 s" {
		t.Errorf("recording-gap says %q", r.Limit)
	}
}

// stated is how the words of a rule state a default.
var stated = regexp.MustCompile(`limits\.[a-z_]+, default [0-9.]+`)

// Defaults stand in trial.DefaultLimits and in no rule.
func TestNoRuleWritesADefaultItself(t *testing.T) {
	for r := range rulesInWords {
		if strings.Contains(r.Limit, "default") {
			t.Errorf("%s: %q", r.Slug, r.Limit)
		}
	}
}

// No case may give a severity that its rule does not list.
func TestSeveritiesAreThoseListed(t *testing.T) {
	for _, c := range allCases() {
		w := sound()
		c.bend(w)
		for _, f := range w.findings() {
			r, ok := RuleNamed(f.Rule)
			listed := false
			for _, s := range r.Severities {
				listed = listed || s == f.Severity
			}
			if !ok || !listed {
				t.Errorf("%s: a %s of %s, which lists %v", c.name, f.Severity, f.Rule, r.Severities)
			}
		}
	}
}
