package recommend

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"soletrial/pipeline/compare"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/steady"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// made is a shoe of an invented result: its gain in speed over the first one, and
// what else is known of it.
type made struct {
	id                           string
	gainPct, comfort, mass, worn float64
}

// result makes a result in which speeds are told apart when they differ by more
// than 0.5 %, and comforts when they differ by more than 5 mm. The first shoe is
// the reference.
func result(shoes ...made) *derive.Result {
	method := trial.DefaultMethod()
	method.Races = []trial.Race{{DistanceM: 10000, Time: "41:40"}}
	ds := &trial.Dataset{Facts: trial.DatasetFacts{Method: method},
		Sessions: []trial.Session{{ID: "s", Facts: trial.SessionFacts{Effort: "power"}}}}
	r := &derive.Result{Dataset: ds, Sessions: []derive.SessionResult{{ID: "s"}}}
	ranking := compare.Ranking{Outcome: trial.Speed, Effort: trial.Power, Level: "power 250"}
	for i, m := range shoes {
		ds.Shoes = append(ds.Shoes, trial.Shoe{ID: m.id, MassG: m.mass, WornKm: m.worn, ExpectedKm: units.Missing,
			Price: units.Missing})
		b := derive.Block{Summary: steady.Summary{Shoe: m.id, Target: 250}, Included: true}
		b.Outcomes[trial.Speed], b.Outcomes[trial.Comfort] = 4*(1+m.gainPct/100), m.comfort
		r.Sessions[0].Blocks = append(r.Sessions[0].Blocks, b)
		place := compare.Place{Shoe: m.id, Reference: i == 0, Estimate: m.gainPct}
		for j, other := range shoes {
			if math.Abs(m.gainPct-other.gainPct) > 0.5 {
				place.Apart = append(place.Apart, other.id)
			}
			if j < i {
				gain := ((1+m.gainPct/100)/(1+other.gainPct/100) - 1) * 100
				r.Compare.Comparisons = append(r.Compare.Comparisons,
					compare.Comparison{Outcome: trial.Speed, Level: "power 250", Shoe: m.id, Reference: other.id,
						Estimate: gain, Low: gain - 0.5, High: gain + 0.5},
					compare.Comparison{Outcome: trial.Comfort, Level: "power 250", Shoe: m.id, Reference: other.id,
						Estimate: m.comfort - other.comfort, Low: m.comfort - other.comfort - 5, High: m.comfort -
							other.comfort + 5})
			}
		}
		ranking.Places = append(ranking.Places, place)
	}
	slices.SortStableFunc(ranking.Places, func(a, b compare.Place) int { return cmp.Compare(b.Estimate, a.Estimate) })
	r.Compare.Rankings = []compare.Ranking{ranking}
	return r
}

func advise(t testing.TB, shoes ...made) Advice {
	t.Helper()
	a, ok := Run(result(shoes...))
	if !ok {
		t.Fatal("no advice")
	}
	return a
}

func beaten(a Advice) map[string]string {
	by := map[string]string{}
	for _, c := range a.Candidates {
		by[c.Shoe] = strings.Join(c.DominatedBy, " ")
	}
	return by
}

func TestBeaten(t *testing.T) {
	none := units.Missing
	for name, c := range map[string]struct {
		shoes []made
		want  map[string]string // only those that are beaten
	}{
		"the best at everything": {[]made{{"a", 0, 50, 280, 400}, {"b", 2, 70, 210, 40}},
			map[string]string{"a": "b"}},
		"a trade": {[]made{{"a", 0, 70, 280, 40}, {"b", 2, 50, 210, 400}}, nil},
		"alike in time, so weight decides": {[]made{{"a", 0.4, 60, 280, 100}, {"b", 0, 60, 210, 100}},
			map[string]string{"a": "b"}},
		"alike in comfort, so wear decides": {[]made{{"a", 0, 64, 250, 100}, {"b", 0, 60, 250, 90}},
			map[string]string{"a": "b"}},
		"alike in everything": {[]made{{"a", 0, 60, 250, 100}, {"b", 0.3, 62, 250, 100}}, nil},
		"never weighed, never beaten": {[]made{{"a", 0, 50, none, 400}, {"b", 2, 70, 210, 40},
			{"c", 0, 50, 250, 400}}, map[string]string{"c": "b"}},
		"nobody was asked about comfort": {[]made{{"a", 0, none, 280, 400}, {"b", 2, none, 210, 40}},
			map[string]string{"a": "b"}},
		"beaten by two, one of these beaten": {[]made{{"a", 0, 50, 280, 400}, {"b", 1, 60, 270, 300},
			{"c", 2, 70, 260, 200}}, map[string]string{"a": "c b", "b": "c"}},
	} {
		for shoe, by := range beaten(advise(t, c.shoes...)) {
			if by != c.want[shoe] {
				t.Errorf("%s: %s is beaten by %q, want %q", name, shoe, by, c.want[shoe])
			}
		}
	}
	if a := advise(t, made{"a", 0, none, none, 1}, made{"b", 2, 50, 210, none}); !slices.Equal(a.Criteria,
		[]Criterion{Time}) {
		t.Errorf("judged by %v, but only times are known of both", a.Criteria)
	}
}

