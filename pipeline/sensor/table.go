package sensor

import (
	"cmp"
	"math"
	"slices"
	"sort"
	"strings"

	"soletrial/pipeline/stats"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Row is one check of one shoe over a session or, with Session "", over the
// dataset.
type Row struct {
	Session, Shoe, Check string
	outcomes             OutcomeSet
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
	// StepsComputed is true where step length was computed from speed, so that
	// cadence x step length says nothing about it. See [Table.DropComputedSteps].
	StepsComputed bool
}

// computedSteps is how far cadence x step length may be from speed, as a ratio, where step
// length was computed from speed and both were rounded: an engineering choice. An independent
// step length is rarely that close in one block, and never in all.
const computedSteps = 0.0005

// DropComputedSteps takes out the stride check where it is none: where cadence x step length
// equals speed to rounding in every block, one was computed from the other.
func (t *Table) DropComputedSteps() {
	blocks := 0
	for i := range t.Dataset {
		row := &t.Dataset[i]
		for _, ratio := range row.values {
			if row.Check != Steps {
				break
			}
			if blocks++; math.Abs(ratio-1) > computedSteps {
				return
			}
		}
	}
	if blocks == 0 {
		return
	}
	t.StepsComputed = true
	isSteps := func(r Row) bool { return r.Check == Steps }
	t.Dataset, t.Sessions = slices.DeleteFunc(t.Dataset, isSteps), slices.DeleteFunc(t.Sessions, isSteps)
}

// Add takes the ratios of one session into the table, all of them that take part at
// once.
func (t *Table) Add(session string, ratios []Ratio) {
	sorted, values := make([]*Ratio, len(ratios)), make([]float64, len(ratios))
	for i := range ratios {
		sorted[i] = &ratios[i]
	}
	sort.SliceStable(sorted, func(i, j int) bool {
		return compare(sorted[i].Check, sorted[i].Shoe, sorted[j].Check, sorted[j].Shoe) < 0
	})
	for from := 0; from < len(sorted); {
		r, end := sorted[from], from
		for ; end < len(sorted) && sorted[end].Check == r.Check && sorted[end].Shoe == r.Shoe; end++ {
			values[end] = sorted[end].Value
		}
		row := Row{Session: session, Shoe: r.Shoe, Check: r.Check, outcomes: r.Outcomes, values: values[from:end]}
		t.Sessions = append(t.Sessions, row)
		t.overall(&row)
		from = end
	}
}

// overall takes a session's row into the dataset's.
func (t *Table) overall(row *Row) {
	i := sort.Search(len(t.Dataset), func(i int) bool {
		return compare(t.Dataset[i].Check, t.Dataset[i].Shoe, row.Check, row.Shoe) >= 0
	})
	if i == len(t.Dataset) || t.Dataset[i].Check != row.Check || t.Dataset[i].Shoe != row.Shoe {
		t.Dataset = append(t.Dataset, Row{})
		copy(t.Dataset[i+1:], t.Dataset[i:])
		t.Dataset[i] = Row{Shoe: row.Shoe, Check: row.Check, outcomes: row.outcomes}
	}
	t.Dataset[i].values = append(t.Dataset[i].values, row.values...)
}

// compare orders rows by check, then shoe.
func compare(check, shoe, otherCheck, otherShoe string) int {
	return cmp.Or(strings.Compare(check, otherCheck), strings.Compare(shoe, otherShoe))
}

// The sets that outcomes rest on.
const (
	power     OutcomeSet = 1 << trial.MeanPower
	speed     OutcomeSet = 1 << trial.Speed
	heart     OutcomeSet = 1 << trial.Heart
	cadence   OutcomeSet = 1 << trial.Cadence
	step      OutcomeSet = 1 << trial.StepLength
	contact   OutcomeSet = 1 << trial.Contact
	bounce    OutcomeSet = 1 << trial.Oscillation
	nothing   OutcomeSet = 0 // a sensor has no part in it
	stepTimes            = cadence | contact
)

// rests says which measured outcomes each outcome is made from.
var rests = [trial.OutcomeCount]OutcomeSet{
	trial.Speed: speed, trial.PacePerKm: speed, trial.Heart: heart,
	trial.BeatsPerKm: heart | speed, trial.MeanPower: power, trial.PowerPerSpeedMass: power | speed,
	trial.Cadence: cadence, trial.StepLength: step, trial.Contact: contact,
	trial.Flight: stepTimes, trial.DutyFactor: stepTimes, trial.Oscillation: bounce,
	trial.RisePerStep: bounce | step, trial.VerticalStiffness: stepTimes, trial.LegStiffness: stepTimes | speed,
	trial.Oxygen: nothing, trial.RPE: nothing, trial.Comfort: nothing,
}

// effortOutcomes is the outcome that measures an effort: an error in it makes unequal effort
// look equal.
func effortOutcomes(effort trial.Effort) OutcomeSet {
	switch effort {
	case trial.Power:
		return power
	case trial.HeartRate:
		return heart
	}
	return speed
}

// Errors says how much of a difference between shoes could be the sensor. It holds
// the mean ratios over the dataset, so that many can ask.
type Errors struct{ means []mean }

type mean struct {
	*Row
	ratio float64
}

// Errors takes the means of what has been added.
func (t *Table) Errors() *Errors {
	e := &Errors{make([]mean, len(t.Dataset))}
	for i := range t.Dataset {
		row := &t.Dataset[i]
		e.means[i] = mean{row, row.Ratio()}
	}
	return e
}

// Pct returns the largest difference, percent, between two shoes' mean ratios over
// the dataset, among the checks that bear on an outcome at an effort. It is
// missing when no such check has both shoes. The larger ratio is divided by the
// smaller, so it is the same in both directions.
func (e *Errors) Pct(o trial.Outcome, effort trial.Effort, shoe, reference string) float64 {
	from := rests[o]
	if from == nothing {
		return units.Missing
	}
	from |= effortOutcomes(effort)
	largest := units.Missing
	for _, a := range e.means {
		if a.Shoe != shoe || a.outcomes&from == 0 {
			continue
		}
		for _, b := range e.means {
			if b.Shoe != reference || b.Check != a.Check {
				continue
			}
			if off := float64(100 * (max(a.ratio, b.ratio)/min(a.ratio, b.ratio) - 1)); !(off <= largest) {
				largest = off
			}
		}
	}
	return largest
}
