package pool

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"soletrial/pipeline/stats"
	"soletrial/pipeline/trial"
)

// rowsOf are comparisons in speed at 250 W, "shoe reference runners blocks log se df" each.
func rowsOf(t *testing.T, i int, rows ...string) Study {
	t.Helper()
	text := header
	for _, row := range rows {
		f := strings.Fields(row)
		line := fmt.Sprintf("speed,percent,power,250,mixed,%s,%s,%s,4,%s,%s,%s,%s,1.0\n", f[0], f[1], f[2], f[3], f[4],
			f[5], f[6])
		text += strings.ReplaceAll(line, "blank", "")
	}
	return study(t, i, text)
}

// The interval of one runner is 2.228139 standard errors to either side with 10 degrees of freedom
// (tables of the t distribution), in percent; turned round it has the other sign.
func TestIntervalOfOneRunner(t *testing.T) {
	one := []Study{rowsOf(t, 0, "b a 1 16 0.01 0.004 10")}
	e := Run(one, options).Pairs[0].Entries[0]
	near(t, "low", e.Low, 100*math.Expm1(0.01-2.228139*0.004), 1e-6)
	near(t, "high", e.High, 100*math.Expm1(0.01+2.228139*0.004), 1e-6)
	turned := options
	turned.Reference = "b"
	e = Run(one, turned).Pairs[0].Entries[0]
	near(t, "estimate turned", e.Estimate, 100*math.Expm1(-0.01), 1e-9)
	near(t, "low turned", e.Low, 100*math.Expm1(-0.01-2.228139*0.004), 1e-6)
	near(t, "high turned", e.High, 100*math.Expm1(-0.01+2.228139*0.004), 1e-6)
}

// The reference is the shoe that most datasets have as theirs, the first by id where as many have
// the other.
func TestReferenceByMajority(t *testing.T) {
	a, b := "b a 1 16 0.01 0.004 10", "a b 1 16 -0.01 0.004 10"
	for want, rows := range map[string][]string{"a a a": {a, a, b}, "b b": {b, a, b}, "a": {a, b}} {
		var studies []Study
		for i, row := range rows {
			studies = append(studies, rowsOf(t, i, row))
		}
		if got := Run(studies, options).Pairs[0].Reference; got != want[:1] {
			t.Errorf("%q: reference %s, want %s", rows, got, want[:1])
		}
	}
	// A wish goes before the majority.
	for _, wish := range []string{"a", "b"} {
		o := options
		o.Reference = wish
		for _, row := range []string{a, b} {
			if got := Run([]Study{rowsOf(t, 0, row)}, o).Pairs[0].Reference; got != wish {
				t.Errorf("%q: reference %s, want %s", row, got, wish)
			}
		}
	}
}

// What counts of a study, and what is said of the rest.
func TestWhatIsPooled(t *testing.T) {
	fine := "b a 1 16 0.01 0.004 10"
	for _, c := range []struct {
		name   string
		rows   []string
		blocks []int // of the pairs' entries
		why    string
	}{
		{"more blocks later", []string{fine, "b a 1 17 0.02 0.004 10"}, []int{17}, ""},
		{"as many blocks later", []string{"b a 1 16 0.03 0.004 10", "a b 1 16 -0.02 0.004 10"}, []int{16}, ""},
		{"two pairs", []string{fine, "c a 1 12 0.02 0.004 10"}, []int{16, 12}, ""},
		{"a pair without an interval beside one with", []string{fine, "c a 1 12 0.02 blank blank"}, []int{16}, ""},
		{"an error of 0", []string{"b a 1 16 0.01 0 10"}, nil, "no estimate has an interval"},
		{"no degrees of freedom", []string{"b a 1 16 0.01 0.004 0"}, nil, "no estimate has an interval"},
		{"two runners in one", []string{"b a 2 16 0.01 0.004 10"}, nil, "several runners in one estimate"},
		{"two runners beside one", []string{fine, "c a 2 12 0.02 0.004 10"}, []int{16},
			"several runners in one estimate"},
		{"nothing", nil, nil, "nothing was compared in speed at the same power"},
	} {
		answer := Run([]Study{rowsOf(t, 0, c.rows...)}, options)
		var blocks []int
		for _, p := range answer.Pairs {
			blocks = append(blocks, p.Entries[0].Blocks)
		}
		why := ""
		for _, out := range answer.LeftOut {
			why += out.Why
		}
		if !slices.Equal(blocks, c.blocks) || (c.why == "") != (why == "") || !strings.Contains(why, c.why) {
			t.Errorf("%s: blocks %v and %q, want %v and %q", c.name, blocks, why, c.blocks, c.why)
		}
	}
	first := Run([]Study{rowsOf(t, 0, "b a 1 16 0.03 0.004 10", "b a 1 16 0.02 0.004 10")}, options).Pairs[0].Entries[0]
	near(t, "the first of two with as many blocks", first.Estimate, 100*math.Expm1(0.03), 1e-9)
}

// Without a wish it is the effort at which most datasets can be pooled, the first where as many can
// at another.
func TestEffortByMajority(t *testing.T) {
	at := func(efforts ...trial.Effort) (studies []Study) {
		for _, effort := range efforts {
			studies = append(studies, Study{Rows: []Row{{Effort: effort, Runners: 1, SE: 0.01, DF: 9}}})
		}
		return studies
	}
	lame := at(trial.Pace, trial.Power, trial.Pace)
	lame[0].Rows[0].SE = 0 // cannot be pooled
	for _, c := range []struct {
		studies []Study
		want    trial.Effort
	}{{at(trial.Pace, trial.Power), trial.Power}, {at(trial.Pace, trial.Power, trial.Pace), trial.Pace},
		{at(trial.HeartRate), trial.HeartRate}, {at(trial.HeartRate, trial.Pace), trial.Pace}, {lame, trial.Power},
		{nil, trial.Power}} {
		if got := mostCommonEffort(c.studies); got != c.want {
			t.Errorf("%d studies: %s, want %s", len(c.studies), got, c.want)
		}
	}
}

