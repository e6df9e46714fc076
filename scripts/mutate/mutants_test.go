package main

import (
	"go/ast"
	"go/token"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

func TestMutantsOf(t *testing.T) {
	src := []byte("package p\n\nimport \"math\"\n\nfunc f(a, b float64) float64 {\n\tif a <= b && !(b == 2) {\n\t\ta " +
		"+= 1.5\n\t}\n\treturn -a * math.Pi * math.Inf(-1)\n}\n")
	list, err := mutantsOf("p.go", src)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, m := range list {
		got = append(got, m.from+" -> "+m.to)
		if string(m.apply(src)) == string(src) {
			t.Errorf("%v changes nothing", m)
		}
	}
	want := []string{"&& -> ||", "<= -> >", "<= -> <", "! -> ", "== -> !=", "2 -> (2+1)", "+= -> -=",
		"1.5 -> (1.5*1.001)", "* -> /", "* -> /", "- -> ", "-1 -> 1"}
	if !slices.Equal(got, want) {
		t.Errorf("mutants %q, want %q", got, want)
	}
	if list[0].line != 6 || list[0].sourceLine != "if a <= b && !(b == 2) {" {
		t.Errorf("first is %v", list[0])
	}
}

func TestShuffled(t *testing.T) {
	list := make([]mutant, 20)
	for i := range list {
		list[i].line = i
	}
	a, b, c := shuffled(list, 1), shuffled(list, 1), shuffled(list, 2)
	if len(a) != 20 || !slices.Equal(a, b) || slices.Equal(a, c) {
		t.Errorf("%v, %v, %v", a, b, c)
	}
	all := shuffled(list, 1)
	for i := range all {
		all[i].offset = all[i].line
	}
	outcomes := slices.Repeat([]outcome{untried}, 20)
	for i := range 12 {
		outcomes[i] = killed
	}
	sorted, left := inSourceOrder(all, outcomes)
	if len(sorted) != 12 || len(left) != 12 ||
		!slices.IsSortedFunc(sorted, func(x, y mutant) int { return x.line - y.line }) ||
		slices.Contains(left, untried) {
		t.Errorf("%v, %v", sorted, left)
	}
}

func TestOtherNumber(t *testing.T) {
	for from, want := range map[string]string{"7": "(7+1)", "0.5": "(0.5*1.001)", "0.0": "0.001", "1e-9": "(1e-9*1000)",
		"1e300": "(1e300*1000)"} {
		kind := token.FLOAT
		if from == "7" {
			kind = token.INT
		}
		if got := otherNumber(&ast.BasicLit{Kind: kind, Value: from}); got != want {
			t.Errorf("%s becomes %s, want %s", from, got, want)
		}
	}
}

func TestReadEquivalent(t *testing.T) {
	path := filepath.Join(t.TempDir(), "list")
	os.WriteFile(path, []byte("# comment\n\na.go | < -> <= | if a < b { # ties do not matter\n"), 0o644)
	got, err := readEquivalent(path)
	if err != nil || got["a.go | < -> <= | if a < b {"] != "ties do not matter" || len(got) != 1 {
		t.Errorf("%v, %v", got, err)
	}
	os.WriteFile(path, []byte("a.go | < -> <= | if a < b {\n"), 0o644)
	if _, err := readEquivalent(path); err == nil {
		t.Error("a line without a reason was read")
	}
}

// The committed lists have a reason for every line.
func TestCommittedLists(t *testing.T) {
	lists, err := filepath.Glob("equivalent/*.txt")
	if err != nil || len(lists) == 0 {
		t.Fatalf("%v, %v", lists, err)
	}
	for _, path := range lists {
		if known, err := readEquivalent(path); err != nil || len(known) == 0 {
			t.Errorf("%s: %v, %v", path, known, err)
		}
	}
}

func TestStale(t *testing.T) {
	list := []mutant{{file: "a.go", from: "<", to: "<=", sourceLine: "if a < b {"}}
	known := map[string]string{"a.go | < -> <= | if a < b {": "ties", "a.go | < -> <= | if a < c {": "ties"}
	if got := stale(known, list); !slices.Equal(got, []string{"a.go | < -> <= | if a < c {"}) {
		t.Errorf("stale %q", got)
	}
}

func TestReach(t *testing.T) {
	var r reach
	if err := r.add("mode: set\nm/p/a.go:3.10,5.2 2 1\nm/p/a.go:7.10,9.2 1 0\nm/p/b.go:7.1,9.9 1 1\n"); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		line, column int
		want         bool
	}{{3, 9, true}, {3, 10, true}, {4, 1, true}, {5, 2, true}, {7, 9, true}, {7, 10, false}, {8, 99, false},
		{9, 1, false}, {9, 2, true}} {
		if got := r.has(mutant{file: "a.go", line: c.line, column: c.column}); got != c.want {
			t.Errorf("%d.%d: %v", c.line, c.column, got)
		}
	}
	if err := r.add("a.go:x"); err == nil {
		t.Error("a damaged profile was read")
	}
}

// Changes that are built together are calls, the inner ones in the operands of the outer.
func TestEditsTogether(t *testing.T) {
	src := []byte("package p\n\nfunc f(a, b int) bool {\n\ta += 3\n\ta++\n\treturn !(-a+2 < b) && a == b\n}\n")
	list, err := mutantsOf("p.go", src)
	if err != nil {
		t.Fatal(err)
	}
	var all []edit
	functions := ""
	for i, m := range list {
		if m.to != "<=" { // the second change of that operator
			all = append(all, m.edits(i+1, asWhole, src)...)
			functions += m.function(i + 1)
		}
	}
	want := "package p func f(a, b int) bool { a = mutant1(a , mutant2[int](3, (3+1))) a= mutant3(a, 1) return " +
		"mutant4(((chosen == 5) == ((mutant6(mutant8(mutant9(a),mutant10[int](2, (2+1))) , b)))) , " +
		"func() bool { return ((chosen == 11) != (a == b))}) }"
	if got := strings.Join(strings.Fields(string(apply(src, all))), " "); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	for _, part := range []string{
		"func mutant6[T cmp.Ordered](x, y T) bool {\n\tif chosen == 6 {\n\t\treturn x >= y\n",
		"func mutant4(x bool, y func() bool) bool {\n\tif chosen == 4 {\n\t\treturn x || y()\n",
		"func mutant3[T anyNumber](x, y T) T {\n\tif chosen == 3 {\n\t\treturn x - y\n\t}\n\treturn x + y\n"} {
		if !strings.Contains(functions, part) {
			t.Errorf("no %s in\n%s", part, functions)
		}
	}
}
