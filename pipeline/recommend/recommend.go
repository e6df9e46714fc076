// Package recommend says which shoes no other shoe beats on everything that
// matters to a person, and what each costs against the fastest.
//
// Its opinions: it makes up no weights and gives no score, because only the person
// knows what a minute is worth against comfort; differences that the trial cannot
// tell apart count as equal; a shoe of which something is not known is not beaten.
package recommend

import (
	"slices"

	"soletrial/pipeline/compare"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/forecast"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Criterion is something that may matter in a shoe.
type Criterion string

// The criteria, in the order they are given. Wear is judged by what is left where a
// life is given for two shoes, else by what was worn.
const (
	Time      Criterion = "time"    // over a race
	Comfort   Criterion = "comfort" // mean of the blocks' scale
	Weight    Criterion = "weight"  // mass of one shoe
	Wear      Criterion = "wear"    // distance worn before
	Remaining Criterion = "wear left"
	Price     Criterion = "price" // where all that are given are in one currency
)

// Candidate is one shoe. A missing number is not known.
type Candidate struct {
	Shoe                     string
	ComfortMm, MassG, WornKm float64
	RemainingKm              float64          // expected life less worn, not below 0
	Price                    float64          // in Advice.Currency
	NoClearDifference        bool             // cannot be told apart from the fastest in time
	Costs                    []forecast.Range // time over each race against the fastest, seconds; zero for the fastest
	DominatedBy              []string         // the shoes that are no worse on everything and better on something
}

// Advice is the answer for one dataset.
type Advice struct {
	Level, Reference string
	Fastest          string          // by estimate; others may not be told apart from it
	Criteria         []Criterion     // on which shoes could be judged: those known of two shoes at least
	Races            []forecast.Race // times are in the reference shoe
	Currency         string          // of the prices; "" where none is given
	Currencies       bool            // prices are given in several currencies, and so not compared
	Candidates       []Candidate     // fastest first
}

// Run judges the shoes of the ranking in speed with the most blocks. There is no
// advice, and false is returned, where no two shoes were compared in speed.
func Run(r *derive.Result) (Advice, bool) {
	at := slices.IndexFunc(r.Compare.Rankings, func(k compare.Ranking) bool { return k.Outcome == trial.Speed })
	if at < 0 || len(r.Compare.Rankings[at].Places) < 2 {
		return Advice{}, false
	}
	ranking := &r.Compare.Rankings[at]
	a := Advice{Level: ranking.Level, Fastest: ranking.Places[0].Shoe, Races: races(r.Dataset)}
	for i := range ranking.Places {
		p := &ranking.Places[i]
		if p.Reference {
			a.Reference = p.Shoe
		}
		c := facts(r, p.Shoe, a.Level)
		c.NoClearDifference = i > 0 && !slices.Contains(p.Apart, a.Fastest)
		a.Candidates = append(a.Candidates, c)
	}
	for i := range a.Candidates {
		a.Candidates[i].Costs = a.costs(r, a.Candidates[i].Shoe)
	}
	a.price(r.Dataset)
	a.findDominated(r, ranking)
	return a, true
}

// NotDominated lists the shoes that no other shoe beats on everything (the Pareto
// set). There is none only where the differences that are told apart run in a
// circle, which those of one number never do.
func (a *Advice) NotDominated() []string {
	var shoes []string
	for i := range a.Candidates {
		if len(a.Candidates[i].DominatedBy) == 0 {
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

func facts(r *derive.Result, shoe, level string) Candidate {
	c := Candidate{Shoe: shoe, ComfortMm: comfort(r, shoe, level), MassG: units.Missing, WornKm: units.Missing,
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

// comfort averages the scale over a shoe's included blocks at a level.
func comfort(r *derive.Result, shoe, level string) float64 {
	sum, n := 0.0, 0.0
	for i, s := range r.Sessions {
		effort := r.Dataset.Sessions[i].Effort()
		for _, b := range s.Blocks {
			if v := b.Outcomes[trial.Comfort]; b.Included && b.Shoe == shoe && units.Known(v) &&
				trial.Level(effort, b.Target) == level {
				sum += v
				n++
			}
		}
	}
	return sum / n
}

// costs forecasts every race in a shoe against the fastest. The time in the
// fastest is, curve by curve, what the reference shoe's becomes in it.
func (a *Advice) costs(r *derive.Result, shoe string) []forecast.Range {
	costs := make([]forecast.Range, len(a.Races))
	if shoe == a.Fastest {
		return costs
	}
	best, other := a.effect(r, a.Fastest, a.Reference), a.effect(r, shoe, a.Fastest)
	for i, race := range a.Races {
		var rows []forecast.Row
		for j := range forecast.Curves {
			inFastest := race
			if a.Fastest != a.Reference {
				inFastest.TimeS += forecast.Rows(best, race)[j].ChangeS
			}
			rows = append(rows, forecast.Rows(other, inFastest)[j])
		}
		costs[i] = forecast.RangeOf(rows)
	}
	return costs
}

// effect is the difference in speed of two shoes at the level, missing where they
// were not compared.
func (a *Advice) effect(r *derive.Result, shoe, reference string) forecast.Effect {
	e := forecast.Effect{Shoe: shoe, Reference: reference, Estimate: units.Missing, Low: units.Missing,
		High: units.Missing, DayLow: units.Missing, DayHigh: units.Missing}
	if c := oriented(r, trial.Speed, a.Level, shoe, reference); c != nil {
		e.Estimate, e.Low, e.High = c.Estimate, c.Low, c.High
		e.TestSpeed = derive.MeanSpeed(r, reference, a.Level, "")
	}
	return e
}

// oriented finds a comparison and turns it to be of shoe against reference.
func oriented(r *derive.Result, outcome trial.Outcome, level, shoe, reference string) *compare.Comparison {
	c := r.Compare.Find(outcome, level, shoe, reference)
	if c != nil && c.Shoe != shoe {
		flipped := c.Reverse()
		c = &flipped
	}
	return c
}
