package report

import (
	"cmp"
	"fmt"
	"slices"

	"soletrial/cmd/internal/cli/voice"
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
	ScreenSessions = 6 // lines of sessions
)

// group is the findings of one rule and severity.
type group struct {
	rule     trial.RuleSlug
	severity trial.Severity
	standing int // stops that nobody has overridden
	findings []trial.Finding
}

// PrintFindings prints what to do next, the findings by rule, and how many blocks are
// included; without all no more than a screen of it.
func PrintFindings(console *voice.Console, result *derive.Result, session string, findings []trial.Finding,
	all bool) {
	groups := groupFindings(findings)
	printNext(console, result.Dataset, groups)
	shown := len(groups)
	if !all {
		shown = min(shown, screenRules)
	}
	for _, g := range groups[:shown] {
		printGroup(console, g, quality.Hint(result.Dataset, g.findings...), all)
	}
	if left := len(groups) - shown; left > 0 {
		console.Printf("and findings of %s: --all shows them\n", units.Count(left, "more rule"))
	}
	printSessions(console, result, session, all)
	total := Tally(findings)
	if session != "" {
		console.Printf("%s in this session\n", total)
		return
	}
	console.Printf("%s in %s\n", total, units.Count(len(result.Sessions), "session"))
}

// printNext says in one line what to do first.
func printNext(console *voice.Console, ds *trial.Dataset, groups []group) {
	if len(groups) > 0 && groups[0].standing > 0 {
		f := groups[0].findings[0]
		console.PrintHanging("next: ", fmt.Sprintf("%s (%s)", quality.Hint(ds, f), f.At))
		return
	}
	if len(ds.Sessions) == 0 {
		console.PrintHanging("next: ", "no session yet; "+console.NextCommand("plan")+" draws a fair order for one, "+
			console.NextCommand("import")+" brings in what was recorded")
		return
	}
	console.PrintHanging("next: ", "no open stops; "+console.NextCommand("compare")+" gives the answer")
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
func printGroup(console *voice.Console, g group, hint string, all bool) {
	console.PrintHanging(fmt.Sprintf("%-4s ", g.severity), fmt.Sprintf("%s (%d): %s",
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
		console.PrintHanging("     - ", text)
	}
	if left := len(g.findings) - shown; left > 0 {
		console.Printf("     - and %d more\n", left)
	}
}

// printSessions prints how many blocks of each session are included.
func printSessions(console *voice.Console, result *derive.Result, session string, all bool) {
	included, blocks, many := 0, 0, len(result.Sessions) > ScreenSessions && !all && session == ""
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
			console.Printf("%s: planned, not run\n", s.ID)
		default:
			console.Printf("%s: %d of %s included\n", s.ID, in, units.Count(len(s.Blocks), "block"))
			for _, line := range byHand {
				console.PrintHanging("     - ", line)
			}
		}
	}
	// Then one line for all of them.
	if many {
		console.Printf("%d of %s included\n", included, units.Count(blocks, "block"))
	}
}

// Counts is how many findings of each severity there are, and how many stops
// nobody has overridden.
type Counts struct {
	stops, warnings, notes int
	Standing               int // stops that nobody has overridden
}

// Tally counts findings.
func Tally(findings []trial.Finding) Counts {
	var c Counts
	for _, f := range findings {
		switch f.Severity {
		case trial.Stop:
			c.stops++
		case trial.Warn:
			c.warnings++
		default:
			c.notes++
		}
		if f.Holds() {
			c.Standing++
		}
	}
	return c
}

func (c Counts) String() string {
	stops := units.Count(c.stops, "stop")
	if overridden := c.stops - c.Standing; overridden > 0 {
		stops += fmt.Sprintf(" (%d overridden)", overridden)
	}
	return fmt.Sprintf("%s, %s, %s", stops, units.Count(c.warnings, "warning"), units.Count(c.notes, "note"))
}

type findingJSON struct {
	Session    string   `json:"session"`
	Block      string   `json:"block"`
	Rule       string   `json:"rule"`
	Severity   string   `json:"severity"`
	Value      *float64 `json:"value"`
	Limit      *float64 `json:"limit"`
	Message    string   `json:"message"`
	Hint       string   `json:"hint,omitempty"`
	Overridden string   `json:"overridden,omitempty"`
	At         string   `json:"at"`
}

// FindingsAsJSON is what check found, for programs.
func FindingsAsJSON(result *derive.Result, findings []trial.Finding, plans []trial.PlanHistory, c Counts) any {
	list := make([]findingJSON, 0, len(findings))
	for _, f := range findings {
		list = append(list, findingJSON{f.Session, f.Block, string(f.Rule), string(f.Severity),
			voice.JSONNumber(f.Value), voice.JSONNumber(f.Limit), f.Message, quality.Hint(result.Dataset, f),
			f.Override, f.At.String()})
	}
	return map[string]any{"findings": list, "stops": c.stops, "warnings": c.warnings, "notes": c.notes,
		"standing": c.Standing, "sessions": len(result.Sessions), "plans": append([]trial.PlanHistory{}, plans...)}
}
