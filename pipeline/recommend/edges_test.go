package recommend

import (
	"math"
	"slices"
	"strings"
	"testing"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/decide"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/steady"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// A chance of 90 % counts, one below does not; to be faster counts before not to be slower.
func TestByTime(t *testing.T) {
	for _, c := range []struct {
		chances chances
		want    preference
	}{{chances{0.90, 0.99}, better}, {chances{0.899, 0.90}, noWorse}, {chances{0.899, 0.899}, worse},
		{chances{none, 0.99}, unknown}} {
		if got := c.chances.byTime(); got != c.want {
			t.Errorf("%+v: %v, want %v", c.chances, got, c.want)
		}
	}
}

// A pair's chances, seen from either shoe: above 0 and not above 0; above minus what matters is above
// what matters or within it, and the other way round it is not above what matters.
func TestPairChances(t *testing.T) {
	p := answer.Pair{Shoe: "b", Reference: "a"}
	p.D = decide.Difference{Above: 0.8, AboveWorthwhile: 0.5, Within: 0.4}
	e := &answer.Effort{Groups: []answer.Group{{Pairs: []answer.Pair{p}}}}
	for _, c := range []struct {
		shoe, other string
		want        chances
	}{{"b", "a", chances{0.8, 0.9}}, {"a", "b", chances{0.2, 0.5}}, {"a", "c", chances{none, none}}} {
		got := pairChances(e, c.shoe, c.other)
		if !same(got.faster, c.want.faster) || !same(got.notSlower, c.want.notSlower) {
			t.Errorf("%s against %s: %+v, want %+v", c.shoe, c.other, got, c.want)
		}
	}
}

func same(got, want float64) bool {
	return units.Known(got) == units.Known(want) && !(math.Abs(got-want) > 1e-12)
}

// The mean of the included blocks of a shoe at an effort of which somebody was asked.
func TestMeanComfort(t *testing.T) {
	block := func(shoe string, comfort float64, included bool) derive.Block {
		b := derive.Block{Summary: steady.Summary{Shoe: shoe}, Included: included}
		b.Outcomes[trial.Comfort] = comfort
		return b
	}
	r := &derive.Result{Dataset: &trial.Dataset{Sessions: []trial.Session{
		{Facts: trial.SessionFacts{Effort: "power"}}, {Facts: trial.SessionFacts{Effort: "pace"}}}},
		Sessions: []derive.SessionResult{
			{Blocks: []derive.Block{block("a", 60, true), block("a", 90, true), block("a", 10, false),
				block("b", 20, true), block("a", none, true)}},
			{Blocks: []derive.Block{block("a", 30, true)}},
		}}
	for _, c := range []struct {
		shoe   string
		effort trial.Effort
		want   float64
	}{{"a", "power", 75}, {"a", "pace", 30}, {"a", "", 60}, {"b", "", 20}, {"b", "pace", none}, {"c", "", none}} {
		if got := MeanComfort(r, c.shoe, c.effort); !same(got, c.want) {
			t.Errorf("%s at %q: %v, want %v", c.shoe, c.effort, got, c.want)
		}
	}
}

// What the register says of a shoe: more worn than expected leaves nothing.
func TestFacts(t *testing.T) {
	r := &derive.Result{Dataset: &trial.Dataset{Shoes: []trial.Shoe{
		{ID: "a", MassG: 214, WornKm: 120, ExpectedKm: 500}, {ID: "b", MassG: 230, WornKm: 600, ExpectedKm: 500},
		{ID: "c", MassG: none, WornKm: none, ExpectedKm: 500}}}}
	for _, c := range []struct {
		shoe             string
		mass, worn, left float64
	}{{"a", 214, 120, 380}, {"b", 230, 600, 0}, {"c", none, none, none}, {"d", none, none, none}} {
		got := facts(r, c.shoe, "")
		if !same(got.MassG, c.mass) || !same(got.WornKm, c.worn) || !same(got.RemainingKm, c.left) {
			t.Errorf("%s: %+v, want %v g, %v km worn, %v km left", c.shoe, got, c.mass, c.worn, c.left)
		}
	}
}

// Prices in one currency are taken over, whether or not every shoe has one.
func TestPricesInOneCurrency(t *testing.T) {
	ds := &trial.Dataset{Shoes: []trial.Shoe{{ID: "b", Price: 80, Currency: "EUR"},
		{ID: "a", Price: none, Currency: "GBP"}, {ID: "c", Price: 90.5, Currency: "EUR"}}}
	a := Advice{Candidates: []Candidate{{Shoe: "a", Price: none}, {Shoe: "b", Price: none}, {Shoe: "c", Price: none}}}
	a.price(ds)
	if a.Currencies || a.Currency != "EUR" || units.Known(a.Candidates[0].Price) || a.Candidates[1].Price != 80 ||
		a.Candidates[2].Price != 90.5 {
		t.Errorf("%+v", a)
	}
}

// What is missing in the tables, in each combination.
func TestLacking(t *testing.T) {
	for _, c := range []struct {
		criteria []Criterion
		want     string
	}{{nil, "prices and expected km (price"}, {[]Criterion{Remaining}, "prices (price and"},
		{[]Criterion{Price}, "expected km (expected_km"}, {[]Criterion{Price, Remaining}, ""}} {
		a := Advice{Criteria: c.criteria}
		got := strings.Join(a.lacking(), "; ")
		if (c.want == "") != (got == "") || !strings.Contains(got, "tables: "+c.want) && c.want != "" {
			t.Errorf("%v: %q, want %q", c.criteria, got, c.want)
		}
	}
}

// A tie has no winner, and a shoe of which something is not known does not win it; nothing known of
// two shoes is no criterion.
func TestTitles(t *testing.T) {
	a := Advice{Status: decide.Same, Criteria: []Criterion{Weight, Wear, Remaining}, Candidates: []Candidate{
		{MassG: 210, WornKm: none, RemainingKm: 300, ComfortMm: 70, Price: 100},
		{MassG: 210, WornKm: 40, RemainingKm: 299, ComfortMm: none, Price: none},
		{MassG: 211, WornKm: 41, RemainingKm: 0, ComfortMm: none, Price: none}}}
	want := [][]string{{"the one with most expected km left"}, {"least worn"}, nil}
	for i := range a.Candidates {
		if got := a.titles(i); !slices.Equal(got, want[i]) {
			t.Errorf("candidate %d: %q, want %q", i, got, want[i])
		}
	}
}

// A shoe that is best at all that is known is no choice yet where another is not set aside.
func TestNoChoiceWhileAnotherIsLeft(t *testing.T) {
	a := Advice{Status: decide.Same, Criteria: []Criterion{Weight}, Candidates: []Candidate{
		{Shoe: "a", MassG: 210, ComfortMm: none, WornKm: none, RemainingKm: none, Price: none},
		{Shoe: "b", MassG: 220, ComfortMm: none, WornKm: none, RemainingKm: none, Price: none}}}
	if got := a.winners(strings.ToUpper); got != "No single winner: A is lightest." {
		t.Errorf("%q", got)
	}
	a.Candidates[1].SetAsideFor = []Better{{"a", []Criterion{Weight}}}
	if got := a.winners(strings.ToUpper); got != "One choice: A is lightest." {
		t.Errorf("%q", got)
	}
	if got := a.Candidates[1].Standing(strings.ToUpper); got != "A is better on weight, and no worse on the rest" {
		t.Errorf("%q", got)
	}
	if got := a.Candidates[0].Standing(strings.ToUpper); got != "" {
		t.Errorf("%q", got)
	}
	want := "B is not among the choices: A is better on weight, and no worse on the rest."
	if got := a.Sentences(strings.ToUpper)[1]; got != want {
		t.Errorf("%q", got)
	}
}

// Comfort that was asked of one shoe only says nothing; a higher rating is better only where that is
// shown, a lower one always worse.
func TestByComfort(t *testing.T) {
	a := Advice{Candidates: []Candidate{{Shoe: "a", ComfortMm: 60}, {Shoe: "b", ComfortMm: 60.5},
		{Shoe: "c", ComfortMm: 80},
		{Shoe: "d", ComfortMm: none}}}
	shown := func(shoe, other string) bool { return shoe == "c" && other == "a" }
	for _, c := range []struct {
		i, j int
		want preference
	}{{0, 3, unknown}, {3, 0, unknown}, {0, 1, worse}, {1, 0, noWorse}, {2, 0, better}, {2, 1, noWorse},
		{0, 2, worse}} {
		if got := a.byComfort(c.i, c.j, shown); got != c.want {
			t.Errorf("%d against %d: %v, want %v", c.i, c.j, got, c.want)
		}
	}
}

// Speed at the same power makes an advice, heart rate at the same pace is no difference in time.
func TestAdviceIsOnSpeed(t *testing.T) {
	for effort, want := range map[trial.Effort]bool{trial.Power: true, trial.Pace: false} {
		ds := &trial.Dataset{Facts: trial.DatasetFacts{Method: trial.DefaultMethod(), Limits: trial.DefaultLimits()},
			Shoes: []trial.Shoe{{ID: "a", MassG: 230}, {ID: "b", MassG: 210}}}
		ds.Facts.Method.Reference = "a"
		in := answer.Inputs{Dataset: ds, Accuracy: decide.Coarse}
		r := &derive.Result{Dataset: ds}
		for _, id := range []string{"s1", "s2", "s3"} {
			session := trial.Session{ID: id, Facts: trial.SessionFacts{Effort: string(effort), Date: "2026-03-07"}}
			for place, shoe := range []string{"a", "b", "b", "a"} {
				better := 1 + 0.03*float64(shoe[0]-'a') + 0.001*float64(place%2)
				session.Blocks = append(session.Blocks, trial.Block{ID: string(rune('1' + place)), Shoe: shoe})
				in.Blocks = append(in.Blocks, answer.Block{Session: id, Date: "2026-03-07",
					ID:   string(rune('1' + place)),
					Shoe: shoe, Effort: effort, Target: 250, Midpoint: 540 * float64(place), Order: place + 1,
					GroundM: none, SensorM: none,
					Windows: []answer.Means{{Speed: 4 * better, HeartRate: 160 / better, Effort: 250}}})
			}
			ds.Sessions, r.Sessions = append(ds.Sessions, session), append(r.Sessions, derive.SessionResult{ID: id})
		}
		r.Answers = answer.Decide(in)
		if e, g := r.Answers.Top(); g == nil || g.Places[0].Shoe != "b" {
			t.Fatalf("%s: no answer for b: %+v", effort, e)
		}
		a, ok := Run(r)
		if ok != want || ok && (a.Fastest != "b" || a.Reference != "a" || len(a.Choices()) != 1) {
			t.Errorf("%s held: %v, %+v", effort, ok, a)
		}
	}
}
