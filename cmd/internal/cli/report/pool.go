package report

import (
	"fmt"
	"strings"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/compare"
	"soletrial/pipeline/pool"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// maxRunners is how many runners' own estimates are printed for people.
const maxRunners = 12

// PrintPool prints the pooled answer of several datasets.
func PrintPool(console *voice.Console, answer *pool.Answer) {
	console.Printf("%s at the same %s, %s\n", answer.Outcome.Info().Label,
		strings.ReplaceAll(string(answer.Effort), "_", " "),
		units.Count(len(answer.Studies), "dataset"))
	for i := range answer.Pairs {
		printPair(console, answer, &answer.Pairs[i])
	}
	console.Printf("\n")
	for _, sentence := range poolNotes(answer) {
		console.PrintHanging("", sentence)
	}
}

func printPair(console *voice.Console, answer *pool.Answer, p *pool.Pair) {
	unit := " %"
	if info := answer.Outcome.Info(); !info.Ratio {
		unit = " " + info.Unit
	}
	row := func(name, level, estimate, interval, counts string) {
		console.Printf("%s\n", strings.TrimRight(
			fmt.Sprintf("  %-24s %-18s %-9s %-16s %s", voice.Shorten(name, 24), level, estimate, interval, counts),
			" "))
	}
	console.Printf("\n%s - %s\n", p.Shoe, p.Reference)
	row("runner's dataset", "effort", "estimate", "95 % interval", "s / b")
	for i, e := range p.Entries {
		if i == maxRunners {
			console.Printf("  and %d more, see --json\n", len(p.Entries)-i)
			break
		}
		row(answer.Studies[e.Study].Name, entryEffort(e), units.FormatSigned(e.Estimate, 2)+unit,
			span(e.Low, e.High), fmt.Sprintf("%d / %d", e.Sessions, e.Blocks))
	}
	// The model with a prior, then the classical summary.
	if m := p.Model; m != nil {
		row("mean over runners", "", units.FormatSigned(m.Estimate, 2)+unit, span(m.Low, m.High), "")
		row("a new runner", "", "", span(m.NewLow, m.NewHigh), "")
		console.PrintHanging("  ", newRunnerWords(answer, p))
	}
	if !units.Known(p.Low) {
		console.PrintHanging("  ", "One runner only: there is nothing to pool, and the rest comes from the prior.")
		return
	}
	console.PrintHanging("  ", fmt.Sprintf("Classical (REML, Hartung-Knapp-Sidik-Jonkman): mean %s%s (%s), a new "+
		"runner %s; tau %s, I2 %s %%, Q %s on %d degrees of freedom (p = %s).", units.FormatSigned(p.Estimate, 2), unit,
		span(p.Low, p.High), span(p.PredictionLow, p.PredictionHigh), units.FormatDecimal(p.Tau, 4),
		units.FormatDecimal(100*p.I2, 0), units.FormatDecimal(p.Q, 2), len(p.Entries)-1,
		units.FormatSignificant(p.QP, 2)))
}

func span(low, high float64) string {
	return units.FormatDecimal(low, 2) + " to " + units.FormatDecimal(high, 2)
}

// entryEffort says what was held, with its target where the table has one.
func entryEffort(e pool.Entry) string {
	if e.Target == "" {
		return e.Effort.Same()
	}
	return compare.AtLevel(string(e.Effort) + " " + e.Target)
}

// newRunnerWords says what somebody who was not there may expect.
func newRunnerWords(answer *pool.Answer, p *pool.Pair) string {
	percent := func(chance float64) string { return units.FormatDecimal(100*chance, 0) + " %" }
	more := "has more " + answer.Outcome.Info().Label
	switch answer.Outcome {
	case trial.Speed:
		more = "is faster"
	case trial.Heart:
		more = "has the higher heart rate"
	}
	words := fmt.Sprintf("%s %s than %s on average over runners: chance %s. For a new runner: %s", p.Shoe, more,
		p.Reference, percent(p.Model.Chance), percent(p.Model.NewChance))
	if answer.WorthwhilePct > 0 {
		words += fmt.Sprintf(", and by more than %s %%: %s", plainNumber(answer.WorthwhilePct),
			percent(p.Model.NewWorthwhile))
	}
	return words + "."
}

// poolNotes are the sentences under the pairs.
func poolNotes(answer *pool.Answer) []string {
	var notes []string
	if answer.Outcome.Info().Ratio {
		notes = append(notes, fmt.Sprintf("How much a shoe's effect varies between runners has a half-normal prior "+
			"with scale %s %%; each runner's own interval is taken as it is. The classical result has no such "+
			"prior. tau is on the scale of natural logarithms.", plainNumber(answer.RunnerPct)))
	}
	if n := decided(answer); n > 0 && n < len(answer.Studies) {
		notes = append(notes, fmt.Sprintf("%d of %d datasets give decisions, the others comparisons without "+
			"assumptions: derive them again with this version.", n, len(answer.Studies)))
	}
	// What the datasets are, and which were not taken.
	invented := 0
	for i := range answer.Studies {
		if answer.Studies[i].Facts.Invented {
			invented++
		}
	}
	if invented > 0 {
		notes = append(notes, fmt.Sprintf("Invented data: %d of %d datasets.", invented, len(answer.Studies)))
	}
	for i, out := range answer.LeftOut {
		if i == maxRunners {
			notes = append(notes, fmt.Sprintf("%d more, see --json.", len(answer.LeftOut)-i))
			break
		}
		notes = append(notes, fmt.Sprintf("Excluded from %s: %s.", answer.Studies[out.Study].Name, out.Why))
	}
	// Whether they belong together, and under which terms.
	for _, doubt := range answer.Doubts() {
		notes = append(notes, "Shoes are matched by id alone: "+doubt+".")
	}
	notes = append(notes, "Licences: "+namedList(answer.Licences(), "none")+". Contributors: "+
		namedList(answer.Contributors(), "")+".")
	for _, term := range answer.Terms() {
		notes = append(notes, "Licences differ: "+term+". This is no legal advice.")
	}
	return notes
}

func decided(answer *pool.Answer) int {
	n := 0
	for i := range answer.Studies {
		if answer.Studies[i].Decided {
			n++
		}
	}
	return n
}

func namedList(list []pool.Named, blank string) string {
	var words []string
	for i, n := range list {
		if i == maxRunners {
			words = append(words, fmt.Sprintf("%d more", len(list)-i))
			break
		}
		name := n.Name
		if name == "" {
			name = blank
		}
		words = append(words, fmt.Sprintf("%s (%d)", name, n.Studies))
	}
	if len(words) == 0 {
		return "none named"
	}
	return strings.Join(words, ", ")
}

func modelJSON(m *pool.Model, runnerPct float64) any {
	if m == nil {
		return nil
	}
	return map[string]any{"estimate": m.Estimate, "low": m.Low, "high": m.High, "chance_above_zero": m.Chance,
		"new_runner_low": m.NewLow, "new_runner_high": m.NewHigh, "new_runner_chance_above_zero": m.NewChance,
		"new_runner_chance_worthwhile": m.NewWorthwhile, "tau": m.Tau, "runner_prior_pct": runnerPct}
}

func classicalJSON(p *pool.Pair) any {
	return map[string]any{
		"estimate": voice.JSONNumber(p.Estimate), "low": voice.JSONNumber(p.Low), "high": voice.JSONNumber(p.High),
		"p_value": voice.JSONNumber(p.P), "prediction_low": voice.JSONNumber(p.PredictionLow),
		"prediction_high": voice.JSONNumber(p.PredictionHigh), "tau": voice.JSONNumber(p.Tau),
		"tau_low": voice.JSONNumber(p.TauLow), "tau_high": voice.JSONNumber(p.TauHigh),
		"i2": voice.JSONNumber(p.I2), "q": voice.JSONNumber(p.Q), "q_p_value": voice.JSONNumber(p.QP),
	}
}

// PoolAsJSON is the same for programs.
func PoolAsJSON(answer *pool.Answer) any {
	pairs, left := []any{}, []any{}
	// Each pair, with the datasets that it comes from.
	for i := range answer.Pairs {
		p := &answer.Pairs[i]
		entries := []any{}
		for _, e := range p.Entries {
			entries = append(entries, map[string]any{"dataset": answer.Studies[e.Study].Name, "effort": e.Effort,
				"target": e.Target, "sessions": e.Sessions, "blocks": e.Blocks, "estimate": e.Estimate,
				"low": voice.JSONNumber(e.Low), "high": voice.JSONNumber(e.High)})
		}
		pairs = append(pairs, map[string]any{"shoe": p.Shoe, "reference": p.Reference, "runners": entries,
			"model": modelJSON(p.Model, answer.RunnerPct), "classical": classicalJSON(p)})
	}
	// What could not be pooled, and whose work it is.
	for _, out := range answer.LeftOut {
		left = append(left, map[string]any{"dataset": answer.Studies[out.Study].Name, "why": out.Why})
	}
	named := func(list []pool.Named) []any {
		all := []any{}
		for _, n := range list {
			all = append(all, map[string]any{"name": n.Name, "datasets": n.Studies})
		}
		return all
	}
	return map[string]any{
		"outcome": answer.Outcome.Info().ID, "effort": answer.Effort, "confidence": answer.Confidence,
		"datasets": len(answer.Studies), "pairs": pairs, "left_out": left,
		"licences": named(answer.Licences()), "contributors": named(answer.Contributors()),
		"licence_terms": append([]string{}, answer.Terms()...), "shoe_doubts": append([]string{},
			answer.Doubts()...),
	}
}
