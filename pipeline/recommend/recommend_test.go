package recommend

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"soletrial/pipeline/decide"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

var none = units.Missing

// invented is a shoe of an invented trial: its gain in speed over the first one, known to
// within errorPct (standard deviation), and what else is known of it.
type invented struct {
	id                                     string
	gainPct, comfort, mass, worn, expected float64
	price                                  float64
}

// errorPct is how well the gain of an invented pair is known, percent.
const errorPct = 0.5

// advise judges invented shoes, given fastest first. The difference in time of two is normal
// about the difference of their gains; 0.75 % matters. Comforts are shown to differ from 5 mm.
func advise(shoes ...invented) Advice {
	a := Advice{Status: decide.Leading}
	for _, s := range shoes {
		c := Candidate{Shoe: s.id, ChanceBest: none, ComfortMm: s.comfort, MassG: s.mass, WornKm: s.worn,
			RemainingKm: s.expected - s.worn, Price: s.price}
		a.Candidates = append(a.Candidates, c)
	}
	above := func(d, x float64) float64 { return math.Erfc((x-d)/errorPct/math.Sqrt2) / 2 }
	a.setAside(func(i, j int) chances {
		d := shoes[i].gainPct - shoes[j].gainPct
		return chances{faster: above(d, 0), notSlower: above(d, -0.75)}
	}, func(shoe, other string) bool {
		comfort := map[string]float64{}
		for _, s := range shoes {
			comfort[s.id] = s.comfort
		}
		return comfort[shoe]-comfort[other] > 5
	})
	return a
}

func asideFor(a Advice) string {
	var all []string
	for _, c := range a.Candidates {
		for _, b := range c.SetAsideFor {
			all = append(all, c.Shoe+" for "+b.Shoe)
		}
	}
	return strings.Join(all, ", ")
}

// With a standard deviation of 0.5 %, a shoe that is level is not slower by more than 0.75 %
// with chance Phi(1.5) = 0.933, and one that is 0.2 % slower with Phi(1.1) = 0.864 (tables of
// the normal distribution): 0.90 lies between.
func TestSetAside(t *testing.T) {
	for name, c := range map[string]struct {
		shoes []invented
		want  string
	}{
		"better at everything": {[]invented{{"b", 2, 70, 210, 40, none, none}, {"a", 0, 50, 280, 400, none, none}},
			"a for b"},
		"a trade": {[]invented{{"b", 2, 50, 210, 400, none, none}, {"a", 0, 70, 280, 40, none, none}}, ""},
		"as fast as far as is known, and lighter": {
			[]invented{{"b", 0, 60, 210, 100, none, none}, {"a", 0, 60, 280, 100, none, none}}, "a for b",
		},
		"lighter by 1 g, but perhaps too slow": {
			[]invented{{"a", 0.2, 60, 211, 100, none, none}, {"b", 0, 60, 210, 100, none, none}}, "",
		},
		"rated a little lower in comfort": {
			[]invented{{"b", 0, 59, 210, 100, none, none}, {"a", 0, 60, 280, 100, none, none}}, "",
		},
		"alike in everything": {[]invented{{"a", 0, 60, 250, 100, none, none}, {"b", 0, 60, 250, 100, none, none}}, ""},
		"never weighed": {[]invented{{"b", 2, 70, 210, 40, none, none}, {"a", 0, 50, none, 400, none, none},
			{"c", 0, 50, 250, 400, none, none}}, "c for b"},
		"nobody was asked about comfort": {
			[]invented{{"b", 2, none, 210, 40, none, none}, {"a", 0, none, 280, 400, none, none}}, "a for b",
		},
		"expected km stand for wear": {[]invented{{"a", 0, 60, 250, 100, 300, none}, {"b", 0, 60, 250, 300, 900, none}},
			"a for b"},
		"cheaper": {[]invented{{"a", 0, 60, 250, 100, none, 150}, {"b", 0, 60, 250, 100, none, 90}}, "a for b"},
	} {
		if got := asideFor(advise(c.shoes...)); got != c.want {
			t.Errorf("%s: %q, want %q", name, got, c.want)
		}
	}
}

// A shoe of which little is known is not set aside, however good its rival looks: the same
// shoes with a wide interval.
func TestLittleKnownSetsNothingAside(t *testing.T) {
	a := Advice{
		Candidates: []Candidate{
			{Shoe: "b", ComfortMm: none, MassG: 210, WornKm: none, RemainingKm: none, Price: none},
			{Shoe: "a", ComfortMm: none, MassG: 211, WornKm: none, RemainingKm: none, Price: none},
		},
	}
	a.setAside(func(i, _ int) chances {
		return []chances{{faster: 0.6, notSlower: 0.75}, {faster: 0.4, notSlower: 0.55}}[i]
	}, func(_, _ string) bool { return false })
	if got := asideFor(a); got != "" {
		t.Errorf("set aside: %s", got)
	}
}

