package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Deviation is something that was not as planned.
type Deviation struct {
	Block        string // "" for the whole session
	Value, Limit float64
	Message      string
	Order        bool // the order, on which a randomisation test rests
}

// lengthRoom is the share by which a block may be shorter or longer than planned:
// an engineering choice.
const lengthRoom = 0.1

// Deviations compares what was run with what was planned: the order, the effort
// and its target, how long blocks and rests were, and whether the analysis is
// still the one that was settled. Nil without a plan, or before anything was run.
// It looks at the text of the dataset alone.
func Deviations(ds *trial.Dataset, s *trial.Session) []Deviation {
	run := Run(s)
	if s.Plan == nil || run == nil {
		return nil
	}
	var list []Deviation
	if !slices.Equal(run, s.Plan.Order) {
		list = append(list, Deviation{Value: float64(len(run)), Limit: float64(len(s.Plan.Order)), Order: true,
			Message: fmt.Sprintf("planned %s, run %s", strings.Join(s.Plan.Order, " "), strings.Join(run, " "))})
	}
	if s.Facts.Effort != s.Plan.Effort {
		list = append(list, Deviation{Value: units.Missing, Limit: units.Missing,
			Message: fmt.Sprintf("planned at held %s, run at held %s", spoken(s.Plan.Effort), spoken(s.Facts.Effort))})
	}
	list = append(list, blockDeviations(ds, s)...)
	return append(list, ruleDeviations(s.Plan.Rules, ds.RulesOf(trial.Effort(s.Plan.Effort)))...)
}

func spoken(effort string) string { return strings.ReplaceAll(effort, "_", " ") }

func blockDeviations(ds *trial.Dataset, s *trial.Session) (list []Deviation) {
	target, _ := trial.ParseTarget(trial.Effort(s.Plan.Effort), s.Plan.Target) // sound once read
	end := units.Missing
	for i := range s.Blocks {
		b := &s.Blocks[i]
		if b.Shoe == "" {
			continue
		}
		if s.Facts.Effort == s.Plan.Effort && b.Target != target && units.Known(target) {
			list = append(list, Deviation{Block: b.ID, Value: b.Target, Limit: target,
				Message: fmt.Sprintf("target %s, planned %s", orNone(trial.FormatTarget(s.Effort(), b.Target)), s.Plan.Target)})
		}
		if length := b.Duration(); math.Abs(length-s.Plan.BlockS) > float64(lengthRoom*s.Plan.BlockS) {
			list = append(list, Deviation{Block: b.ID, Value: length, Limit: s.Plan.BlockS,
				Message: fmt.Sprintf("%s s long, planned %s s", units.FormatDecimal(length, 0), units.FormatDecimal(s.Plan.BlockS, 0))})
		}
		if rest := b.Start - end; math.Abs(rest-s.Plan.RestS) > ds.Facts.Limits.RestApartS {
			list = append(list, Deviation{Block: b.ID, Value: rest, Limit: s.Plan.RestS,
				Message: fmt.Sprintf("rest of %s s before it, planned %s s", units.FormatDecimal(rest, 0), units.FormatDecimal(s.Plan.RestS, 0))})
		}
		end = b.End
	}
	return list
}

func orNone(text string) string {
	if text == "" {
		return "none"
	}
	return text
}

// ruleDeviations lists what was settled otherwise; what the plan leaves out was
// not settled.
func ruleDeviations(was, is trial.PlanRules) (list []Deviation) {
	word := func(key, was, is string) {
		if was != "" && was != is {
			list = append(list, Deviation{Value: units.Missing, Limit: units.Missing, Message: fmt.Sprintf("method.%s is %s now, was %s in the plan", key, orNone(is), was)})
		}
	}
	number := func(key string, was, is float64) {
		if units.Known(was) && was != is {
			list = append(list, Deviation{Value: is, Limit: was, Message: fmt.Sprintf("method.%s is %s now, was %s in the plan", key, short(is), short(was))})
		}
	}
	word("reference", was.Reference, is.Reference)
	word("primary", was.Primary, is.Primary)
	number("trim.head_s", was.Trim.HeadS, is.Trim.HeadS)
	number("trim.tail_s", was.Trim.TailS, is.Trim.TailS)
	number("trim.heart_rate_head_s", was.Trim.HeartRateHeadS, is.Trim.HeartRateHeadS)
	number("power_exponent", was.PowerExponent, is.PowerExponent)
	number("confidence", was.Confidence, is.Confidence)
	word("drift", was.Drift, is.Drift)
	number("worthwhile_pct", was.WorthwhilePct, is.WorthwhilePct)
	return list
}

// short writes a number without the zeros at its end.
func short(x float64) string { return trial.FormatTarget(trial.Power, x) }
