package cli

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"soletrial/cmd/internal/cli/fieldnotes"
	"soletrial/cmd/internal/cli/voice"
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
	if err != nil || info.Mode()&os.ModeCharDevice == 0 {
		return false
	}
	null, err := os.Stat(os.DevNull) // a device of letters too, at which nobody sits
	return err != nil || !os.SameFile(info, null)
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

// askUntil asks a question until the answer can be used; an empty one always can.
func (a *app) askUntil(question string, check func(answer string) error) string {
	for {
		answer := a.ask("%s", question)
		if answer == "" {
			return ""
		}
		err := check(answer)
		if err == nil {
			return answer
		}
		if f := new(voice.Failure); errors.As(err, &f) {
			a.PrintFailure(f)
		}
	}
}

// checkWeight is the error of a weight that log could not take.
func checkWeight(answer string) error {
	_, err := fieldnotes.ParseWeight(answer)
	return err
}

// askNotes asks for what is mostly noted on the day; an empty answer leaves it out.
func (a *app) askNotes(session *trial.Session, n *fieldnotes.Notes) {
	if session == nil {
		return // said by what follows
	}
	fmt.Fprintln(a.Err, "Press Enter to skip a question.")
	list := func(flag string, into *[]string, question string) {
		var answers []string
		noted := false
		for _, b := range session.Blocks {
			if b.Excluded {
				continue
			}
			answer := a.askUntil(fmt.Sprintf("%s of block %s (%s)?", question, b.ID, b.Shoe),
				func(answer string) error { return fieldnotes.CheckBlockValue(flag, answer) })
			if noted = noted || answer != ""; answer == "" {
				answer = "-"
			}
			answers = append(answers, answer)
		}
		if noted {
			*into = answers
		}
	}
	list("--rpe", &n.RPE, "exertion, 0 none to 10 all-out,")
	list("--comfort", &n.Comfort, "comfort, 0 worst to 100 best,")
	list("--laps", &n.Laps, "laps")
	seen := map[string]bool{}
	for _, b := range session.Blocks {
		if b.Shoe == "" || seen[b.Shoe] {
			continue
		}
		seen[b.Shoe] = true
		if answer := a.askUntil(fmt.Sprintf("weight of %s in grams, LEFT/RIGHT?", b.Shoe), checkWeight); answer != "" {
			n.Weights = append(n.Weights, b.Shoe+"="+answer)
		}
	}
	number := func(into *float64, question string) {
		a.askUntil(question+"?", func(answer string) error {
			value, err := units.ParseDecimal(answer)
			if err != nil {
				return voice.Usage("write a plain number, such as 12.5", "%q is not a number", answer)
			}
			*into = value
			return nil
		})
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
