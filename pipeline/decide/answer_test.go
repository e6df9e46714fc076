package decide

import (
	"math"
	"strings"
	"testing"
)

// many repeats orders, so that little doubt is left.
func many(n int, orders ...string) []string {
	var all []string
	for range n {
		all = append(all, orders...)
	}
	return all
}

func TestAnswers(t *testing.T) {
	three := []string{"ABCCBA", "CBAABC", "BACCAB"}
	for _, c := range []struct {
		name    string
		trial   simulatedTrial
		sensor  float64
		status  Status
		leading string
	}{
		{"equal shoes, much data", simulatedTrial{orders: many(12, "ABBA", "BAAB"), block: 0.005}, 0, Same, "A B"},
		{"equal shoes, much data, speed and power by a sensor on the shoe",
			simulatedTrial{orders: many(12, "ABBA", "BAAB"), block: 0.005}, 0.00404, Open, "A B"},
		{
			"one is 3 % faster",
			simulatedTrial{orders: many(2, "ABBA", "BAAB"), block: 0.006, effects: map[rune]float64{'B': 0.03}}, 0.003,
			Fastest, "B",
		},
		{"one session of equal shoes", simulatedTrial{orders: []string{"ABBA"}, block: 0.009}, 0.003, Open, "A B"},
		{
			"one of three is left behind",
			simulatedTrial{orders: many(2, three...), block: 0.006, effects: map[rune]float64{'A': -0.04}}, 0.003,
			Leading, "B C",
		},
		{
			"one of three leads",
			simulatedTrial{orders: many(2, three...), block: 0.006, effects: map[rune]float64{'A': 0.04}}, 0.003,
			Fastest, "A",
		},
		{"three alike, much data", simulatedTrial{orders: many(12, three...), block: 0.004}, 0, Same, "A B C"},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := fit(t, c.trial.blocks(2), speedAtPower(), Exact)
			sensor := Sensor{SD: make([]float64, len(p.Shoes))}
			for j := range sensor.SD {
				sensor.SD[j] = c.sensor
			}
			a, ok := p.Answer(0, sensor)
			if !ok || a.Status != c.status {
				t.Errorf("status %q, want %q: best %.4v, lead %+v", a.Status, c.status, a.Best, a.Lead)
			}
			for _, j := range a.Leading {
				if !strings.Contains(c.leading, p.Shoes[j]) {
					t.Errorf("%s leads, want %s only", p.Shoes[j], c.leading)
				}
			}
			if a.Lead.Mean < 0 || a.Lead != p.Pair(a.Leader, a.Second, sensor).D {
				t.Errorf("the leader %d is not ahead of the second %d: %+v", a.Leader, a.Second, a.Lead)
			}
		})
	}
}

func TestShoeAloneHasNoAnswer(t *testing.T) {
	p := fit(t, simulatedTrial{orders: []string{"AAA"}, block: 0.01}.blocks(1), speedAtPower(), Coarse)
	if a, ok := p.Answer(0, Sensor{}); ok || a.Status != "" || a.Second != -1 {
		t.Errorf("answer %+v for a shoe that is alone", a)
	}
}

func TestBlocked(t *testing.T) {
	claim := Answer{Status: Fastest, Leading: []int{1}}
	for _, c := range []struct {
		name   string
		answer Answer
		others []Answer
		want   Status
	}{
		{"nothing measured", claim, nil, Fastest},
		{"the same either way", claim, []Answer{claim}, Fastest},
		{"open without the sensor's difference", claim, []Answer{{Status: Open, Leading: []int{1, 0}}}, Blocked},
		{"another shoe without it", claim, []Answer{{Status: Fastest, Leading: []int{0}}}, Blocked},
		{"same becomes open", Answer{Status: Same}, []Answer{{Status: Open}}, Blocked},
		{"open stays open", Answer{Status: Open}, []Answer{claim}, Open},
		{"leading stays leading", Answer{Status: Leading}, []Answer{claim}, Leading},
	} {
		got := c.answer.BlockedBy(c.others...)
		if got.Status != c.want {
			t.Errorf("%s: %q, want %q", c.name, got.Status, c.want)
		}
		if blocked := got.Status == Blocked; blocked != (got.Was == c.answer.Status) {
			t.Errorf("%s: status %q was %q", c.name, got.Status, got.Was)
		}
	}
}

