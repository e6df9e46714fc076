// Package report is what commands print: results as text for a terminal, and as JSON for
// programs.
//
// A result fits one screen unless everything is asked for, the most important first; JSON holds
// all of it, null where a number is not known.
package report

import (
	"fmt"
	"strings"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/answer"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/english"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// PrintInvented marks what is printed of a demonstration.
func PrintInvented(console *voice.Console, ds *trial.Dataset) {
	if ds.Facts.Invented {
		console.Printf("invented data: a demonstration\n\n")
	}
}

// How much the short form says, so that it fits one screen.
const (
	maxAdvice = 2
	maxDoubts = 4 // what speaks against an answer is hardly ever left out
	maxShoes  = 8
)

// PrintAnswer prints the answer of the dataset: what fits one screen, or all of it.
func PrintAnswer(console *voice.Console, result *derive.Result, s answer.Speaker, all bool) {
	PrintInvented(console, result.Dataset)
	said := s.Top()
	console.PrintHanging("", said.Headline())
	e, g := s.Answers.Top()
	if g == nil {
		printProblems(console, s)
		return
	}
	console.Printf("\n")
	shoes, advice, doubts := len(g.Places), said.Stronger, said.Doubts
	if !all {
		shoes, advice, doubts = min(shoes, maxShoes), firstOf(advice, maxAdvice), firstOf(doubts, maxDoubts)
	}
	printStandings(console, s, e, g, shoes)
	console.Printf("\n")
	console.PrintHanging("", said.Evidence+" "+english.Capitalise(s.Basis(e))+".")
	printList(console, "To make it stronger:", advice)
	printList(console, "Doubts:", doubts)
	if all {
		printList(console, "What supports it:", said.Checks)
	}
}

// printList prints sentences under a heading; nothing where there are none.
func printList(console *voice.Console, heading string, lines []string) {
	if len(lines) > 0 {
		console.Printf("%s\n", heading)
	}
	for _, line := range lines {
		console.PrintHanging("- ", english.Capitalise(strings.TrimSuffix(line, "."))+".")
	}
}

// printProblems says why there is no answer.
func printProblems(console *voice.Console, s answer.Speaker) {
	for i := range s.Answers.Efforts {
		e := &s.Answers.Efforts[i]
		switch {
		case e.Problem != "":
			console.PrintHanging("", english.Capitalise(string(e.Effort))+": "+e.Problem+".")
		case e.Main() == nil:
			console.PrintHanging("", english.Capitalise(s.Basis(e))+": no two shoes in one session.")
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
func printStandings(console *voice.Console, s answer.Speaker, e *answer.Effort, g *answer.Group, shoes int) {
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
	console.Printf("%-*s %-*s %s%s\n", nameWidth, "", chanceWidth, "chance that it",
		voice.Shorten(lines[0].Label, 30), ahead)
	console.Printf("%-*s %-*s %s%s\n", nameWidth, "shoe", chanceWidth, best, over, e.Outcome.Info().Label)
	for i := range lines[:shoes] {
		l := &lines[i]
		row := fmt.Sprintf("%-*s %s %-9s ", nameWidth, voice.Shorten(l.Label, nameWidth), bar(l.Best), l.Chance())
		if timed {
			row += fmt.Sprintf("%-*s ", timeWidth, l.Clock())
		}
		console.Printf("%s\n", strings.TrimRight(row+l.Percent(), " "))
	}
	if more := len(lines) - shoes; more > 0 {
		console.Printf("and %d more\n", more)
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

// PrintExcluded says how many blocks a stop excludes; nothing where none does.
func PrintExcluded(console *voice.Console, result *derive.Result) {
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
		console.PrintHanging("", fmt.Sprintf("Excluded because of a stop: %d of %s; %s says why.", excluded,
			units.Count(all, "block"), console.NextCommand("check")))
	}
}
