package cli

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/answer"
	"soletrial/pipeline/compare"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/english"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// compareOptions are the flags of compare.
type compareOptions struct {
	outcome, race string
	all           bool
}

func (a *app) compareCommand() *cobra.Command {
	var o compareOptions
	c := &cobra.Command{
		Use: "compare", Args: cobra.NoArgs,
		Short: "say which shoe to race in, and how sure that is",
		Long: "compare says which shoe to race in, by how much, and how sure that is. For each shoe\n" +
			"it gives the chance that it is the fastest, and how far the leading shoe is ahead.\n" +
			"With --all it adds the other efforts, every pair, the analysis without assumptions,\n" +
			"and what else may matter in each shoe.",
		Example: "  soletrial compare\n" +
			"  soletrial compare --race half=1:45:00\n" +
			"  soletrial compare --all --outcome heart_rate",
		RunE: func(*cobra.Command, []string) error { return a.compare(o) },
	}
	f := c.Flags()
	f.BoolVar(&o.all, "all", false, "everything: other efforts, every pair, the analysis without assumptions")
	f.StringVar(&o.outcome, "outcome", "",
		"add the analysis without assumptions of this `outcome`, such as heart_rate or cadence")
	f.StringVar(&o.race, "race", "",
		"show differences over this `race`, such as half=1:45:00; by default the longest race in dataset.yaml")
	return c
}

func (a *app) compare(o compareOptions) error {
	_, result, err := a.derived()
	if err != nil {
		return err
	}
	speaker, err := speakerOver(result, o.race)
	if err != nil {
		return err
	}
	// One outcome, everything, or the answer alone.
	chosen, named := trial.OutcomeNamed(o.outcome)
	if o.outcome != "" && !named {
		return voice.Usage(outcomeHint(o.outcome), "no outcome %q", o.outcome)
	}
	switch {
	case a.JSON:
		shown := *result
		if named {
			shown.Compare.Comparisons = slices.DeleteFunc(slices.Clone(shown.Compare.Comparisons),
				func(c compare.Comparison) bool { return c.Outcome != chosen })
		}
		return a.PrintJSON(a.asJSON(&shown, speaker))
	case named:
		a.printInvented(result)
		a.printComparisons(result, chosen)
	case o.all:
		a.printAnswer(result, speaker, true)
		a.printExcluded(result)
		a.printRest(result, speaker)
	default:
		a.printAnswer(result, speaker, false)
		a.printExcluded(result)
		a.PrintHanging("More: ", fmt.Sprintf("%s, %s, %s.", a.NextCommand("compare --all"), a.NextCommand("check"),
			a.NextCommand("summary")))
	}
	return nil
}

// outcomeHint says what an outcome that there is none of may have meant.
func outcomeHint(asked string) string {
	var names []string
	for o := range trial.OutcomeCount {
		names = append(names, o.Info().ID)
	}
	return cmp.Or(english.Suggest(asked, names), "the outcomes are "+strings.Join(names, " "))
}

// printInvented marks what is printed of a demonstration.
func (a *app) printInvented(result *derive.Result) {
	if result.Dataset.Facts.Invented {
		a.Printf("invented data: a demonstration\n\n")
	}
}

// How much the short form says, so that it fits one screen.
const (
	maxAdvice = 2
	maxDoubts = 4 // what speaks against an answer is hardly ever left out
	maxShoes  = 8
)

// printAnswer prints the answer of the dataset: what fits one screen, or all of it.
func (a *app) printAnswer(result *derive.Result, s answer.Speaker, all bool) {
	a.printInvented(result)
	said := s.Top()
	a.PrintHanging("", said.Headline())
	e, g := s.Answers.Top()
	if g == nil {
		a.printProblems(s)
		return
	}
	a.Printf("\n")
	shoes, advice, doubts := len(g.Places), said.Stronger, said.Doubts
	if !all {
		shoes, advice, doubts = min(shoes, maxShoes), firstOf(advice, maxAdvice), firstOf(doubts, maxDoubts)
	}
	a.printStandings(s, e, g, shoes)
	a.Printf("\n")
	a.PrintHanging("", said.Evidence+" "+english.Capitalise(s.Basis(e))+".")
	a.printList("To make it stronger:", advice)
	a.printList("Doubts:", doubts)
	if all {
		a.printList("What supports it:", said.Checks)
	}
}

