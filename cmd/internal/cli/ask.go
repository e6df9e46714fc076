package cli

import (
	"bufio"
	"fmt"
	"io"
	"os"
	"strings"

	"soletrial/cmd/internal/cli/fieldnotes"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// interactive reports whether somebody sits at a terminal to be asked.
func (a *app) interactive() bool {
	file, ok := a.in.(*os.File)
	if !ok {
		return false
	}
	info, err := file.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}

// ask asks a question and returns the answer without blanks around it, "" for an empty
// one or at the end of the input.
func (a *app) ask(format string, args ...any) string {
	if a.answers == nil {
		a.answers = bufio.NewReader(a.in)
	}
	fmt.Fprintf(a.Err, format+" ", args...)
	line, err := a.answers.ReadString('\n')
	if err != nil && err != io.EOF {
		return ""
	}
	return strings.TrimSpace(line)
}

// askNotes asks for what is mostly noted on the day; an empty answer leaves it out.
func (a *app) askNotes(session *trial.Session, n *fieldnotes.Notes) {
	if session == nil {
		return // said by what follows
	}
	fmt.Fprintln(a.Err, "Press Enter to skip a question.")
	list := func(into *[]string, question string) {
		var answers []string
		noted := false
		for _, b := range session.Blocks {
			if b.Excluded {
				continue
			}
			answer := a.ask("%s of block %s (%s)?", question, b.ID, b.Shoe)
			if noted = noted || answer != ""; answer == "" {
				answer = "-"
			}
			answers = append(answers, answer)
		}
		if noted {
			*into = answers
		}
	}
	list(&n.RPE, "exertion, 0 none to 10 all-out,")
	list(&n.Comfort, "comfort, 0 worst to 100 best,")
	list(&n.Laps, "laps")
	seen := map[string]bool{}
	for _, b := range session.Blocks {
		if b.Shoe == "" || seen[b.Shoe] {
			continue
		}
		seen[b.Shoe] = true
		if answer := a.ask("weight of %s in grams, LEFT/RIGHT?", b.Shoe); answer != "" {
			n.Weights = append(n.Weights, b.Shoe+"="+answer)
		}
	}
	number := func(into *float64, question string) {
		if value, err := units.ParseDecimal(a.ask("%s?", question)); err == nil {
			*into = value
		}
	}
	number(&n.Conditions.AirC, "air temperature, °C")
	number(&n.Conditions.WindMps, "wind, m/s")
	n.Conditions.Sky = a.ask("sky (sun, cloud, rain)?")
	n.Conditions.Surface = a.ask("surface (dry, damp, wet)?")
	for {
		answer := a.ask("anything that was not as planned?")
		if answer == "" {
			return
		}
		n.Deviations = append(n.Deviations, answer)
	}
}
