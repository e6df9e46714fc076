// Package voice is how the program speaks: results go to stdout, everything else
// to stderr with the prefix "soletrial:", lower case, user data quoted, and a line
// that says what to do.
//
// Every command has a [Console]. What goes wrong is returned as a [Failure], made
// by [Usage], [Unreadable] or [Stopped], and printed once, by whoever called the
// command. The package knows no command and reads no dataset.
package voice

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"soletrial/pipeline/english"
	"soletrial/pipeline/trial"
)

// DefaultDataset is the folder of the dataset when no other is named.
const DefaultDataset = "data"

// Console is where the results and remarks of one command go.
type Console struct {
	Out, Err io.Writer
	Dataset  string // the dataset's folder, as it was named or found
	Implicit bool   // it was found, so that the next command finds it too
	JSON     bool   // results as JSON

	printed bool // a result as JSON
}

// Printf prints a part of a result.
func (c *Console) Printf(format string, args ...any) {
	io.WriteString(c.Out, visible(fmt.Sprintf(format, args...)))
}

// Remark prints what is not a result.
func (c *Console) Remark(format string, args ...any) {
	fmt.Fprintf(c.Err, "soletrial: %s\n", visible(fmt.Sprintf(format, args...)))
}

// PrintHanging prints text with a hanging indent: the first line after the lead,
// the others below its end.
func (c *Console) PrintHanging(lead, text string) {
	for _, line := range Wrap(text, LineWidth-len(lead)) {
		c.Printf("%s%s\n", lead, line)
		lead = strings.Repeat(" ", len(lead))
	}
}

// JSONFormat is the version of what --json prints; it goes up when a program that reads it
// would have to change.
const JSONFormat = 1

// PrintJSON prints an object, a result, as indented JSON with the version of the format as
// its first key. A command prints one: the result, or by [Console.PrintFailure] the error.
func (c *Console) PrintJSON(object any) error {
	c.printed = true
	var text bytes.Buffer
	encoder := json.NewEncoder(&text)
	encoder.SetEscapeHTML(false)
	if err := encoder.Encode(object); err != nil {
		return err
	}
	version := fmt.Sprintf(`{"format":%d,`, JSONFormat)
	whole := text.Bytes()
	if !bytes.HasPrefix(whole, []byte(version)) {
		whole = append([]byte(version), bytes.TrimPrefix(whole, []byte("{"))...)
	}
	var indented bytes.Buffer
	if err := json.Indent(&indented, whole, "", "  "); err != nil {
		return err
	}
	_, err := c.Out.Write(indented.Bytes())
	return err
}

// PrintWritten prints the paths that a command changed, or the remark none where
// it changed nothing.
func (c *Console) PrintWritten(changed []string, none string) error {
	if c.JSON {
		return c.PrintJSON(map[string]any{"written": append([]string{}, changed...)})
	}
	for _, path := range changed {
		c.Printf("%s\n", path)
	}
	if len(changed) == 0 {
		c.Remark("%s", none)
	}
	return nil
}

// PrintFailure prints a failure to stderr. Where JSON was asked for and no result is printed,
// it prints the failure to stdout too, so that a program finds one object there in any case.
func (c *Console) PrintFailure(f *Failure) {
	if c.JSON && !c.printed {
		c.PrintJSON(map[string]any{"error": errorJSON{f.Code, f.Message, f.Hint, problemsJSON(f.Problems)}})
	}
	for _, p := range f.Problems {
		p.At.File = plainName(p.At.File)
		fmt.Fprintf(c.Err, "%s: %s\n", p.At, visible(p.Message))
		if p.Hint != "" {
			fmt.Fprintf(c.Err, "  %s\n", visible(p.Hint))
		}
	}
	if f.Message != "" {
		fmt.Fprintf(c.Err, "soletrial: %s\n", visible(f.Message))
	}
	if f.Hint != "" {
		fmt.Fprintf(c.Err, "soletrial: hint: %s\n", visible(f.Hint))
	}
}

// NextCommand is a command to run next, on the same dataset, as a person would type
// it.
func (c *Console) NextCommand(command string) string {
	name, rest, _ := strings.Cut(command, " ")
	text := "soletrial " + name
	if c.Dataset != DefaultDataset && !c.Implicit {
		dir := c.Dataset
		if strings.ContainsFunc(dir, needsQuotes) {
			dir = strconv.Quote(dir)
		}
		text += " -d " + dir
	}
	return "`" + strings.TrimSpace(text+" "+rest) + "`"
}

func needsQuotes(r rune) bool {
	return !unicode.IsLetter(r) && !unicode.IsDigit(r) && !strings.ContainsRune("._-/:\\", r)
}

// errorJSON is a failure for programs. Code is the exit code.
type errorJSON struct {
	Code     int           `json:"code"`
	Message  string        `json:"message"`
	Hint     string        `json:"hint,omitempty"`
	Problems []problemJSON `json:"problems"`
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

// plainName quotes a name that would not be seen for what it is: one with a line
// feed, an escape, or bytes that are no text.
func plainName(name string) string {
	if utf8.ValidString(name) && visible(name) == name && !strings.ContainsAny(name, "\n\t") {
		return name
	}
	return strconv.Quote(name)
}

// visible shows what would not be seen, or would turn the direction of writing, as pages
// do, so that no file can steer the terminal or look like another.
func visible(s string) string {
	return strings.Map(func(r rune) rune {
		if english.Invisible(r) {
			return utf8.RuneError
		}
		return r
	}, s)
}
