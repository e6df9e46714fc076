package derive_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"soletrial/pipeline/compare"
	"soletrial/pipeline/decide"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/trial"
)

// Findings stand in the order of the dataset: those about the whole of it first,
// then session by session, those about the whole session before those about its
// blocks, block by block, and for one block in the order of the rule table.
func TestFindingsInOrder(t *testing.T) {
	first, second := worn("AABB", 4, 4, 4.04, 4.04), worn("CD", 4, 4)
	first[3].power, first[2].power = 260, 260
	second[1].power = 330
	files := lab{sessions: []labSession{
		{id: "zulu", blocks: first},
		{id: "alpha", facts: "effort: power\ntarget: 250\noverrides: [{rule: effort-off, reason: it was meant}]\n",
			blocks: second},
	}}.files()
	files["shoes.csv"] = &fstest.MapFile{
		Data: []byte("id,label,mass_g\na,Alder,240\nb,Birch,\nc,Cedar,225\nd,Damson,230\n"),
	}
	files["sessions/zulu/blocks.csv"].Data = []byte(strings.Replace(string(files["sessions/zulu/blocks.csv"].Data),
		"4,b,1200,1500", "4,b,1200,1300", 1))
	r := deriveFS(t, files)
	var got []string
	for _, f := range r.Findings {
		got = append(got, f.Session+" "+f.Block+" "+string(f.Rule))
	}
	want := []string{
		"  shoes-unlinked", "  effort-uneven", "  plan-missing", "  one-runner", "  mass-missing",
		"zulu  order-confounded", "zulu 3 effort-off", "zulu 4 block-short", "zulu 4 effort-off",
		"alpha  one-block-per-shoe", "alpha 2 effort-off",
	}
	if !slices.Equal(got, want) {
		t.Errorf("findings %q, want %q", got, want)
	}
	text := table(r, "findings.csv")
	for _, row := range []string{
		`zulu,3,effort-off,warn,4.0000,3.0000,held 260.0 W against a target of 250 W (+4.0 %)`,
		`alpha,2,effort-off,stop,32.0000,15.0000,held 330.0 W against a target of 250 W (+32.0 %) (overridden: it ` +
			`was meant)`,
	} {
		if !strings.Contains(text, "\n"+row+"\n") {
			t.Errorf("findings.csv lacks %q:\n%s", row, text)
		}
	}
}

// A block's fate is its own: what is said of the others, before or after it, has
// no bearing.
func TestEachBlockIsDecidedByItself(t *testing.T) {
	blocks := worn("ABBABA", 4, 4.04, 4.04, 4, 4.04, 4)
	blocks[0].include = "no,warm-up"
	blocks[1].power = 260
	blocks[2].power = 320
	blocks[4].power = 260
	r := lab{method: "  power_exponent: 0\n", sessions: []labSession{{blocks: blocks}}}.derive(t)
	for i, want := range []string{"out: warm-up", "in: ", "out: excluded by effort-off", "in: ", "in: ", "in: "} {
		b := r.Sessions[0].Blocks[i]
		if got := map[bool]string{true: "in: ", false: "out: "}[b.Included] + b.Reason; got != want {
			t.Errorf("block %s is %q, want %q", b.Block, got, want)
		}
	}
	if c := speed(t, r, "b", "a"); c.Blocks != 4 {
		t.Errorf("%d blocks compared, want 4", c.Blocks)
	}
}