// At test speed every curve gives the same time: 10 km at 4 m/s are 2500 s, and
// 2 % more speed makes that 2500/1.02. The interval is the comparison's.
func TestCosts(t *testing.T) {
	a := advise(t, made{"slow", 0, 50, 280, 400}, made{"fast", 2, 70, 210, 40}, made{"near", 1.8, 70, 210, 40})
	if a.Fastest != "fast" || a.Reference != "slow" || a.Candidates[0].Costs[0].Max != 0 {
		t.Fatalf("%+v", a)
	}
	near, slow := a.Candidates[1], a.Candidates[2]
	if !near.NoClearDifference || slow.NoClearDifference || a.Candidates[0].NoClearDifference {
		t.Errorf("alike: %v %v", near.NoClearDifference, slow.NoClearDifference)
	}
	for _, c := range []struct {
		name            string
		got, want, span float64
	}{
		{"slow", slow.Costs[0].Min, 2500 - 2500/1.02, 1e-9}, {"slow", slow.Costs[0].Max, 2500 - 2500/1.02, 1e-9},
		{"near", near.Costs[0].Min, 2500/1.018 - 2500/1.02, 0.02}, {"near", near.Costs[0].Max,
			2500/1.018 - 2500/1.02, 0.02},
		{"near at best", near.Costs[0].Low, 2500 / 1.02 * (1/(1.018/1.02+0.005) - 1), 0.02}, {"near at worst",
			near.Costs[0].High, 2500 / 1.02 * (1/(1.018/1.02-0.005) - 1), 0.02},
	} {
		if !(math.Abs(c.got-c.want) <= c.span) {
			t.Errorf("%s: %v, want %v", c.name, c.got, c.want)
		}
	}
	if got := strings.Join(a.Sentences(strings.ToUpper), " "); !strings.Contains(got,
		"Judged by time, comfort, weight and wear") ||
		!strings.Contains(got, "no other shoe beats FAST and NEAR on everything") ||
		!strings.Contains(got, "NEAR cannot be told apart from FAST") {
		t.Errorf("%s", got)
	}
}

func TestNoAdvice(t *testing.T) {
	if _, ok := Run(&derive.Result{Dataset: &trial.Dataset{}}); ok {
		t.Error("advice from nothing")
	}
	r := result(made{"a", 0, 50, 280, 400}, made{"b", 2, 70, 210, 40})
	r.Compare.Rankings[0].Outcome = trial.Heart
	if _, ok := Run(r); ok {
		t.Error("advice on time from heart rates")
	}
}

// With two numbers the set is found by sorting on one and sweeping the other
// (Kung, Luccio & Preparata 1975, J ACM 22:469): another way to the same set.
func TestSweep(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 9).Draw(t, "n")
		var shoes []made
		for i := range n {
			shoes = append(shoes, made{string(rune('a' + i)), 0, units.Missing,
				float64(rapid.IntRange(200, 208).Draw(t, "mass")), float64(rapid.IntRange(0, 8).Draw(t, "worn"))})
		}
		a, _ := Run(result(shoes...))
		got := a.NotDominated()
		slices.Sort(got)
		slices.SortFunc(shoes,
			func(p, q made) int { return cmp.Or(cmp.Compare(p.mass, q.mass), cmp.Compare(p.worn, q.worn)) })
		var want []string
		least := math.Inf(1)
		var last made
		for _, s := range shoes {
			if s.worn < least || s.worn == least && s.mass == last.mass {
				want, least, last = append(want, s.id), s.worn, s
			}
		}
		slices.Sort(want)
		if !slices.Equal(got, want) {
			t.Fatalf("%v, want %v", got, want)
		}
	})
}

