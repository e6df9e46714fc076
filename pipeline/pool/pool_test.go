package pool

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

func near(t *testing.T, name string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s = %v, want %v", name, got, want)
	}
}

const header = "outcome,unit,effort,target,model,shoe,reference,runners,sessions,blocks," +
	"log_estimate,log_se,df,estimate\n"

// table writes a comparisons table with one pair in one row.
func table(shoe, reference string, log, se float64) string {
	return header + fmt.Sprintf("speed,percent,power,250,mixed,%s,%s,1,4,16,%s,%s,9.5000,1.0\n", shoe, reference,
		units.FormatDecimal(log, 9), units.FormatDecimal(se, 9))
}

func study(t testing.TB, i int, text string) Study {
	t.Helper()
	rows, problems := ReadComparisons("comparisons.csv", []byte(text), trial.Speed)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	return Study{Name: fmt.Sprint(i), Rows: rows, Digest: fmt.Sprint(i)}
}

var options = Options{Outcome: trial.Speed, Confidence: 0.95, WorthwhilePct: 0.75, RunnerPct: 1}

// bcg is the 13 trials of Colditz et al. 1994, JAMA 271:698: vaccinated ill and
// well, not vaccinated ill and well. It is the textbook example of pooling.
var bcg = [][4]float64{
	{4, 119, 11, 128}, {6, 300, 29, 274}, {3, 228, 11, 209}, {62, 13536, 248, 12619}, {33, 5036, 47, 5761}, {180, 1361,
		372, 1079}, {8, 2537, 10, 619},
	{505, 87886, 499, 87892}, {29, 7470, 45, 7232}, {17, 1699, 65, 1600}, {186, 50448, 141, 27197}, {5, 2493, 3,
		2338}, {27, 16886, 29, 17825},
}

// Each trial as if it were a runner's dataset: the published summary of the log
// risk ratios (readme of the metafor package for R: REML 0.3132, -0.7145, with
// Hartung and Knapp's interval -1.1084 to -0.3206, I2 92.22 %, Q 152.2330,
// prediction interval -1.9960 to 0.5670). The tables hold nine decimals.
func TestBCG(t *testing.T) {
	var studies []Study
	for i, d := range bcg {
		y := math.Log(d[0] / (d[0] + d[1]) / (d[2] / (d[2] + d[3])))
		se := math.Sqrt(1/d[0] - 1/(d[0]+d[1]) + 1/d[2] - 1/(d[2]+d[3]))
		if i%2 == 0 {
			studies = append(studies, study(t, i, table("vaccine", "control", y, se)))
		} else { // the other way round
			studies = append(studies, study(t, i, table("control", "vaccine", -y, se)))
		}
	}
	a := Run(studies, options)
	if len(a.Pairs) != 1 || len(a.LeftOut) != 0 {
		t.Fatalf("%d pairs, left out %v", len(a.Pairs), a.LeftOut)
	}
	p := a.Pairs[0]
	if p.Shoe != "vaccine" || p.Reference != "control" || len(p.Entries) != 13 {
		t.Fatalf("%s against %s, %d", p.Shoe, p.Reference, len(p.Entries))
	}
	near(t, "estimate", p.Log, -0.7145, 5e-5)
	near(t, "low", math.Log1p(p.Low/100), -1.1084, 5e-5)
	near(t, "high", math.Log1p(p.High/100), -0.3206, 5e-5)
	near(t, "prediction low", math.Log1p(p.PredictionLow/100), -1.9960, 5e-5)
	near(t, "prediction high", math.Log1p(p.PredictionHigh/100), 0.5670, 5e-5)
	near(t, "tau2", p.Tau*p.Tau, 0.3132, 5e-5)
	near(t, "Q", p.Q, 152.2330, 5e-5)
	near(t, "I2, from Q", p.I2, 0.9212, 5e-5)
	near(t, "p", p.P, 0.0019, 5e-5)
	// Risk ratios as published: 0.14 to 1.76 for a new trial.
	near(t, "as a ratio", 1+p.PredictionLow/100, 0.14, 5e-3)
	near(t, "as a ratio", 1+p.PredictionHigh/100, 1.76, 5e-3)
	// Turned round, everything has the other sign.
	turned := options
	turned.Reference = "vaccine"
	q := Run(studies, turned).Pairs[0]
	if q.Shoe != "control" || math.Abs(q.Log+p.Log) > 1e-12 || math.Abs(q.Tau-p.Tau) > 1e-9 ||
		math.Abs(math.Log1p(q.Low/100)+math.Log1p(p.High/100)) > 1e-9 {
		t.Errorf("turned: %+v", q)
	}
}

