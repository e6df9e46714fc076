// Package recommend says what each shoe is best at, what each costs in time against the
// fastest, and which shoes another one makes needless.
//
// Its opinions: it makes up no weights and gives no score, because only the person knows
// what a minute is worth against comfort; it goes by chances, so that a shoe of which little
// is known is not set aside; a shoe of which something is not known is not, either.
package recommend

import (
	"slices"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/compare"
	"soletrial/pipeline/decide"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/forecast"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Criterion is something that may matter in a shoe.
type Criterion string

// The criteria, in the order they are given. Wear is judged by the expected km that are left
// where two shoes have some, else by what was worn.
const (
	Time      Criterion = "time"    // over a race
	Comfort   Criterion = "comfort" // mean of the blocks' scale
	Weight    Criterion = "weight"  // mass of one shoe
	Wear      Criterion = "wear"    // distance worn before
	Remaining Criterion = "expected km left"
	Price     Criterion = "price" // where all that are given are in one currency
)

// Candidate is one shoe. A missing number is not known.
type Candidate struct {
	Shoe                     string
	ChanceBest               float64 // that it is the fastest
	ComfortMm, MassG, WornKm float64
	RemainingKm              float64          // expected km less worn, not below 0
	Price                    float64          // in Advice.Currency
	Lost                     []forecast.Range // time over each race against the fastest, seconds; zero for the fastest
	SetAsideFor              []Better         // the shoes that make it needless
}

// Better is a shoe that is better than another on something, and no worse on the rest.
type Better struct {
	Shoe string
	On   []Criterion
}

// Advice is the answer for one dataset.
type Advice struct {
	Effort     trial.Effort
	Status     decide.Status // of the answer in time
	Reference  string
	Fastest    string          // by estimate
	Criteria   []Criterion     // those known of two shoes at least
	Races      []forecast.Race // times are in the reference shoe
	Currency   string          // of the prices; "" where none is given
	Currencies bool            // prices are given in several currencies, and so not compared
	Candidates []Candidate     // fastest by estimate first
}

// Run gives the advice that goes with the answer that is carried to races. There is none, and
// false is returned, where no two shoes were compared in speed.
func Run(r *derive.Result) (Advice, bool) {
	e, g := derive.RaceAnswer(r)
	if g == nil || e.Outcome != trial.Speed {
		return Advice{}, false
	}
	a := Advice{Effort: e.Effort, Status: g.Status, Fastest: g.Places[0].Shoe, Reference: g.Reference(),
		Races: races(r.Dataset)}
	for i := range g.Places {
		c := facts(r, g.Places[i].Shoe, e.Effort)
		c.ChanceBest = g.Places[i].Best
		a.Candidates = append(a.Candidates, c)
	}
	for i := range a.Candidates {
		a.Candidates[i].Lost = a.lost(e, a.Candidates[i].Shoe)
	}
	a.price(r.Dataset)
	a.setAside(func(i, j int) chances { return pairChances(e, a.Candidates[i].Shoe, a.Candidates[j].Shoe) },
		comforts(r, e.Effort))
	return a, true
}

// pairChances says how one shoe stands to another in time.
func pairChances(e *answer.Effort, shoe, other string) chances {
	p := e.Pair(shoe, other)
	switch {
	case p == nil:
		return chances{units.Missing, units.Missing}
	case p.Shoe == shoe:
		return chances{faster: p.D.Above, notSlower: p.D.AboveWorthwhile + p.D.Within}
	}
	return chances{faster: 1 - p.D.Above, notSlower: 1 - p.D.AboveWorthwhile}
}

// comforts returns what tells whether one shoe is shown to be more comfortable than another:
// the interval of the comparison at the effort's level with the most blocks.
func comforts(r *derive.Result, effort trial.Effort) func(shoe, other string) bool {
	at := slices.IndexFunc(r.Compare.Rankings, func(k compare.Ranking) bool { return k.Effort == effort })
	if at < 0 {
		return func(string, string) bool { return false }
	}
	// There are many comparisons of other outcomes and levels.
	level := r.Compare.Rankings[at].Level
	var comfort compare.Result
	for i := range r.Compare.Comparisons {
		if c := &r.Compare.Comparisons[i]; c.Outcome == trial.Comfort && c.Level == level {
			comfort.Comparisons = append(comfort.Comparisons, *c)
		}
	}
	return func(shoe, other string) bool {
		c := comfort.Find(trial.Comfort, level, shoe, other)
		return c != nil && c.Conclusive() && (c.Shoe == shoe) == (c.Estimate > 0)
	}
}

// Choices lists the shoes that are not set aside. There is none only where shoes would be
// set aside for each other in a circle.
func (a *Advice) Choices() []string {
	var shoes []string
	for i := range a.Candidates {
		if len(a.Candidates[i].SetAsideFor) == 0 {
			shoes = append(shoes, a.Candidates[i].Shoe)
		}
	}
	return shoes
}

// races are those that the method names.
func races(ds *trial.Dataset) []forecast.Race {
	var list []forecast.Race
	for _, race := range ds.Facts.Method.Races {
		if seconds, err := units.ParseDuration(race.Time); err == nil { // plaintext lets no other text in
			list = append(list, forecast.Race{DistanceM: race.DistanceM, TimeS: seconds})
		}
	}
	return list
}

func facts(r *derive.Result, shoe string, effort trial.Effort) Candidate {
	c := Candidate{Shoe: shoe, ComfortMm: MeanComfort(r, shoe, effort), MassG: units.Missing, WornKm: units.Missing,
		RemainingKm: units.Missing, Price: units.Missing}
	if known := r.Dataset.Shoe(shoe); known != nil {
		c.MassG, c.WornKm, c.RemainingKm = known.MassG, known.WornKm, known.ExpectedKm-known.WornKm
		if c.RemainingKm < 0 {
			c.RemainingKm = 0
		}
	}
	return c
}

// price takes over the prices, if they are all in one currency.
func (a *Advice) price(ds *trial.Dataset) {
	for i := range a.Candidates {
		if s := ds.Shoe(a.Candidates[i].Shoe); s != nil && units.Known(s.Price) {
			a.Currencies = a.Currencies || a.Currency != "" && s.Currency != a.Currency
			a.Currency, a.Candidates[i].Price = s.Currency, s.Price
		}
	}
	if !a.Currencies {
		return
	}
	a.Currency = ""
	for i := range a.Candidates {
		a.Candidates[i].Price = units.Missing
	}
}

// MeanComfort averages the scale over a shoe's included blocks at an effort, "" for any;
// missing where nobody was asked.
func MeanComfort(r *derive.Result, shoe string, effort trial.Effort) float64 {
	sum, n := 0.0, 0.0
	for i, s := range r.Sessions {
		if effort != "" && r.Dataset.Sessions[i].Effort() != effort {
			continue
		}
		for _, b := range s.Blocks {
			if v := b.Outcomes[trial.Comfort]; b.Included && b.Shoe == shoe && units.Known(v) {
				sum += v
				n++
			}
		}
	}
	return sum / n
}

// lost forecasts every race in a shoe against the fastest. The time in the fastest is, curve
// by curve, what the reference shoe's becomes in it.
func (a *Advice) lost(e *answer.Effort, shoe string) []forecast.Range {
	lost := make([]forecast.Range, len(a.Races))
	if shoe == a.Fastest {
		return lost
	}
	var best forecast.Effect
	if a.Fastest != a.Reference {
		best = derive.EffectOf(e, a.Fastest, a.Reference, e.MeanSpeed(a.Reference), "")
	}
	other := derive.EffectOf(e, shoe, a.Fastest, e.MeanSpeed(a.Fastest), "")
	for i, race := range a.Races {
		var rows []forecast.Row
		for j := range forecast.Curves {
			inFastest := race
			if a.Fastest != a.Reference {
				inFastest.TimeS += forecast.Rows(best, race)[j].ChangeS
			}
			rows = append(rows, forecast.Rows(other, inFastest)[j])
		}
		lost[i] = forecast.RangeOf(rows)
	}
	return lost
}
