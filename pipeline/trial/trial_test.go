package trial

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"soletrial/pipeline/units"
)

// What is written as a target reads as the same number, for every effort.
func TestTargetReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		effort := rapid.SampledFrom(Efforts).Draw(t, "effort")
		want := float64(rapid.IntRange(1, 900_000).Draw(t, "thousandths")) / 1000
		text := FormatTarget(effort, want)
		got, err := ParseTarget(effort, text)
		if err != nil || got != want {
			t.Fatalf("%s %v is written %q and reads as %v, %v", effort, want, text, got, err)
		}
	})
}

// By hand: ln(260/250), of a pace of 245 against 250 s/km ln(250/245), of 153 against 150 bpm
// ln(153/150); without a target the logarithm itself.
func TestLogRatioOfEffort(t *testing.T) {
	for _, c := range []struct {
		effort             Effort
		held, target, want float64
	}{
		{Power, 260, 250, math.Log(260. / 250)}, {Pace, 245, 250, math.Log(250. / 245)},
		{HeartRate, 153, 150, math.Log(153. / 150)}, {Power, 260, units.Missing, math.Log(260)},
	} {
		if got := c.effort.LogRatio(c.held, c.target); math.Abs(got-c.want) > 1e-15 {
			t.Errorf("%s: %v held at %v gives %v, want %v", c.effort, c.held, c.target, got, c.want)
		}
	}
	for _, held := range []float64{0, -1, units.Missing} {
		if got := Power.LogRatio(held, 250); units.Known(got) {
			t.Errorf("%v W held gives %v", held, got)
		}
	}
}

func TestParseTarget(t *testing.T) {
	for _, c := range []struct {
		effort Effort
		text   string
		want   float64
	}{{Power, "268", 268}, {Pace, "4:06", 246}, {HeartRate, "154.5", 154.5}} {
		if got, err := ParseTarget(c.effort, c.text); err != nil || got != c.want {
			t.Errorf("ParseTarget(%s, %q) = %v, %v; want %v", c.effort, c.text, got, err, c.want)
		}
	}
	for effort, text := range map[Effort]string{Power: "4:06", Pace: "246", HeartRate: "154 bpm"} {
		if got, err := ParseTarget(effort, text); err == nil {
			t.Errorf("ParseTarget(%s, %q) = %v, want an error", effort, text, got)
		}
	}
	if got, err := ParseTarget(Pace, ""); err != nil || units.Known(got) {
		t.Errorf("a blank target is missing, not %v, %v", got, err)
	}
}

func TestLevel(t *testing.T) {
	for want, level := range map[string]string{
		"power 268": Level(Power, 268), "power 267.5": Level(Power, 267.5), "pace 4:06": Level(Pace,
			246), "heart_rate 154": Level(HeartRate, 154), "power": Level(Power, units.Missing),
	} {
		if level != want {
			t.Errorf("level %q, want %q", level, want)
		}
	}
}

// A name that is remembered is the name that would have been made.
func TestLevelsRemember(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var levels Levels
		for range rapid.IntRange(1, 20).Draw(t, "blocks") {
			effort := rapid.SampledFrom(Efforts).Draw(t, "effort")
			target := rapid.SampledFrom([]float64{250, 250.5, 251, units.Missing}).Draw(t, "target")
			if got, want := levels.Name(effort, target), Level(effort, target); got != want {
				t.Fatalf("%q, want %q", got, want)
			}
		}
	})
}