func TestLeftOut(t *testing.T) {
	fine := table("b", "a", 0.01, 0.004)
	studies := []Study{
		study(t, 0, fine), study(t, 1, table("b", "a", 0.02, 0.004)),
		study(t, 2, strings.Replace(fine, ",1,4,16,", ",3,4,16,", 1)),
		study(t, 3, strings.Replace(fine, "0.004000000,9.5000", ",", 1)),
		study(t, 4, strings.Replace(fine, "power,250", "pace,4:10", 1)),
		study(t, 0, fine),
	}
	a := Run(studies, options)
	if len(a.Pairs) != 1 || len(a.Pairs[0].Entries) != 2 || a.Effort != trial.Power {
		t.Fatalf("%+v", a.Pairs)
	}
	want := []string{"several runners", "no estimate has an interval",
		"nothing was compared in speed at the same power",
		"is that of 0"}
	for i, out := range a.LeftOut {
		if out.Study != i+2 || !strings.Contains(out.Why, want[i]) {
			t.Errorf("%+v, want %q", out, want[i])
		}
	}
	if len(a.LeftOut) != len(want) {
		t.Errorf("%d left out", len(a.LeftOut))
	}
	if p := Run(studies[:1], options).Pairs[0]; units.Known(p.Low) ||
		math.Abs(p.Entries[0].Estimate-100*math.Expm1(0.01)) > 1e-9 {
		t.Errorf("one runner: %+v", p)
	}
}

// Of several levels the one with the most blocks counts, once.
func TestLevels(t *testing.T) {
	text := table("b", "a", 0.01, 0.004) + "speed,percent,power,280,mixed,b,a,1,4,20,0.030000000,0.004000000,9.5,1\n" +
		"heart_rate,percent,power,280,mixed,b,a,1,4,20,0.5,0.1,9,1\n"
	e := Run([]Study{study(t, 0, text)}, options).Pairs[0].Entries
	if len(e) != 1 || e[0].Effort != trial.Power || e[0].Target != "280" || e[0].Blocks != 20 {
		t.Errorf("%+v", e)
	}
}

func TestStrictTable(t *testing.T) {
	fine := table("b", "a", 0.01, 0.004)
	for name, c := range map[string]struct{ old, with, want string }{
		"not a number":    {"0.010000000", "0,01", "wrong number of fields"},
		"NaN":             {"0.010000000", "NaN", "comparisons.csv:2:42: log_estimate: \"NaN\""},
		"a comma decimal": {"0.004000000", `"0,004"`, "log_se: \"0,004\""},
		"below 0":         {"0.004000000", "-0.004", "log_se: -0.004 is below 0"},
		"not a count":     {",16,", ",many,", `blocks: "many" is not a count`},
		"blank shoe":      {",b,a,", ",,a,", "shoe: is blank"},
		"no column":       {"log_se", "se", `column "log_se" is missing`},
		"twice":           {"log_se", "log_se,log_se", "is here twice"},
		"outcome":         {"speed,", "sped,", `"sped" is not an outcome`},
		"empty":           {fine, "", "the table is empty"},
	} {
		rows, problems := ReadComparisons("comparisons.csv", []byte(strings.Replace(fine, c.old, c.with, 1)),
			trial.Speed)
		if len(problems) == 0 || rows != nil || !strings.Contains(fmt.Sprint(problems[0]), c.want) {
			t.Errorf("%s: %v %v, want %q", name, rows, problems, c.want)
		}
	}
}

func TestTerms(t *testing.T) {
	for licences, want := range map[string]string{
		"CC0-1.0 CC-BY-4.0": "", "CC-BY-4.0 -": "1 dataset states no licence",
		"CC-BY-ND-4.0 CC0-1.0":      "allows no derived work",
		"CC-BY-SA-4.0 ODbL-1.0":     "the same licence, and it cannot carry both",
		"CC-BY-SA-4.0 CC-BY-NC-4.0": "commercial", "CC-BY-NC-SA-4.0 CC-BY-NC-4.0": "", "CC-BY-SA-4.0 CC-BY-4.0": "",
	} {
		var a Answer
		for _, licence := range strings.Fields(licences) {
			s := Study{}
			if licence != "-" {
				s.Facts.Licence = licence
			}
			a.Studies = append(a.Studies, s)
		}
		got := strings.Join(a.Terms(), "; ")
		if (want == "") != (got == "") || !strings.Contains(got, want) {
			t.Errorf("%s: %q, want %q", licences, got, want)
		}
	}
}

