package main

import (
	"go/ast"
	"go/token"
	"os"
	"path/filepath"
	"slices"
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
	a, b, c := shuffled(list, 5, 1), shuffled(list, 5, 1), shuffled(list, 5, 2)
	if len(a) != 5 || !slices.Equal(a, b) || slices.Equal(a, c) {
		t.Errorf("%v, %v, %v", a, b, c)
	}
	if len(shuffled(list, 0, 1)) != 20 || len(shuffled(list, 99, 1)) != 20 {
		t.Error("0 or too many is not all")
	}
	all := shuffled(list, 0, 1)
	for i := range all {
		all[i].offset = all[i].line
	}
	verdicts := make([]verdict, 20)
	for i := range 12 {
		verdicts[i] = killed
	}
	sorted, left := inSourceOrder(all, verdicts)
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

// The committed list has a reason for every line.
func TestCommittedList(t *testing.T) {
	if _, err := readEquivalent("equivalent.txt"); err != nil {
		t.Error(err)
	}
}
