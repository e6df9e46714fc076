package quality

import (
	"math"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Deviation is something that was not as planned. It is shown and never judged: there
// may have been a good reason. Value and Limit are missing
// where there is no number to it.
type Deviation struct {
	Place        int // of the block in its session, from 0; -1 for the whole session
	Value, Limit float64
	Message      string
	Order        bool // the order, on which a randomisation test rests
}

// lengthTolerance is the share by which a block may be shorter or longer than planned:
// an engineering choice.
const lengthTolerance = 0.1

// Deviations compares what was run with what was planned: the order, the effort and
// its target, the length of blocks and rests, and the settings of the analysis. Nil
// without a plan, or before anything was run. Excluded blocks were run all the same.
func Deviations(ds *trial.Dataset, s *trial.Session) []Deviation {
	if s.Plan == nil || len(s.Plan.Order) == 0 {
		return nil
	}
	planned, run := "", ""
	for _, shoe := range s.Plan.Order {
		planned += " " + shoe
	}
	n := 0
	for i := range s.Blocks {
		if shoe := s.Blocks[i].Shoe; shoe != "" {
			run += " " + shoe
			n++
		}
	}
	if n == 0 {
		return nil
	}
	// The order, then what the blocks show, then what was written down.
	var list deviations
	if run != planned {
		list = append(list, Deviation{-1, float64(n), float64(len(s.Plan.Order)),
			"order planned:" + planned + "; order run:" + run, true})
	}
	list.blocks(s, ds.Facts.Limits.RestApartS)
	list.words(s, ds)
	return list
}

type deviations []Deviation

// blocks adds the blocks whose target, length or rest before them was not as planned.
func (list *deviations) blocks(s *trial.Session, restRoom float64) {
	target, _ := trial.ParseTarget(trial.Effort(s.Plan.Effort), s.Plan.Target) // sound once read
	if s.Facts.Effort != s.Plan.Effort {
		target = units.Missing
	}
	end := units.Missing
	for i := range s.Blocks {
		b := &s.Blocks[i]
		if b.Shoe == "" {
			continue
		}
		for _, d := range [...]struct {
			what, unit     string
			value, planned float64
			room           float64
		}{
			{"target ", effortUnit(s.Effort()), b.Target, target, 0},
			{"length ", " s", b.Duration(), s.Plan.BlockS, float64(lengthTolerance * s.Plan.BlockS)},
			{"rest before it ", " s", b.Start - end, s.Plan.RestS, restRoom},
		} {
			if math.Abs(d.value-d.planned) > d.room {
				effort := trial.Power // seconds are written as watts are
				if d.room == 0 {
					effort = s.Effort()
				}
				*list = append(*list, Deviation{i, d.value, d.planned,
					d.what + trial.FormatTarget(effort, d.value) + d.unit + ", planned " +
						trial.FormatTarget(effort, d.planned) + d.unit, false})
			}
		}
		end = b.End
	}
}

// words lists the settings that are not what they were; what the plan leaves out
// was not decided.
func (list *deviations) words(s *trial.Session, ds *trial.Dataset) {
	now := ds.RulesOf(trial.Effort(s.Plan.Effort))
	was, is := settings(s.Plan.Effort, &s.Plan.Rules), settings(s.Facts.Effort, &now)
	for i, name := range settingNames {
		if was[i] != "" && was[i] != is[i] {
			*list = append(*list, Deviation{-1, units.Missing, units.Missing,
				name + "is " + is[i] + ", planned " + was[i], false})
		}
	}
}

var settingNames = [...]string{"effort ", "method.reference ", "method.primary ", "method.drift ",
	"method.trim.head_s ", "method.trim.tail_s ",
	"method.trim.heart_rate_head_s ", "method.power_exponent ", "method.confidence ", "method.worthwhile_pct "}

func settings(effort string, r *trial.PlanRules) (list [len(settingNames)]string) {
	list[0], list[1], list[2], list[3] = effort, r.Reference, r.Primary, r.Drift
	for i, x := range [...]float64{r.Trim.HeadS, r.Trim.TailS, r.Trim.HeartRateHeadS, r.PowerExponent, r.Confidence,
		r.WorthwhilePct} {
		list[4+i] = trial.FormatTarget(trial.Power, x)
	}
	return list
}
