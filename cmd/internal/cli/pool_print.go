package cli

import (
	"fmt"
	"strings"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/compare"
	"soletrial/pipeline/pool"
	"soletrial/pipeline/units"
)

// mostRunners is how many runners' own estimates are printed for people.
const mostRunners = 12

func (a *app) printPool(answer *pool.Answer) {
	a.Printf("%s at held %s, %s\n", answer.Outcome.Info().Label, strings.ReplaceAll(string(answer.Effort), "_",
		" "), units.Count(len(answer.Studies), "dataset"))
	for i := range answer.Pairs {
		a.printPair(answer, &answer.Pairs[i])
	}
	a.Printf("\n")
	for _, sentence := range poolNotes(answer) {
		a.PrintHanging("", sentence)
	}
}

func (a *app) printPair(answer *pool.Answer, p *pool.Pair) {
	unit := " %"
	if info := answer.Outcome.Info(); !info.Ratio {
		unit = " " + info.Unit
	}
	row := func(name, level, estimate, interval, counts string) {
		a.Printf("%s\n", strings.TrimRight(fmt.Sprintf("  %-24s %-18s %-9s %-16s %s", voice.Shorten(name, 24),
			level, estimate, interval, counts), " "))
	}
	a.Printf("\n%s - %s\n", p.Shoe, p.Reference)
	row("runner's dataset", "level", "estimate", "95 % interval", "s / b")
	for i, e := range p.Entries {
		if i == mostRunners {
			a.Printf("  and %d more, see --json\n", len(p.Entries)-i)
			break
		}
		row(answer.Studies[e.Study].Name, compare.AtLevel(e.Level), units.FormatSigned(e.Estimate, 2)+unit,
			units.FormatDecimal(e.Low, 2)+" to "+units.FormatDecimal(e.High, 2), fmt.Sprintf("%d / %d", e.Sessions,
				e.Blocks))
	}
	if !units.Known(p.Low) {
		a.Printf("  one runner only: nothing to pool\n")
		return
	}
	row(fmt.Sprintf("mean of %d runners", len(p.Entries)), "", units.FormatSigned(p.Estimate, 2)+unit,
		units.FormatDecimal(p.Low, 2)+" to "+units.FormatDecimal(p.High, 2), "")
	row("a new runner", "(prediction)", "", units.FormatDecimal(p.PredictionLow,
		2)+" to "+units.FormatDecimal(p.PredictionHigh, 2), "")
	told := "the interval leaves zero out, this pair judged by itself"
	if !p.ExcludesZero() {
		told = "the two cannot be told apart"
	}
	a.PrintHanging("  ", fmt.Sprintf("Runners differ: tau %s, I2 %s %%, Q %s on %d degrees of freedom (p = %s); "+
		"%s.", units.FormatDecimal(p.Tau, 4), units.FormatDecimal(100*p.I2, 0), units.FormatDecimal(p.Q,
		2), len(p.Entries)-1, units.FormatSignificant(p.QP, 2), told))
}

// poolNotes are the sentences under the pairs.
func poolNotes(answer *pool.Answer) []string {
	notes := []string{"Means are by random effects, REML between runners, Hartung-Knapp-Sidik-Jonkman intervals no " +
		"narrower than the usual; each runner's own standard error is taken as known. tau is on the scale of " +
		"natural logarithms for outcomes in percent."}
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
		if i == mostRunners {
			notes = append(notes, fmt.Sprintf("%d more left out, see --json.", len(answer.LeftOut)-i))
			break
		}
		notes = append(notes, fmt.Sprintf("Left out of %s: %s.", answer.Studies[out.Study].Name, out.Why))
	}
	for _, doubt := range answer.Doubts() {
		notes = append(notes, "Shoes are matched by id alone: "+doubt+".")
	}
	notes = append(notes, "Licences: "+namedList(answer.Licences(), "none")+". "+
		"Contributors: "+namedList(answer.Contributors(), "")+".")
	for _, term := range answer.Terms() {
		notes = append(notes, "Licences differ: "+term+". This is no legal advice.")
	}
	return notes
}

func namedList(list []pool.Named, blank string) string {
	var words []string
	for i, n := range list {
		if i == mostRunners {
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

func poolJSON(answer *pool.Answer) any {
	var pairs, left []any
	for i := range answer.Pairs {
		p := &answer.Pairs[i]
		var entries []any
		for _, e := range p.Entries {
			entries = append(entries, map[string]any{"dataset": answer.Studies[e.Study].Name, "level": e.Level,
				"sessions": e.Sessions, "blocks": e.Blocks, "estimate": e.Estimate, "low": voice.JSONNumber(
					e.Low), "high": voice.JSONNumber(e.High)})
		}
		pairs = append(pairs, map[string]any{
			"shoe": p.Shoe, "reference": p.Reference, "runners": entries, "estimate": voice.JSONNumber(p.Estimate),
			"low": voice.JSONNumber(p.Low), "high": voice.JSONNumber(p.High), "p_value": voice.JSONNumber(p.P),
			"prediction_low":  voice.JSONNumber(p.PredictionLow),
			"prediction_high": voice.JSONNumber(p.PredictionHigh), "tau": voice.JSONNumber(p.Tau),
			"tau_low": voice.JSONNumber(p.TauLow), "tau_high": voice.JSONNumber(p.TauHigh),
			"i2": voice.JSONNumber(p.I2), "q": voice.JSONNumber(p.Q), "q_p_value": voice.JSONNumber(p.QP),
		})
	}
	for _, out := range answer.LeftOut {
		left = append(left, map[string]any{"dataset": answer.Studies[out.Study].Name, "why": out.Why})
	}
	named := func(list []pool.Named) []any {
		var all []any
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
