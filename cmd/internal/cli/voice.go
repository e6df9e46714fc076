package cli

import (
	"encoding/json"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"soletrial/pipeline/trial"
)

// failure ends a run. Its message and hint are for people; problems carry the
// places in the text that need attention.
type failure struct {
	code     int
	message  string
	hint     string
	problems []trial.Problem
}

func (f *failure) Error() string { return f.message }

// usage is a failure of the command line or of what it points at.
func usage(hint, format string, args ...any) error {
	return &failure{code: exitUsage, message: fmt.Sprintf(format, args...), hint: hint}
}

// unreadable is a failure of the dataset's text.
func unreadable(problems []trial.Problem) error {
	noun := "problem"
	if len(problems) > 1 {
		noun = "problems"
	}
	return &failure{code: exitUsage, message: fmt.Sprintf("%d %s in the text of the dataset", len(problems), noun), hint: "nothing was written", problems: problems}
}

// stopped is a result that is not fine.
func stopped(hint, format string, args ...any) error {
	return &failure{code: exitStop, message: fmt.Sprintf(format, args...), hint: hint}
}

// next writes a command to run next, on the same dataset, as a person would type
// it.
func (a *app) next(command string) string {
	name, rest, _ := strings.Cut(command, " ")
	text := "soletrial " + name
	if a.dir != defaultDataset {
		dir := a.dir
		if strings.ContainsFunc(dir, func(r rune) bool {
			return !unicode.IsLetter(r) && !unicode.IsDigit(r) && !strings.ContainsRune("._-/:\\", r)
		}) {
			dir = strconv.Quote(dir)
		}
		text += " -d " + dir
	}
	return "`" + strings.TrimSpace(text+" "+rest) + "`"
}

// fail prints a failure: as JSON to stdout when asked for, else to stderr.
func (a *app) fail(f *failure) {
	if f.code == 0 {
		f.code = exitUsage
	}
	if a.json && len(f.problems) > 0 {
		a.printJSON(map[string]any{"problems": problemsJSON(f.problems)})
	}
	for _, p := range f.problems {
		p.At.File = plainName(p.At.File)
		fmt.Fprintf(a.err, "%s: %s\n", p.At, visible(p.Message))
		if p.Hint != "" {
			fmt.Fprintf(a.err, "  %s\n", visible(p.Hint))
		}
	}
	if f.message != "" {
		fmt.Fprintf(a.err, "soletrial: %s\n", visible(f.message))
	}
	if f.hint != "" {
		fmt.Fprintf(a.err, "soletrial: hint: %s\n", visible(f.hint))
	}
}

// say prints a remark that is not a result.
func (a *app) say(format string, args ...any) {
	fmt.Fprintf(a.err, "soletrial: %s\n", visible(fmt.Sprintf(format, args...)))
}

// plainName quotes a name that would not be seen for what it is: one with a line
// feed, an escape, or bytes that are no text.
func plainName(name string) string {
	if utf8.ValidString(name) && visible(name) == name && !strings.ContainsAny(name, "\n\t") {
		return name
	}
	return strconv.Quote(name)
}

// visible shows control characters instead of obeying them, so that no file can
// steer the terminal.
func visible(s string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' && r != '\n' && r != '\t' || r >= 0x7f && r < 0xa0 || r >= 0x202a && r <= 0x202e || r >= 0x2066 && r <= 0x2069 {
			return '\uFFFD'
		}
		return r
	}, s)
}

func (a *app) printf(format string, args ...any) {
	io.WriteString(a.out, visible(fmt.Sprintf(format, args...)))
}

// printJSON writes indented JSON to stdout.
func (a *app) printJSON(v any) error {
	enc := json.NewEncoder(a.out)
	enc.SetIndent("", "  ")
	enc.SetEscapeHTML(false)
	return enc.Encode(v)
}

type problemJSON struct {
	File    string `json:"file"`
	Line    int    `json:"line,omitempty"`
	Column  int    `json:"column,omitempty"`
	Message string `json:"message"`
	Hint    string `json:"hint,omitempty"`
}

func problemsJSON(problems []trial.Problem) []problemJSON {
	list := make([]problemJSON, 0, len(problems))
	for _, p := range problems {
		list = append(list, problemJSON{p.At.File, p.At.Line, p.At.Column, p.Message, p.Hint})
	}
	return list
}