// Every column, id and kind is there once, and looking it up by name gives it
// back.
func TestTablesAreInStep(t *testing.T) {
	for c := range ChannelCount {
		if got, ok := ChannelNamed(c.Info().Column); !ok || got != c {
			t.Errorf("channel %q is found as %v, %v", c.Info().Column, got, ok)
		}
	}
	columns := map[string]bool{}
	for o := range OutcomeCount {
		info := o.Info()
		if got, ok := OutcomeNamed(info.ID); !ok || got != o {
			t.Errorf("outcome %q is found as %v, %v", info.ID, got, ok)
		}
		if columns[info.Column] || info.Label == "" || info.Unit == "" {
			t.Errorf("outcome %q has a column twice, no label or no unit: %+v", info.ID, info)
		}
		columns[info.Column] = true
	}
	for m := range MeasureCount {
		if !columns[m.Outcome().Info().Column] {
			t.Errorf("measure column %q is no outcome's", m.Outcome().Info().Column)
		}
	}
	if _, ok := OutcomeNamed("comfort_mm"); ok {
		t.Error("a column was taken for an outcome's id")
	}
}

func TestPrimary(t *testing.T) {
	for effort, want := range map[Effort]Outcome{Power: Speed, Pace: Heart, HeartRate: Speed} {
		if got := PrimaryFor(effort); got != want {
			t.Errorf("held %s decides by %s", effort, got.Info().ID)
		}
	}
}

func TestLookUp(t *testing.T) {
	ds := Dataset{Shoes: []Shoe{{ID: "a"}, {ID: "b"}}, Runners: []Runner{{ID: "r"}}, Venues: []Venue{{ID: "v"}},
		Sessions: []Session{{ID: "s"}}}
	if ds.Shoe("b") != &ds.Shoes[1] || ds.Shoe("c") != nil || ds.Runner("r") == nil || ds.Venue("v") == nil ||
		ds.Session("s") != &ds.Sessions[0] || ds.Session("") != nil {
		t.Error("looking up by id")
	}
	if ds.Reference() != "a" {
		t.Errorf("without a named reference the first shoe is it, not %q", ds.Reference())
	}
	ds.Facts.Method.Reference = "b"
	if ds.Reference() != "b" || (&Dataset{}).Reference() != "" {
		t.Error("the named reference, and none in an empty register")
	}
}

func TestPosition(t *testing.T) {
	for want, p := range map[string]Position{"a.csv": {File: "a.csv"}, "a.csv:3": {File: "a.csv", Line: 3},
		"a.csv:3:7": {File: "a.csv", Line: 3, Column: 7}} {
		if p.String() != want {
			t.Errorf("%+v prints as %q, want %q", p, p.String(), want)
		}
	}
	problem := Problem{At: Position{File: "a.csv", Line: 3}, Message: "wrong", Hint: "mend it"}
	if problem.Error() != "a.csv:3: wrong (mend it)" {
		t.Errorf("problem prints as %q", problem.Error())
	}
}

func TestTrimmed(t *testing.T) {
	trim := Trim{HeadS: 60, TailS: 15, HeartRateHeadS: 180}
	if from, to := trim.Trimmed(100, 400, false); from != 160 || to != 385 {
		t.Errorf("window %v to %v", from, to)
	}
	if from, _ := trim.Trimmed(100, 400, true); from != 280 {
		t.Errorf("heart rate from %v", from)
	}
	trim.HeartRateHeadS = units.Missing
	if from, _ := trim.Trimmed(100, 400, true); from != 160 {
		t.Errorf("without a head of its own heart rate starts at %v", from)
	}
}

func TestSamplesHas(t *testing.T) {
	s := Samples{Elapsed: []float64{0, 1}}
	s.Values[PowerW] = []float64{units.Missing, units.Missing}
	s.Values[SpeedMps] = []float64{units.Missing, 3}
	if s.Has(PowerW) || !s.Has(SpeedMps) || s.Has(HeartRateBpm) || s.Len() != 2 {
		t.Error("a channel that is blank throughout is not there")
	}
}

func TestFindingHolds(t *testing.T) {
	if !(Finding{Severity: Stop}).Holds() || (Finding{Severity: Stop, Override: "why"}).Holds() ||
		(Finding{Severity: Warn}).Holds() {
		t.Error("only a stop that nobody settled holds")
	}
}