func TestDoubts(t *testing.T) {
	one, other := study(t, 0, table("b", "a", 0.01, 0.004)), study(t, 1, table("b", "a", 0.02, 0.004))
	one.Shoes = []trial.Shoe{{ID: "a", Label: "Alder", MassG: 240}, {ID: "b", Label: "Birch", MassG: 210},
		{ID: "c", Label: "Cedar"}}
	other.Shoes = []trial.Shoe{{ID: "a", Label: "alder", MassG: 240.5}, {ID: "b", Label: "Beech", MassG: 222},
		{ID: "c", Label: "Another"}}
	a := Run([]Study{one, other}, options)
	got := strings.Join(a.Doubts(), "; ")
	if want := `b is labelled "Beech", "Birch"; b weighs from 210 to 222 g: another size, or ` +
		`another shoe?`; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// BenchmarkPool10000 reads and pools the tables of 10,000 runners with 30 rows
// each, 3 kB, in memory.
func BenchmarkPool10000(b *testing.B) {
	texts := make([][]byte, 10000)
	for i := range texts {
		text := header
		for j := range 30 {
			x := math.Mod(float64(i*31+j*7)*0.6180339887498949, 1)
			text += fmt.Sprintf("speed,percent,power,250,mixed,s%d,a,1,4,16,%s,%s,9.5000,1.0\n", j,
				units.FormatDecimal(0.02*x, 9), units.FormatDecimal(0.003+0.003*x, 9))
		}
		texts[i] = []byte(text)
	}
	for b.Loop() {
		studies := make([]Study, len(texts))
		for i, text := range texts {
			studies[i] = study(b, i, string(text))
		}
		if a := Run(studies, options); len(a.Pairs) != 30 || len(a.Pairs[0].Entries) != 10000 {
			b.Fatalf("%d pairs", len(a.Pairs))
		}
	}
}

// A table of decisions has the better shoe first and a 95 % interval in percent: 1.96
// standard errors to either side on the logarithmic scale (the normal quantile). At the same
// pace a lower heart rate is better, so there the sign turns.
func TestDecisionsAreRead(t *testing.T) {
	const table = "effort,outcome,shoe,reference,runners,sessions,blocks,group,estimate,low,high,note\n" +
		"power,speed,b,a,1,4,16,1,1.0050,0.0000,2.0201,\n" +
		"pace,heart_rate,b,a,1,2,8,1,2.0000,1.0000,3.0000,\n"
	rows, problems := ReadDecisions("decisions.csv", []byte(table), trial.Speed)
	if len(problems) > 0 || len(rows) != 1 || rows[0].Effort != trial.Power || rows[0].Sessions != 4 {
		t.Fatalf("%+v %v", rows, problems)
	}
	near(t, "estimate", rows[0].Estimate, 0.01, 1e-6)          // ln 1.01005
	near(t, "standard error", rows[0].SE, 0.02/3.919928, 1e-7) // ln 1.020201 is 0.02
	rows, _ = ReadDecisions("decisions.csv", []byte(table), trial.Heart)
	near(t, "heart rate", rows[0].Estimate, -math.Log(1.02), 1e-9)
	for old, c := range map[string]struct{ with, want string }{
		"0.0000,2.0201": {"3.0000,2.0201", "decisions.csv:2:40: high: 2.0201 is below low"},
		"1.0050":        {"-100", "estimate: -100 % is no difference"},
		"effort,":       {"level,", `column "effort" is missing`},
		"16,1,1.0050":   {"16,1,x", `estimate: "x"`},
	} {
		_, problems := ReadDecisions("decisions.csv", []byte(strings.Replace(table, old, c.with, 1)), trial.Speed)
		if len(problems) == 0 || !strings.Contains(fmt.Sprint(problems[0]), c.want) {
			t.Errorf("%q for %q: %v, want %q", c.with, old, problems, c.want)
		}
	}
}

// Two runners say nothing classically of a third (t with 1 degree of freedom); the prior on
// the spread lets them. stats.TestPoolWithPriorEqualVariances checks the numbers.
func TestModelOfTwoRunners(t *testing.T) {
	a := Run([]Study{study(t, 0, table("b", "a", 0.02, 0.004)), study(t, 1, table("b", "a", 0.024, 0.004))}, options)
	p := a.Pairs[0]
	m := p.Model
	if m == nil || !(m.NewLow < m.Low && m.High < m.NewHigh) || !(m.NewChance > 0.9 && m.NewChance < m.Chance) ||
		!(m.NewWorthwhile < m.NewChance) || !(p.PredictionHigh-p.PredictionLow > 1.5*(m.NewHigh-m.NewLow)) {
		t.Errorf("%+v against the classical %+v", m, p)
	}
	near(t, "mean", m.Estimate, 100*math.Expm1(0.022), 1e-9)
	// A wider prior lets runners differ by more.
	wide := options
	wide.RunnerPct = 3
	wider := Run([]Study{study(t, 0, table("b", "a", 0.02, 0.004)), study(t, 1, table("b", "a", 0.024, 0.004))}, wide)
	if w := wider.Pairs[0].Model; !(w.NewHigh-w.NewLow > 1.5*(m.NewHigh-m.NewLow) && w.Tau > m.Tau) {
		t.Errorf("with a prior of 3 %%: %+v, with 1 %%: %+v", w, m)
	}
	// One runner: the prior alone says how another may differ.
	m = Run([]Study{study(t, 0, table("b", "a", 0.02, 0.004))}, options).Pairs[0].Model
	near(t, "one runner", m.Estimate, 100*math.Expm1(0.02), 1e-9)
	if m.NewChance < 0.5 || m.NewChance >= m.Chance {
		t.Errorf("one runner: %+v", m)
	}
	// A scale from 0 to 100 mm has no percent, and so no such prior.
	raw := options
	raw.Outcome = trial.Comfort
	text := strings.Replace(table("b", "a", 12, 4), "speed,percent", "comfort,mm", 1)
	rows, _ := ReadComparisons("comparisons.csv", []byte(text), trial.Comfort)
	if m := Run([]Study{{Rows: rows}}, raw).Pairs[0].Model; m != nil {
		t.Errorf("comfort has %+v", m)
	}
}