// The same trials as TestBCG: the Q-profile interval of the spread between studies, 0.3460 to 1.0543
// (documentation of metafor's confint, from memory), the standard error from the published interval
// and t with 12 degrees of freedom, 2.178813, and p of Q below 0.0001.
func TestSpreadOfBCG(t *testing.T) {
	var studies []Study
	for i, d := range bcg {
		y := math.Log(d[0] / (d[0] + d[1]) / (d[2] / (d[2] + d[3])))
		se := math.Sqrt(1/d[0] - 1/(d[0]+d[1]) + 1/d[2] - 1/(d[2]+d[3]))
		studies = append(studies, study(t, i, table("vaccine", "control", y, se)))
	}
	p := Run(studies, options).Pairs[0]
	near(t, "lower end of the spread", p.TauLow, 0.3460, 5e-5)
	near(t, "upper end of the spread", p.TauHigh, 1.0543, 5e-5)
	near(t, "standard error", p.LogSE, (1.1084-0.3206)/2/2.178813, 5e-5)
	if !(p.QP >= 0 && p.QP < 0.0001) {
		t.Errorf("p of Q %v", p.QP)
	}
}

// Masses that differ by 1 g are a doubt, by less they are none; four labels are named and no more.
func TestDoubtsAtTheirLimits(t *testing.T) {
	for _, c := range []struct {
		masses []float64
		want   string
	}{{[]float64{240, 241}, "b weighs from 240 to 241 g: another size, or another shoe?"}, {[]float64{240, 240.9}, ""},
		{[]float64{241, 240}, "b weighs from 240 to 241 g: another size, or another shoe?"},
		{[]float64{240, math.NaN(), 239}, "b weighs from 239 to 240 g: another size, or another shoe?"}} {
		var studies []Study
		for i, mass := range c.masses {
			s := rowsOf(t, i, "b a 1 16 0.01 0.004 10")
			s.Shoes = []trial.Shoe{{ID: "b", Label: "Birch", MassG: mass}}
			studies = append(studies, s)
		}
		a := Run(studies, options)
		if got := strings.Join(a.Doubts(), "; "); got != c.want {
			t.Errorf("%v g: %q, want %q", c.masses, got, c.want)
		}
	}
	names := []string{"a", "b", "c", "d", "e", "f"}
	if got := quoted(names[:4]) + "; " + quoted(names); got != `"a", "b", "c", "d"; "a", "b", "c", "d", 2 more` {
		t.Errorf("labels %s", got)
	}
}

// The commonest comes first, then by name.
func TestCommonestFirst(t *testing.T) {
	var a Answer
	for _, licence := range []string{"CC0-1.0", "CC-BY-4.0", "", "CC-BY-4.0", ""} {
		a.Studies = append(a.Studies, Study{Facts: trial.DatasetFacts{Licence: licence,
			Contributors: []trial.Contributor{{Name: "N. N."}}}})
	}
	if got := a.Licences(); !slices.Equal(got, []Named{{"", 2}, {"CC-BY-4.0", 2}, {"CC0-1.0", 1}}) {
		t.Errorf("licences %+v", got)
	}
	if got := a.Contributors(); !slices.Equal(got, []Named{{"N. N.", 5}}) {
		t.Errorf("contributors %+v", got)
	}
	if got := a.Terms(); len(got) != 1 || !strings.HasPrefix(got[0], "2 datasets state no licence") {
		t.Errorf("terms %q", got)
	}
}

// Halfway between two runners who are known as well, a third is as likely above as below.
func TestThirdRunnerByHand(t *testing.T) {
	middle := options
	middle.WorthwhilePct = 100 * math.Expm1(0.022)
	two := []Study{study(t, 0, table("b", "a", 0.02, 0.004)), study(t, 1, table("b", "a", 0.024, 0.004))}
	prior, err := stats.PoolWithPrior([]float64{0.02, 0.024}, []float64{0.004 * 0.004, 0.004 * 0.004}, 0.01)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "spread under a prior of 1 %", Run(two, middle).Pairs[0].Model.Tau, prior.Tau, 1e-12)
	near(t, "chance above the middle", Run(two, middle).Pairs[0].Model.NewWorthwhile, 0.5, 1e-6)
}

// A table without rows is no error, an empty one is, in its first line; an id keeps what stands
// between the cells inside.
func TestTablesAtTheirLimits(t *testing.T) {
	if rows, problems := ReadComparisons("comparisons.csv", []byte(header), trial.Speed); rows != nil ||
		problems != nil {
		t.Errorf("only a header: %v %v", rows, problems)
	}
	if _, problems := ReadComparisons("comparisons.csv", nil, trial.Speed); len(problems) != 1 ||
		problems[0].At != (trial.Position{File: "comparisons.csv", Line: 1}) {
		t.Errorf("nothing: %+v", problems)
	}
	odd := "b" + cellSeparator + "c"
	rows, problems := ReadComparisons("comparisons.csv", []byte(table(odd, "a", 0.01, 0.004)), trial.Speed)
	if len(problems) > 0 || len(rows) != 1 || rows[0].Shoe != odd {
		t.Errorf("%q: %+v %v", odd, rows, problems)
	}
}
