package cli

import (
	"cmp"
	"fmt"
	"slices"

	"soletrial/pipeline/derive"
	"soletrial/pipeline/quality"
	"soletrial/pipeline/stable"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// What fits on a screen.
const (
	screenRules    = 4 // groups of findings
	screenPlaces   = 2 // findings of one group
	screenSessions = 6 // lines of sessions
)

// group is the findings of one rule and severity.
type group struct {
	rule     trial.RuleSlug
	severity trial.Severity
	standing int // stops that nobody has overridden
	findings []trial.Finding
}

// printFindings prints what to do next, the findings by rule, and how many blocks are
// included; without all no more than a screen of it.
func (a *app) printFindings(result *derive.Result, session string, findings []trial.Finding, all bool) {
	groups := groupFindings(findings)
	a.printNext(result.Dataset, groups)
	shown := len(groups)
	if !all {
		shown = min(shown, screenRules)
	}
	for _, g := range groups[:shown] {
		a.printGroup(g, quality.Hint(result.Dataset, g.findings...), all)
	}
	if left := len(groups) - shown; left > 0 {
		a.Printf("and findings of %s: --all shows them\n", units.Count(left, "more rule"))
	}
	a.printSessions(result, session, all)
	total := tally(findings)
	if session != "" {
		a.Printf("%s in this session\n", total)
		return
	}
	a.Printf("%s in %s\n", total, units.Count(len(result.Sessions), "session"))
}

// printNext says in one line what to do first.
func (a *app) printNext(ds *trial.Dataset, groups []group) {
	if len(groups) > 0 && groups[0].standing > 0 {
		f := groups[0].findings[0]
		a.PrintHanging("next: ", fmt.Sprintf("%s (%s)", quality.Hint(ds, f), f.At))
		return
	}
	a.PrintHanging("next: ", "no open stops; "+a.NextCommand("compare")+" gives the answer")
}

// groupFindings puts findings of one rule together, the worst first: stops that stand,
// warnings, stops that are overridden, notes, and among those the most numerous.
func groupFindings(findings []trial.Finding) []group {
	var groups []group
	for _, f := range findings {
		at := slices.IndexFunc(groups, func(g group) bool { return g.rule == f.Rule && g.severity == f.Severity })
		if at < 0 {
			at = len(groups)
			groups = append(groups, group{rule: f.Rule, severity: f.Severity})
		}
		g := &groups[at]
		if f.Holds() {
			g.findings = slices.Insert(g.findings, g.standing, f)
			g.standing++
		} else {
			g.findings = append(g.findings, f)
		}
	}
	stable.Sort(groups, func(a, b group) int {
		return cmp.Or(cmp.Compare(a.rank(), b.rank()), cmp.Compare(len(b.findings), len(a.findings)))
	})
	return groups
}

// rank is 0 for the worst.
func (g group) rank() int {
	switch {
	case g.standing > 0:
		return 0
	case g.severity == trial.Warn:
		return 1
	case g.severity == trial.Stop:
		return 2 // overridden
	}
	return 3
}

// printGroup prints what to do about a rule, and where it fired.
func (a *app) printGroup(g group, hint string, all bool) {
	a.PrintHanging(fmt.Sprintf("%-4s ", g.severity), fmt.Sprintf("%s (%d): %s",
		g.rule, len(g.findings), hint))
	shown := len(g.findings)
	if !all && shown > screenPlaces+1 {
		shown = screenPlaces
	}
	for _, f := range g.findings[:shown] {
		where := ""
		if f.Session != "" {
			where = f.Session + ": "
		}
		if f.Block != "" {
			where = fmt.Sprintf("%s, block %s: ", f.Session, f.Block)
		}
		text := where + derive.FindingText(f)
		if all {
			text += fmt.Sprintf(" (%s)", f.At)
		}
		a.PrintHanging("     - ", text)
	}
	if left := len(g.findings) - shown; left > 0 {
		a.Printf("     - and %d more\n", left)
	}
}

// printSessions prints how many blocks of each session are included.
func (a *app) printSessions(result *derive.Result, session string, all bool) {
	included, blocks, many := 0, 0, len(result.Sessions) > screenSessions && !all && session == ""
	// One line for each session, unless there are more than a screen holds.
	for i, s := range result.Sessions {
		in := 0
		var byHand []string
		for j, b := range s.Blocks {
			if b.Included {
				in++
			} else if result.Dataset.Sessions[i].Blocks[j].Excluded {
				byHand = append(byHand, fmt.Sprintf("block %s excluded: %s", b.Block, b.Reason))
			}
		}
		included, blocks = included+in, blocks+len(s.Blocks)
		switch {
		case many || session != "" && s.ID != session:
		case len(s.Blocks) == 0 && result.Dataset.Sessions[i].Plan != nil:
			a.Printf("%s: planned, not run\n", s.ID)
		default:
			a.Printf("%s: %d of %s included\n", s.ID, in, units.Count(len(s.Blocks), "block"))
			for _, line := range byHand {
				a.PrintHanging("     - ", line)
			}
		}
	}
	// Then one line for all of them.
	if many {
		a.Printf("%d of %s included\n", included, units.Count(blocks, "block"))
	}
}
