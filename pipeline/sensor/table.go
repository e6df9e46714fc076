package sensor

import (
	"soletrial/pipeline/stats"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Row is one check of one shoe over a session or, with Session "", over the
// dataset.
type Row struct {
	Session, Shoe, Check string
	about                About
	values               []float64 // of the blocks, in their order
}

// Blocks returns how many blocks the row is about.
func (r *Row) Blocks() int { return len(r.values) }

// Ratio returns the mean of the blocks' ratios.
func (r *Row) Ratio() float64 { return stats.Mean(r.values) }

// SD returns the standard deviation of the blocks' ratios; missing for one block.
func (r *Row) SD() float64 { return stats.SD(r.values) }

// Agreement returns the limits within which 95 % of blocks' ratios are expected
// (Bland & Altman 1986, Lancet i:307); missing for one block.
func (r *Row) Agreement() stats.Agreement { return stats.BlandAltman(r.values, 0.95) }

// Table is the checks of a dataset, by shoe. The zero value is empty.
type Table struct {
	Dataset  []Row // over all sessions, by check and shoe
	Sessions []Row // by session in the order they were added, then check and shoe
}

// Add takes a block's ratio into the table. Ratios of one session are added one
// after another.
func (t *Table) Add(session string, r *Ratio) {
	t.Dataset = add(t.Dataset, 0, "", r)
	from := len(t.Sessions)
	for from > 0 && t.Sessions[from-1].Session == session {
		from--
	}
	t.Sessions = add(t.Sessions, from, session, r)
}

// add puts a ratio into its row, which it looks for in its place from the given
// one on.
func add(rows []Row, i int, session string, r *Ratio) []Row {
	for i < len(rows) && (rows[i].Check < r.Check || rows[i].Check == r.Check && rows[i].Shoe < r.Shoe) {
		i++
	}
	if i == len(rows) || rows[i].Check != r.Check || rows[i].Shoe != r.Shoe {
		rows = append(rows, Row{})
		copy(rows[i+1:], rows[i:])
		rows[i] = Row{Session: session, Shoe: r.Shoe, Check: r.Check, about: r.About}
	}
	rows[i].values = append(rows[i].values, r.Value)
	return rows
}

// The sets that outcomes rest on.
const (
	power     About = 1 << trial.PowerHeld
	speed     About = 1 << trial.Speed
	heart     About = 1 << trial.Heart
	cadence   About = 1 << trial.Cadence
	step      About = 1 << trial.StepLength
	contact   About = 1 << trial.Contact
	bounce    About = 1 << trial.Oscillation
	nothing   About = 0 // a sensor has no part in it
	stepTimes       = cadence | contact
)

// rests says which measured outcomes each outcome is made from.
var rests = [trial.OutcomeCount]About{
	trial.Speed: speed, trial.PacePerKm: speed, trial.Heart: heart, trial.BeatsPerKm: heart | speed, trial.PowerHeld: power, trial.CostOfTransport: power | speed,
	trial.Cadence: cadence, trial.StepLength: step, trial.Contact: contact, trial.Flight: stepTimes, trial.DutyFactor: stepTimes, trial.Oscillation: bounce,
	trial.VerticalRatio: bounce | step, trial.VerticalStiffness: stepTimes, trial.LegStiffness: stepTimes | speed,
	trial.Oxygen: nothing, trial.RPE: nothing, trial.Comfort: nothing,
}

// held is the outcome that an effort holds: an error in it makes unequal effort
// look equal.
func held(effort trial.Effort) About {
	switch effort {
	case trial.Power:
		return power
	case trial.HeartRate:
		return heart
	}
	return speed
}

// ErrorPct returns the largest difference, percent, between two shoes' mean ratios
// over the dataset, among the checks that bear on an outcome at a held effort: how
// much of a difference could be the sensor. It is missing when no such check has
// both shoes. The larger ratio is divided by the smaller, so it is the same in
// both directions.
func (t *Table) ErrorPct(o trial.Outcome, effort trial.Effort, shoe, reference string) float64 {
	from := rests[o]
	if from == nothing {
		return units.Missing
	}
	from |= held(effort)
	largest := units.Missing
	for i := range t.Dataset {
		a := &t.Dataset[i]
		if a.Shoe != shoe || a.about&from == 0 {
			continue
		}
		for j := range t.Dataset {
			b := &t.Dataset[j]
			if b.Shoe != reference || b.Check != a.Check {
				continue
			}
			x, y := a.Ratio(), b.Ratio()
			if off := float64(100 * (max(x, y)/min(x, y) - 1)); !(off <= largest) {
				largest = off
			}
		}
	}
	return largest
}
