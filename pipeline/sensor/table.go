package sensor

import (
	"cmp"
	"slices"
	"strings"

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

// rows groups ratios by check and shoe. Within a group they keep their order,
// which is that of the sums.
func rows(session string, ratios []Ratio) []Row {
	sorted := slices.Clone(ratios)
	slices.SortStableFunc(sorted, func(a, b Ratio) int {
		return cmp.Or(cmp.Compare(rank(a.Check), rank(b.Check)), strings.Compare(a.Check, b.Check), strings.Compare(a.Shoe, b.Shoe))
	})
	var list []Row
	var values []float64
	for i, r := range sorted {
		values = append(values, r.Value)
		if i+1 < len(sorted) && sorted[i+1].Check == r.Check && sorted[i+1].Shoe == r.Shoe {
			continue
		}
		agreement := stats.BlandAltman(values, 0.95)
		list = append(list, Row{
			Session: session, Shoe: r.Shoe, Check: r.Check, Ratio: agreement.Bias.Value, SD: agreement.SD,
			Low: agreement.Lower.Value, High: agreement.Upper.Value, Blocks: len(values), outcomes: r.Outcomes,
		})
		values = values[:0]
	}
	return list
}

// rank puts the checks against the ground and of the stride before those between
// devices.
func rank(check string) int {
	switch check {
	case Ground:
		return 0
	case Steps:
		return 1
	}
	return 2
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
	for _, a := range t.Dataset {
		if a.Shoe != shoe || !a.bears(from) {
			continue
		}
		for _, b := range t.Dataset {
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
	return slices.ContainsFunc(r.outcomes[:], func(o trial.Outcome) bool { return slices.Contains(from, o) })
}