// printList prints sentences under a heading; nothing where there are none.
func (a *app) printList(heading string, lines []string) {
	if len(lines) > 0 {
		a.Printf("%s\n", heading)
	}
	for _, line := range lines {
		a.PrintHanging("- ", english.Capitalise(strings.TrimSuffix(line, "."))+".")
	}
}

// printProblems says why there is no answer.
func (a *app) printProblems(s answer.Speaker) {
	for i := range s.Answers.Efforts {
		e := &s.Answers.Efforts[i]
		switch {
		case e.Problem != "":
			a.PrintHanging("", english.Capitalise(string(e.Effort))+": "+e.Problem+".")
		case e.Main() == nil:
			a.PrintHanging("", english.Capitalise(s.Basis(e))+": no two shoes in one session.")
		}
	}
}

func firstOf(lines []string, most int) []string {
	return lines[:min(len(lines), most)]
}

// The columns of a ranking on a terminal.
const (
	nameWidth   = 11
	barWidth    = 10
	chanceWidth = barWidth + 10
	timeWidth   = 23
)

// printStandings prints the ranking of a group: its best shoes, or all of them.
func (a *app) printStandings(s answer.Speaker, e *answer.Effort, g *answer.Group, shoes int) {
	lines := s.Standings(e, g)
	timed := s.Race != nil && e.Outcome == trial.Speed
	best, ahead := "is the fastest", " is ahead by"
	if e.Outcome == trial.Heart {
		best, ahead = "is the easiest", " is lower by"
	}
	over := ""
	if timed {
		over = fmt.Sprintf("%-*s ", timeWidth, s.RaceLabel())
	}
	a.Printf("%-*s %-*s %s%s\n", nameWidth, "", chanceWidth, "chance that it", voice.Shorten(lines[0].Label, 30), ahead)
	a.Printf("%-*s %-*s %s%s\n", nameWidth, "shoe", chanceWidth, best, over, e.Outcome.Info().Label)
	for i := range lines[:shoes] {
		l := &lines[i]
		row := fmt.Sprintf("%-*s %s %-9s ", nameWidth, voice.Shorten(l.Label, nameWidth), bar(l.Best), l.Chance())
		if timed {
			row += fmt.Sprintf("%-*s ", timeWidth, l.Clock())
		}
		a.Printf("%s\n", strings.TrimRight(row+l.Percent(), " "))
	}
	if more := len(lines) - shoes; more > 0 {
		a.Printf("and %d more\n", more)
	}
}

// bar draws a chance. It is full or empty only where the number beside it says over 99 or
// under 1 %.
func bar(chance float64) string {
	full := int(float64(barWidth*chance) + 0.5)
	switch {
	case chance < 0.005 || chance >= 0.995:
	case full == 0:
		full = 1
	case full == barWidth:
		full--
	}
	return strings.Repeat("#", full) + strings.Repeat(".", barWidth-full)
}

// printExcluded says how many blocks a stop excludes; nothing where none does.
func (a *app) printExcluded(result *derive.Result) {
	holds := map[[2]string]bool{} // by session and block; "" holds the whole session
	for _, f := range result.Findings {
		if f.Holds() {
			holds[[2]string{f.Session, f.Block}] = true
		}
	}
	excluded, all := 0, 0
	for _, s := range result.Sessions {
		for _, b := range s.Blocks {
			all++
			if holds[[2]string{s.ID, ""}] || holds[[2]string{s.ID, b.Block}] {
				excluded++
			}
		}
	}
	if excluded > 0 {
		a.PrintHanging("", fmt.Sprintf("Excluded because of a stop: %d of %s; %s says why.", excluded,
			units.Count(all, "block"), a.NextCommand("check")))
	}
}