// The order in which shoes are listed changes nothing.
func TestOrderOfShoes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var shoes []made
		for i := range rapid.IntRange(2, 6).Draw(t, "n") {
			shoes = append(shoes, made{string(rune('a' + i)), rapid.Float64Range(-2, 2).Draw(t, "gain"),
				rapid.Float64Range(0, 100).Draw(t, "comfort"), float64(rapid.IntRange(200, 203).Draw(t, "mass")), 10})
		}
		one, _ := Run(result(shoes...))
		other, _ := Run(result(rapid.Permutation(shoes).Draw(t, "shuffled")...))
		p, q := one.NotDominated(), other.NotDominated()
		slices.Sort(p)
		slices.Sort(q)
		if !slices.Equal(p, q) {
			t.Fatalf("%v and %v", p, q)
		}
	})
}

// What is left of a pair is its life less what was worn, and stands in the place of
// what was worn; prices count when all that are given are in one currency.
func TestLeftAndPrice(t *testing.T) {
	shoes := []made{{"a", 0, 60, 250, 100}, {"b", 0, 60, 250, 300}}
	for name, c := range map[string]struct {
		life, price []float64
		currency    []string
		criteria    string
		beaten      string // shoe, and by which
		left        []float64
		says        string
	}{
		"neither": {nil, nil, nil, "time comfort weight wear", "b by a", nil,
			"Prices and how much wear a pair has left are not in the tables"},
		"left turns wear round": {[]float64{300, 900}, nil, nil, "time comfort weight wear left", "a by b",
			[]float64{200, 600}, "Prices are not in the tables"},
		"worn out": {[]float64{300, 200}, nil, nil, "time comfort weight wear left", "b by a",
			[]float64{200, 0}, "Prices are not in the tables"},
		"one life is not a pair": {[]float64{300, units.Missing}, nil, nil, "time comfort weight wear", "b by a",
			nil, "Prices and how much wear"},
		"the worn one is cheaper": {nil, []float64{150, 90}, []string{"EUR", "EUR"}, "time comfort weight wear price",
			"", nil, "How much wear a pair has left is not in the tables"},
		"as dear": {nil, []float64{150, 150}, []string{"EUR", "EUR"},
			"time comfort weight wear price", "b by a", nil, "How much wear"},
		"two currencies": {nil, []float64{150, 90}, []string{"EUR", "GBP"}, "time comfort weight wear",
			"b by a", nil, "several currencies"},
		"both, and nothing missing": {[]float64{500, 700}, []float64{90, 90.5}, []string{"EUR", "EUR"},
			"time comfort weight wear left price", "b by a", []float64{400, 400}, ""},
	} {
		r := result(shoes...)
		for i := range r.Dataset.Shoes {
			s := &r.Dataset.Shoes[i]
			if c.life != nil {
				s.ExpectedKm = c.life[i]
			}
			if c.price != nil {
				s.Price, s.Currency = c.price[i], c.currency[i]
			}
		}
		a, _ := Run(r)
		var criteria []string
		for _, criterion := range a.Criteria {
			criteria = append(criteria, string(criterion))
		}
		got := ""
		for shoe, by := range beaten(a) {
			if by != "" {
				got += shoe + " by " + by
			}
		}
		if strings.Join(criteria, " ") != c.criteria || got != c.beaten {
			t.Errorf("%s: judged by %q, beaten: %q; want %q, %q", name, criteria, got, c.criteria, c.beaten)
		}
		for _, candidate := range a.Candidates {
			if c.left != nil && candidate.RemainingKm != c.left[int(candidate.Shoe[0]-'a')] {
				t.Errorf("%s: %s has %v left, want %v", name, candidate.Shoe, candidate.RemainingKm, c.left)
			}
		}
		says := strings.Join(a.Sentences(strings.ToUpper), " ")
		if !strings.Contains(says, c.says) || c.says == "" && strings.Contains(says, "not in the tables") {
			t.Errorf("%s: it says %q", name, says)
		}
	}
	for want, price := range map[string]float64{"139 EUR": 139, "139.90 EUR": 139.9, "0 EUR": 0, "": units.Missing} {
		if got := PriceText(price, "EUR"); got != want {
			t.Errorf("%v is %q, want %q", price, got, want)
		}
	}
}