func TestWords(t *testing.T) {
	upper := strings.ToUpper
	shoes := []invented{{"fennock", 2, 60, 214, none, none, 229}, {"tarrow", 0, 79, 283, none, none, 119},
		{"quenby", -1, 50, 290, none, none, 239}}
	a := advise(shoes...)
	a.Candidates[0].ChanceBest = 0.96
	for _, c := range []struct {
		status decide.Status
		want   string
	}{
		{decide.Fastest, "No single winner: FENNOCK is fastest and lightest, TARROW most comfortable and cheapest."},
		{decide.Leading, "No single winner: FENNOCK is very likely the fastest (96 %) and lightest, TARROW most " +
			"comfortable and cheapest."},
		{decide.Same, "No single winner: FENNOCK is lightest, TARROW most comfortable and cheapest."},
	} {
		a.Status = c.status
		if got := a.Sentences(upper)[0]; got != c.want {
			t.Errorf("%s: %q, want %q", c.status, got, c.want)
		}
	}
	all := strings.Join(a.Sentences(upper), " ")
	if want := "QUENBY is not among the choices: FENNOCK is better on time, comfort, weight and price; TARROW is " +
		"better on time, " +
		"comfort, weight and price, and no worse on the rest."; !strings.Contains(all, want) {
		t.Errorf("%q lacks %q", all, want)
	}
	for _, never := range []string{"beat", "told apart", "dominat"} {
		if strings.Contains(all, never) {
			t.Errorf("%q says %q", all, never)
		}
	}
	if !strings.Contains(all, "Not in the tables: expected km (expected_km in shoes.csv).") {
		t.Errorf("%q does not say what is missing", all)
	}
	a = advise(invented{"a", 2, 70, 210, none, none, none}, invented{"b", 0, 50, 280, none, none, none})
	a.Status = decide.Fastest
	if got := a.Sentences(upper)[0]; got != "One choice: A is fastest, most comfortable and lightest." {
		t.Errorf("%q", got)
	}
}

// With equal times and two numbers the choices are those found by sorting on one and sweeping
// the other (Kung, Luccio & Preparata 1975, J ACM 22:469): another way to the same set.
func TestSweep(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var shoes []invented
		for i := range rapid.IntRange(2, 9).Draw(t, "n") {
			shoes = append(shoes, invented{string(rune('a' + i)), 0, none,
				float64(rapid.IntRange(200, 208).Draw(t, "mass")), float64(rapid.IntRange(0, 8).Draw(t, "worn")), none,
				none})
		}
		a := advise(shoes...)
		got := a.Choices()
		slices.Sort(got)
		slices.SortFunc(shoes,
			func(p, q invented) int { return cmp.Or(cmp.Compare(p.mass, q.mass), cmp.Compare(p.worn, q.worn)) })
		var want []string
		least := math.Inf(1)
		var last invented
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

// The order in which shoes are listed changes nothing, and more knowledge of the differences
// in time never brings a shoe back that was set aside for one that is faster.
func TestOrderOfShoes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var shoes []invented
		for i := range rapid.IntRange(2, 6).Draw(t, "n") {
			shoes = append(shoes, invented{
				string(rune('a' + i)), rapid.Float64Range(-2, 2).Draw(t, "gain"),
				rapid.Float64Range(0, 100).Draw(t, "comfort"), float64(rapid.IntRange(200, 203).Draw(t, "mass")), 10,
				none, none,
			})
		}
		one, other := advise(shoes...), advise(rapid.Permutation(shoes).Draw(t, "shuffled")...)
		p, q := one.Choices(), other.Choices()
		slices.Sort(p)
		slices.Sort(q)
		if !slices.Equal(p, q) {
			t.Fatalf("%v and %v", p, q)
		}
	})
}

func TestPrices(t *testing.T) {
	for want, price := range map[string]float64{"139 EUR": 139, "139.90 EUR": 139.9, "0 EUR": 0, "": units.Missing} {
		if got := PriceText(price, "EUR"); got != want {
			t.Errorf("%v is %q, want %q", price, got, want)
		}
	}
	ds := &trial.Dataset{Shoes: []trial.Shoe{{ID: "a", Price: 90, Currency: "EUR"}, {ID: "b", Price: 80,
		Currency: "GBP"}}}
	a := Advice{Candidates: []Candidate{{Shoe: "a", Price: none}, {Shoe: "b", Price: none}}}
	a.price(ds)
	if !a.Currencies || units.Known(a.Candidates[0].Price) || !strings.Contains(a.lacking()[0], "several currencies") {
		t.Errorf("two currencies: %+v", a)
	}
}

func TestNoAdvice(t *testing.T) {
	if _, ok := Run(&derive.Result{Dataset: &trial.Dataset{}}); ok {
		t.Error("advice from nothing")
	}
}
