package main

import (
	"cmp"
	"encoding/json"
	"fmt"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// Mutants that are built together are chosen when the tests run, by a variable of the
// environment: one build serves them all. Each becomes a call of a function of its own, so that
// the compiler finds the types.

// chosenBy is the variable of the environment: the number of a mutant, or 0 for none.
const chosenBy = "MUTANT"

// form is how a mutant is written so that it can be chosen at run time.
type form int

const (
	asWhole form = iota // as it is, a whole number where it is a number
	asReal              // a number that is not whole
	alone               // not at all: it needs a build of its own
)

// kind is what sort of change a mutant is.
type kind int

const (
	operator   kind = iota // x + y
	logical                // x && y
	equality               // x == y
	assignment             // x += y, x++
	negative               // -x
	not                    // !x
	number                 // 1, or the sign of an infinity
)

// edit replaces source by text. At one place ends of expressions come first, the inner before
// the outer, then beginnings, the outer before the inner, then what replaces an operator.
type edit struct {
	from, to    int
	text        string
	rank, depth int
}

// edits writes mutant k into its source.
func (m mutant) edits(k int, f form, src []byte) []edit {
	size := m.end - m.start
	open := func(text string) edit { return edit{m.start, m.start, text, 1, -size} }
	shut := func(text string) edit { return edit{m.end, m.end, text, 0, size} }
	swap := func(text string) edit { return edit{m.offset, m.offset + len(m.from), text, 2, 0} }
	switch m.kind {
	case operator:
		return []edit{open(fmt.Sprintf("mutant%d(", k)), swap(","), shut(")")}
	case logical:
		return []edit{open(fmt.Sprintf("mutant%d(", k)), swap(", func() bool { return "), shut("})")}
	case equality:
		return []edit{open(fmt.Sprintf("((chosen == %d) != (", k)), shut("))")}
	case not:
		return []edit{swap(fmt.Sprintf("((chosen == %d) == (", k)), shut("))")}
	case negative:
		return []edit{swap(fmt.Sprintf("mutant%d(", k)), shut(")")}
	case assignment:
		call := fmt.Sprintf("= mutant%d(%s, ", k, src[m.start:m.offset])
		if m.from == "++" || m.from == "--" {
			return []edit{swap(call + "1)")}
		}
		return []edit{swap(call), shut(")")}
	}
	t := map[form]string{asWhole: "int", asReal: "float64"}[f]
	return []edit{swap(fmt.Sprintf("mutant%d[%s](%s, %s)", k, t, m.from, m.to))}
}

// function is what the edits of mutant k call.
func (m mutant) function(k int) string {
	op, to := strings.TrimSuffix(m.from, "="), strings.TrimSuffix(m.to, "=")
	if m.kind == operator && len(m.from) > 1 || m.kind == operator && len(m.to) > 1 {
		op, to = m.from, m.to
	}
	head := fmt.Sprintf("func mutant%d", k)
	choice := fmt.Sprintf(" {\n\tif chosen == %d {\n\t\treturn %%s\n\t}\n\treturn %%s\n}\n", k)
	switch {
	case m.kind == logical:
		return head + "(x bool, y func() bool) bool" + fmt.Sprintf(choice, "x "+to+" y()", "x "+op+" y()")
	case m.kind == negative:
		return head + "[T anyNumber](x T) T" + fmt.Sprintf(choice, "x", "-x")
	case m.kind == number:
		return head + "[T anyNumber](x, y T) T" + fmt.Sprintf(choice, "y", "x")
	case m.kind == assignment && len(m.from) == 2 && m.from[0] == m.from[1]:
		op, to = m.from[:1], m.to[:1]
	}
	x, y := "x "+op+" y", "x "+to+" y"
	switch {
	case m.kind != operator && m.kind != assignment:
		return ""
	case strings.ContainsAny(op, "<>") && op != "<<" && op != ">>":
		return head + "[T cmp.Ordered](x, y T) bool" + fmt.Sprintf(choice, y, x)
	case op == "<<" || op == ">>":
		return head + "[T, U anyInteger](x T, y U) T" + fmt.Sprintf(choice, y, x)
	case op == "%":
		return head + "[T anyInteger](x, y T) T" + fmt.Sprintf(choice, y, x)
	}
	return head + "[T anyNumber](x, y T) T" + fmt.Sprintf(choice, y, x)
}

// common is what every mutant that is chosen at run time needs.
const common = `import (
	"cmp"
	"os"
	"strconv"
)

var chosen, _ = strconv.Atoi(os.Getenv("` + chosenBy + `"))

type anyInteger interface {
	~int | ~int8 | ~int16 | ~int32 | ~int64 | ~uint | ~uint8 | ~uint16 | ~uint32 | ~uint64 | ~uintptr
}

type anyNumber interface{ anyInteger | ~float32 | ~float64 }

var _ = cmp.Compare[int] // used even where no comparison is changed

`

// together are mutants in one build, numbered from 1 by their place in the list.
type together struct {
	sandbox
	list  []mutant
	forms []form
}

// newTogether finds a form for each mutant in which the package compiles.
func (b sandbox) newTogether(list []mutant) (*together, error) {
	s := &together{sandbox: b, list: list, forms: make([]form, len(list))}
	taken := map[string]bool{}
	for i, m := range list {
		place := fmt.Sprint(m.file, m.offset)
		if taken[place] {
			s.forms[i] = alone // another change of the same operator is in this build
		} else if taken[place] = true; m.kind == number && strings.ContainsAny(m.from, ".e") {
			s.forms[i] = asReal
		}
	}
	for {
		if err := s.write(); err != nil {
			return nil, err
		}
		out, err := s.goCommand("build", "-gcflags=-e", "-overlay", s.overlay(), "./"+s.pkg).CombinedOutput()
		if err == nil {
			return s, nil
		}
		if !s.demote(string(out)) {
			return nil, fmt.Errorf("changes of %s together: %s", s.pkg, out)
		}
	}
}

var errorPlace = regexp.MustCompile(`([^/\s:]+\.go):(\d+):\d+:`)

// demote gives the mutants at the errors of a build their next form; false where there are none.
func (s *together) demote(errors string) (some bool) {
	at := map[string]bool{}
	for _, found := range errorPlace.FindAllStringSubmatch(errors, -1) {
		at[found[1]+":"+found[2]] = true
	}
	for i, m := range s.list {
		if s.forms[i] == alone || !at[m.file+":"+strconv.Itoa(m.line)] {
			continue
		}
		some = true
		if m.kind == number {
			s.forms[i]++
		} else {
			s.forms[i] = alone
		}
	}
	if !some { // an error on another line of the same file
		for i, m := range s.list {
			if s.forms[i] != alone && strings.Contains(errors, m.file) {
				some, s.forms[i] = true, alone
			}
		}
	}
	return some
}

func (s *together) folder() string  { return filepath.Join(s.dir, "together") }
func (s *together) overlay() string { return filepath.Join(s.folder(), "overlay.json") }

// write writes the changed files and the overlay.
func (s *together) write() error {
	if err := os.MkdirAll(s.folder(), 0o755); err != nil {
		return err
	}
	replace := map[string]string{}
	put := func(name string, text []byte) error {
		replace[filepath.Join(s.dir, "module", s.pkg, name)] = filepath.Join(s.folder(), name)
		return os.WriteFile(filepath.Join(s.folder(), name), text, 0o644)
	}
	edits, functions, name := map[string][]edit{}, common, ""
	for i, m := range s.list {
		if s.forms[i] == alone {
			continue
		}
		src, err := os.ReadFile(filepath.Join(s.dir, "module", s.pkg, m.file))
		if err != nil {
			return err
		}
		f, err := parser.ParseFile(token.NewFileSet(), m.file, src, parser.PackageClauseOnly)
		if err != nil {
			return err
		}
		name = f.Name.Name
		edits[m.file] = append(edits[m.file], m.edits(i+1, s.forms[i], src)...)
		functions += m.function(i + 1)
	}
	for file, list := range edits {
		src, err := os.ReadFile(filepath.Join(s.dir, "module", s.pkg, file))
		if err != nil {
			return err
		}
		if err := put(file, apply(src, list)); err != nil {
			return err
		}
	}
	if name != "" {
		if err := put("mutants_together.go", []byte("package "+name+"\n\n"+functions)); err != nil {
			return err
		}
	}
	plan, err := json.Marshal(map[string]map[string]string{"Replace": replace})
	if err != nil {
		return err
	}
	return os.WriteFile(s.overlay(), plan, 0o644)
}

// apply makes edits, none of which overlap.
func apply(src []byte, list []edit) []byte {
	slices.SortStableFunc(list, func(a, b edit) int {
		return cmp.Or(cmp.Compare(a.from, b.from), cmp.Compare(a.rank, b.rank), cmp.Compare(a.depth, b.depth))
	})
	var out []byte
	at := 0
	for _, e := range list {
		out = append(append(out, src[at:e.from]...), e.text...)
		at = e.to
	}
	return append(out, src[at:]...)
}
