package main

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
)

// answer is what govulncheck found out.
type answer struct {
	toolchain       string          // the Go version that it examined
	known           int             // reports on the modules of the program and on Go's own library, of any version
	notCalled       int             // reports on the versions that are used, of which nothing is called
	vulnerabilities []vulnerability // what is called, by id
}

// vulnerability is a report with a way in which what it warns of is called.
type vulnerability struct {
	id, summary string
	finding
}

// finding is one of govulncheck's, as its documentation describes it: the trace
// leads from the symbol with the vulnerability back to a function of the program, and has
// no function where only the package or the module is used.
type finding struct {
	OSV   string
	Fixed string `json:"fixed_version"`
	Trace []frame
}

// frame is a call, and where it stands.
type frame struct {
	Module, Version, Package, Function, Receiver string
	Position                                     struct {
		Filename string
		Line     int
	}
}

// message is one in the stream that govulncheck writes.
type message struct {
	Config *struct {
		Toolchain string `json:"go_version"`
	}
	OSV     *struct{ ID, Summary string }
	Finding *finding
}

// parse reads govulncheck's stream. A database that has never heard of anything
// in Go's library is none, and no answer.
func parse(stream io.Reader) (answer, error) {
	var a answer
	summaries, called := map[string]string{}, map[string]finding{}

	// Collect the reports, and the finding of each that shows it best.
	for decoder := json.NewDecoder(stream); ; {
		var m message
		if err := decoder.Decode(&m); err == io.EOF {
			break
		} else if err != nil {
			return answer{}, fmt.Errorf("reading govulncheck's answer: %w", err)
		}
		switch {
		case m.Config != nil:
			a.toolchain = m.Config.Toolchain
		case m.OSV != nil:
			summaries[m.OSV.ID] = m.OSV.Summary
		case m.Finding != nil:
			called[m.Finding.OSV] = shorter(called[m.Finding.OSV], *m.Finding)
		}
	}

	// An answer that says nothing is none.
	if a.toolchain == "" {
		return answer{}, errors.New("reading govulncheck's answer: it does not say which Go it examined")
	}
	if a.known = len(summaries); a.known == 0 {
		return answer{},
			fmt.Errorf("%w: the database has no report on any module of the program, nor on Go's own library",
				errUnknown)
	}

	// Vulnerabilities that are called, by id.
	for id, f := range called {
		if !f.calls() {
			a.notCalled++
			continue
		}
		a.vulnerabilities = append(a.vulnerabilities, vulnerability{id, summaries[id], f})
	}
	slices.SortFunc(a.vulnerabilities, func(x, y vulnerability) int { return cmp.Compare(x.id, y.id) })
	return a, nil
}

// calls reports whether something with the vulnerability is called.
func (f finding) calls() bool { return len(f.Trace) > 0 && f.Trace[0].Function != "" }

// shorter chooses the finding that tells more: a call, the shortest way to it, and
// of such ways the first by name, since govulncheck has no order for them.
func shorter(old, other finding) finding {
	switch {
	case !other.calls() && old.OSV != "":
		return old
	case !old.calls():
		return other
	case cmp.Or(cmp.Compare(len(other.Trace), len(old.Trace)), cmp.Compare(other.callPath(), old.callPath())) < 0:
		return other
	}
	return old
}

// inGoAlone reports whether all vulnerabilities are in Go's own library.
func (a answer) inGoAlone() bool {
	return !slices.ContainsFunc(a.vulnerabilities, func(h vulnerability) bool { return h.Trace[0].Module != "stdlib" })
}

// text tells an answer in two lines a vulnerability.
func (a answer) text() string {
	var b strings.Builder
	for _, h := range a.vulnerabilities {
		at := h.Trace[0]
		fmt.Fprintf(&b, "%s: %s\n\t%s %s, %s; %s\n", h.id, h.summary, at.Module, at.Version, fixedIn(h.Fixed),
			h.callPath())
	}
	fmt.Fprintf(&b, "vulnerable: %s: %d reports on what is brought in, of any version; %d on these versions are "+
		"called, %d are not\n", a.toolchain, a.known, len(a.vulnerabilities), a.notCalled)
	return b.String()
}

func fixedIn(version string) string {
	if version == "" {
		return "not fixed yet"
	}
	return "fixed in " + version
}

// callPath says how the program comes to the vulnerability: where the last function of its
// own stands that leads there, what that calls, and what is called in the end.
func (f finding) callPath() string {
	ours := slices.IndexFunc(f.Trace, func(at frame) bool { return at.Module == f.Trace[len(f.Trace)-1].Module })
	if ours <= 0 {
		return f.Trace[0].symbol()
	}
	at := f.Trace[ours]
	way := fmt.Sprintf("%s:%d: %s calls %s", at.Position.Filename, at.Position.Line, at.symbol(),
		f.Trace[ours-1].symbol())
	if ours > 1 {
		way += ", which leads to " + f.Trace[0].symbol()
	}
	return way
}

// symbol names a function as Go does, without the module.
func (f frame) symbol() string {
	name := f.Function
	if f.Receiver != "" {
		name = strings.TrimPrefix(f.Receiver, "*") + "." + name
	}
	return f.Package[strings.LastIndex(f.Package, "/")+1:] + "." + name
}