// At the same pace a smaller heart rate is better; carried to speed it is d/k.
func TestPaceHeldInSpeed(t *testing.T) {
	blocks, s, _ := readCase(t, "testdata/cases/d26-pace-held-heart-rate")
	p := fit(t, blocks, s, Exact)
	for _, pair := range p.Pairs(Sensor{}) {
		if pair.D.Mean < 0 {
			t.Errorf("the better shoe is not first: %+v", pair.D)
		}
		low, median, high, ok := p.InSpeed(pair.Shoe, pair.Reference, Sensor{}, pair.D)
		if !ok {
			t.Fatal("no speed")
		}
		within(t, "median", median, pair.D.Median/p.Spreads.K.Mean, 0.1*pair.D.SD)
		if !(low < median && median < high) || high-low < (pair.D.High-pair.D.Low)/(1.3*p.Spreads.K.Mean) {
			t.Errorf("interval %g to %g about %g", low, high, median)
		}
		// By its definition, with the slope of the search against differences.
		at, table := p.withExponent(pair.Shoe, pair.Reference, Sensor{}), normalTable()
		below, slope := at.cdf(table, low)
		within(t, "below", below, 0.025, 2e-9)
		further, _ := at.cdf(table, low+1e-5)
		before, _ := at.cdf(table, low-1e-5)
		within(t, "slope", slope, (further-before)/2e-5, 1e-3*slope)
	}
	// With a fixed k nothing but the scale changes.
	s.Prior.Exponent = Exponent{Mean: 0.5}
	p = fit(t, blocks, s, Exact)
	pair := p.Pair(1, 0, Sensor{})
	low, _, high, _ := p.InSpeed(1, 0, Sensor{}, pair.D)
	within(t, "low", low, 2*pair.D.Low, 1e-7)
	within(t, "high", high, 2*pair.D.High, 1e-7)
}

// Without an exponent above 0 there is no speed, and none for a shoe against itself or one of
// another group.
func TestNoSpeedWithoutAnExponent(t *testing.T) {
	p := fit(t, simulatedTrial{orders: []string{"ABBA"}, block: 0.01}.blocks(1), speedAtPower(), Coarse)
	pair := p.Pair(1, 0, Sensor{})
	if _, _, _, ok := p.InSpeed(1, 0, Sensor{}, pair.D); !ok {
		t.Fatal("no speed for two shoes of a group")
	}
	for name, c := range map[string]func(p *Posterior) (a, b int){
		"no exponent in the model":  func(p *Posterior) (a, b int) { p.Terms.Exponent = false; return 1, 0 },
		"an exponent of 0":          func(p *Posterior) (a, b int) { p.settings.Prior.Exponent.Mean = 0; return 1, 0 },
		"a shoe against itself":     func(p *Posterior) (a, b int) { return 1, 1 },
		"shoes of different groups": func(p *Posterior) (a, b int) { p.group = []int{0, 1}; return 1, 0 },
	} {
		changed := *p
		a, b := c(&changed)
		if _, _, _, ok := changed.InSpeed(a, b, Sensor{}, pair.D); ok {
			t.Errorf("%s: a speed", name)
		}
	}
}

func TestBadInput(t *testing.T) {
	good := simulatedTrial{orders: []string{"ABBA"}, block: 0.01}.blocks(1)
	change := func(f func(b []Block)) []Block {
		blocks := append([]Block(nil), good...)
		f(blocks)
		return blocks
	}
	settings := func(f func(s *Settings)) Settings {
		s := speedAtPower()
		f(&s)
		return s
	}
	for _, c := range []struct {
		name     string
		blocks   []Block
		settings Settings
		want     string
	}{
		{"no blocks", nil, speedAtPower(), "no blocks"},
		{"no outcome", change(func(b []Block) { b[2].Y = math.NaN() }), speedAtPower(),
			"block 3: the outcome must be a number"},
		{"endless time", change(func(b []Block) { b[0].TimeH = math.Inf(1) }), speedAtPower(), "block 1: the time"},
		{"two runners in a session", change(func(b []Block) { b[3].Runner = "r2" }), speedAtPower(), "two runners"},
		{"no block SD", good, settings(func(s *Settings) { s.Prior.BlockSD = 0 }), "block SD must be above 0"},
		{"no worthwhile difference", good, settings(func(s *Settings) { s.Worthwhile = math.NaN() }), "worthwhile"},
		{"exponent without number", good, settings(func(s *Settings) { s.Prior.Exponent.Mean = math.NaN() }),
			"exponent"},
	} {
		if _, err := Fit(c.blocks, c.settings, Exact); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v, want %q", c.name, err, c.want)
		}
	}
	if _, err := DefaultSettings("pace", 0); err == nil || !strings.Contains(err.Error(),
		"no decision for speed at the same pace") {
		t.Errorf("speed at the same pace: %v", err)
	}
}