// A forecast starts from the answer in speed, and from the mean speed of the reference
// shoe's included blocks at its effort.
func TestForecastStartsFromTheAnswer(t *testing.T) {
	held := worn("ABBAA", 4, 4.04, 4.04, 4, 5)
	held[4].include = "no,sprint"
	other := worn("AB", 4.5, 4.5)
	for i := range other {
		other[i].target, other[i].power = "300", 300
	}
	pace := worn("ABBABA", 4, 4, 4, 4, 4, 4)
	for i := range pace {
		pace[i].heart = 150 + float64(i)/4
	}
	l := lab{method: "  drift: none\n  races:\n    - {distance_m: 10000, time: \"40:00\"}\n    - {distance_m: 5000, " +
		"time: \"19:00\"}\n", sessions: []labSession{
		{blocks: append(held, other...)}, {facts: "effort: pace\ntarget: 4:10\n", blocks: pace},
	}}
	r := l.derive(t)
	if top := r.Compare.Rankings[0]; top.Level != "pace 4:10" {
		t.Fatalf("the ranking with the most blocks is at %s, want pace 4:10", top.Level)
	}
	effects := derive.Effects(r)
	if len(effects) != 1 || effects[0].Shoe != "b" || effects[0].Reference != "a" {
		t.Fatalf("effects %+v, want one of b against a", effects)
	}
	// The decision's estimate, of all targets of the effort together (1 % at one, none at the
	// other), which decide.TestCases checks.
	e, g := derive.RaceAnswer(r)
	near(t, "effect", effects[0].Estimate, decide.Percent(g.Lead.D.Mean), 1e-12)
	near(t, "on one day", effects[0].DayLow, decide.Percent(g.Lead.NextLow), 1e-12)
	if e.Effort != trial.Power || !(effects[0].DayLow < effects[0].Low && effects[0].High < effects[0].DayHigh) {
		t.Errorf("at %s: %+v", e.Effort, effects[0])
	}
	near(t, "speed of the test", effects[0].TestSpeed, (4+4+4.5)/3, 1e-12)
	races := map[string]int{}
	for _, f := range r.Forecasts {
		races[fmt.Sprint(f.Shoe, f.Reference, f.DistanceM, f.BaseTimeS)]++
		if !(f.ChangeS < 0 && f.ChangeS > -0.02*f.BaseTimeS) {
			t.Errorf("%s over %v m: %v s of %v s for 1 %% more speed", f.Curve, f.DistanceM, f.ChangeS, f.BaseTimeS)
		}
	}
	if len(races) != 2 || races["ba10000 2400"] != races["ba5000 1140"] || races["ba10000 2400"] < 2 {
		t.Errorf("forecasts %v, want several curves for each of two races", races)
	}
}

// Without a comparison in speed there is nothing to forecast.
func TestNoForecast(t *testing.T) {
	const races = "  races: [{distance_m: 10000, time: \"40:00\"}]\n"
	blocks := worn("ABBA", 4, 4, 4, 4)
	for i := range blocks {
		blocks[i].heart = 150
	}
	for name, l := range map[string]lab{
		"pace held": {method: races, sessions: []labSession{{facts: "effort: pace\ntarget: 4:10\n",
			blocks: blocks}}},
		"one shoe only": {method: races, sessions: []labSession{{blocks: worn("AA", 4, 4.1)}}},
		"no sessions":   {method: races},
		"no races":      {sessions: []labSession{{blocks: worn("ABBA", 4, 4.1, 4.1, 4)}}},
	} {
		r := l.derive(t)
		if len(r.Forecasts) > 0 || strings.Count(table(r, "forecast.csv"), "\n") != 1 {
			t.Errorf("%s: forecasts %+v", name, r.Forecasts)
		}
	}
}

// A result finds its sessions by id.
func TestSessionByID(t *testing.T) {
	r := lab{sessions: []labSession{{id: "one", blocks: worn("AB", 4, 4)},
		{id: "two", blocks: worn("AB", 4, 4)}}}.derive(t)
	if s := r.Session("two"); s == nil || s.ID != "two" || len(s.Blocks) != 2 {
		t.Errorf("session two is %+v", s)
	}
	if s := r.Session("three"); s != nil {
		t.Errorf("session three is %+v, want none", s)
	}
	if c := speed(t, r, "b", "a"); c.Model == compare.NotComparable {
		t.Errorf("%s", c.Model)
	}
}
