package session

import (
	"strconv"

	"soletrial/pipeline/randomise"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Shoe is a pair of shoes: its id and its name for people.
type Shoe struct{ ID, Label string }

// Plan is what is to be run.
type Plan struct {
	Session, Date, Venue   string
	Source                 string // trial.PlanOfDataset or trial.PlanOfVenue
	Effort                 trial.Effort
	Target                 string
	BlockS, RestS, WarmUpS float64 // missing where not planned
	LapM                   float64 // of the venue, in the lane that is run; missing where not known
	Shoes                  []Shoe
	Order                  []string
	Draw                   trial.PlanDraw // of an order drawn at the venue
}

// NoPlan is a plan that says nothing: every number is missing.
func NoPlan() Plan {
	var p Plan
	for _, x := range p.numbers() {
		*x = units.Missing
	}
	return p
}

// Label returns the name of a shoe for people.
func (p *Plan) Label(id string) string {
	for _, shoe := range p.Shoes {
		if shoe.ID == id && shoe.Label != "" {
			return shoe.Label
		}
	}
	return id
}

// WithOrder makes the order of a plan that has shoes but no order, as a fair draw by
// the seed from all orders that are even.
func WithOrder(p Plan, blocks int, seed uint64) (Plan, error) {
	ids := make([]string, len(p.Shoes))
	for i, shoe := range p.Shoes {
		ids[i] = shoe.ID
	}
	design, err := randomise.New(ids, blocks, nil, seed)
	if err != nil {
		return p, err
	}
	set := design.Set()
	place := design.Choose(&set)
	p.Source, p.Order = trial.PlanOfVenue, design.Names(set.Orders[place])
	p.Draw = trial.PlanDraw{Seed: float64(seed), Place: float64(place + 1), Orders: float64(len(set.Orders)),
		Considered: float64(set.Considered), Candidates: set.Candidates()}
	return p, nil
}

// Args are the arguments of the event [Planned].
func (p *Plan) Args() []string {
	args := []string{p.Session, p.Date, p.Venue, p.Source, string(p.Effort), p.Target}
	for _, x := range p.numbers() {
		args = append(args, units.FormatExact(*x))
	}
	args = append(args, p.Draw.Candidates, strconv.Itoa(len(p.Shoes)))
	for _, shoe := range p.Shoes {
		args = append(args, shoe.ID, shoe.Label)
	}
	return append(args, p.Order...)
}

func (p *Plan) numbers() []*float64 {
	return []*float64{&p.BlockS, &p.RestS, &p.WarmUpS, &p.LapM, &p.Draw.Seed, &p.Draw.Place, &p.Draw.Orders,
		&p.Draw.Considered}
}

// planOf reads what [Plan.Args] wrote.
func planOf(e Event) Plan {
	p := Plan{Session: e.arg(0), Date: e.arg(1), Venue: e.arg(2), Source: e.arg(3), Effort: trial.Effort(e.arg(4)),
		Target: e.arg(5)}
	at := 6
	for _, x := range p.numbers() {
		*x = parse(e.arg(at))
		at++
	}
	p.Draw.Candidates = e.arg(at)
	shoes, _ := strconv.Atoi(e.arg(at + 1))
	at += 2
	for range shoes {
		p.Shoes = append(p.Shoes, Shoe{e.arg(at), e.arg(at + 1)})
		at += 2
	}
	p.Order = e.Args[min(at, len(e.Args)):]
	return p
}

// parse reads a number as people write it; missing where there is none.
func parse(text string) float64 {
	x, err := units.ParseDecimal(text)
	if err != nil {
		return units.Missing
	}
	return x
}
