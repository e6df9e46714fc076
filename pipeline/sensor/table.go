package sensor

import (
	"soletrial/pipeline/stats"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Row is one check of one shoe over a session or, with Session "", over the
// dataset: the mean of its blocks' ratios, their standard deviation (missing for
// one block) and, between devices, the limits of agreement within which 95 % of
// blocks are expected (Bland & Altman 1986, Lancet i:307).
type Row struct {
	Session, Shoe string
	Check         string
	Ratio, SD     float64
	Low, High     float64 // limits of agreement; missing for one block
	Blocks        int
	outcomes      [3]trial.Outcome
}

// OfSession is the ratios of one session that count.
type OfSession struct {
	Session string
	Ratios  []Ratio
}

// Table is the checks of a dataset.
type Table struct {
	Dataset  []Row // over all sessions, by check and shoe
	Sessions []Row // by session in the order given, then check and shoe
}

// Tabulate averages ratios by shoe, in each session and over all of them.
func Tabulate(sessions []OfSession) Table {
	var t Table
	var all []Ratio
	for _, s := range sessions {
		t.Sessions = append(t.Sessions, rows(s.Session, s.Ratios)...)
		all = append(all, s.Ratios...)
	}
	t.Dataset = rows("", all)
	return t
}

// group is the ratios of one check of one shoe, in their order, which is that of
// the sums.
type group struct {
	first  *Ratio
	values []float64
}

// before orders groups: the checks against the ground and of the stride before
// those between devices, then by name and shoe.
func (g *group) before(r *Ratio) bool {
	a, b := rank(g.first.Check), rank(r.Check)
	switch {
	case a != b:
		return a < b
	case g.first.Check != r.Check:
		return g.first.Check < r.Check
	}
	return g.first.Shoe < r.Shoe
}

func rank(check string) int {
	switch check {
	case Ground:
		return 0
	case Steps:
		return 1
	}
	return 2
}

// rows groups ratios by check and shoe.
func rows(session string, ratios []Ratio) []Row {
	var groups []group
	for n := range ratios {
		r, i := &ratios[n], 0
		for i < len(groups) && groups[i].before(r) {
			i++
		}
		if i == len(groups) || groups[i].first.Check != r.Check || groups[i].first.Shoe != r.Shoe {
			groups = append(groups, group{})
			copy(groups[i+1:], groups[i:])
			groups[i] = group{first: r}
		}
		groups[i].values = append(groups[i].values, r.Value)
	}
	list := make([]Row, len(groups))
	for i := range groups {
		g := &groups[i]
		agreement := stats.BlandAltman(g.values, 0.95)
		list[i] = Row{
			Session: session, Shoe: g.first.Shoe, Check: g.first.Check, Ratio: agreement.Bias.Value, SD: agreement.SD,
			Low: agreement.Lower.Value, High: agreement.Upper.Value, Blocks: len(g.values), outcomes: g.first.Outcomes,
		}
	}
	return list
}

// rests lists the measured outcomes that an outcome is made from.
func rests(o trial.Outcome) []trial.Outcome {
	switch o {
	case trial.PacePerKm:
		return []trial.Outcome{trial.Speed}
	case trial.BeatsPerKm:
		return []trial.Outcome{trial.Heart, trial.Speed}
	case trial.CostOfTransport:
		return []trial.Outcome{trial.PowerHeld, trial.Speed}
	case trial.Flight, trial.DutyFactor:
		return []trial.Outcome{trial.Cadence, trial.Contact}
	case trial.VerticalRatio:
		return []trial.Outcome{trial.Oscillation, trial.StepLength}
	case trial.VerticalStiffness:
		return []trial.Outcome{trial.Cadence, trial.Contact}
	case trial.LegStiffness:
		return []trial.Outcome{trial.Cadence, trial.Contact, trial.Speed}
	case trial.RPE, trial.Comfort, trial.Oxygen:
		return nil
	}
	return []trial.Outcome{o}
}

// held is the outcome that an effort holds: an error in it makes unequal effort
// look equal.
func held(effort trial.Effort) trial.Outcome {
	switch effort {
	case trial.Power:
		return trial.PowerHeld
	case trial.HeartRate:
		return trial.Heart
	}
	return trial.Speed
}

// ErrorPct returns the largest difference, percent, between two shoes' mean ratios
// over the dataset, among the checks that bear on an outcome at a held effort: how
// much of a difference could be the sensor. It is missing when no such check has
// both shoes. The larger ratio is divided by the smaller, so it is the same in
// both directions.
func (t *Table) ErrorPct(o trial.Outcome, effort trial.Effort, shoe, reference string) float64 {
	from := rests(o)
	if len(from) == 0 {
		return units.Missing
	}
	from = append(from, held(effort))
	largest := units.Missing
	for i := range t.Dataset {
		a := &t.Dataset[i]
		if a.Shoe != shoe || !a.bears(from) {
			continue
		}
		for j := range t.Dataset {
			b := &t.Dataset[j]
			if b.Shoe != reference || b.Check != a.Check {
				continue
			}
			if off := float64(100 * (max(a.Ratio, b.Ratio)/min(a.Ratio, b.Ratio) - 1)); !(off <= largest) {
				largest = off
			}
		}
	}
	return largest
}

// bears reports whether the check is about one of the outcomes.
func (r *Row) bears(from []trial.Outcome) bool {
	for _, o := range from {
		if o == r.outcomes[0] || o == r.outcomes[1] || o == r.outcomes[2] {
			return true
		}
	}
	return false
}
