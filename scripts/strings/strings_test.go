package main

import (
	"bytes"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
)

const goSource = `package p

import "an/import path"

type t struct {
	A string ` + "`json:\"not a text\" x:\"y z\"`" + `
}

var _ = regexp.MustCompile("not a [text]")

func f(name string) string {
	panic("nobody reads this")
}

var messages = []string{
	"no session " + name + " in " +
		"this dataset",
	"Undo",
	"speed_mps", "a", "--no-flag here",
	"no session \x21 at " + "all",
	f("inside a call"),
}
`

const page = `{{define "main"}}<h1>The answer</h1>
<p>Race in <b>{{.Shoe}}</b> or
{{.Other}}.</p>{{if .More}}<img aria-label="Chance of each shoe">{{end}}
<script>var x = "not read here"</script>
`

const script = `// a comment "with words in it"
show("The page could not start", 'aria-label', ` + "`${n} files are missing`" + `)
`

func collected(t *testing.T) []text {
	t.Helper()
	list, err := collect(fstest.MapFS{
		"cmd/internal/cli/a.go":      {Data: []byte(goSource)},
		"cmd/internal/export/b.go":   {Data: []byte("package p\nvar _ = \"another program speaks\"\n")},
		"cmd/internal/cli/a_test.go": {Data: []byte("package p\nvar _ = \"in a test\"\n")},
		"pipeline/site/main.html":    {Data: []byte(page)},
		"viewer/web/boot.js":         {Data: []byte(script)},
		"viewer/b.go":                {Data: []byte("package p\nvar _ = \"inside a call\"\n")},
		"viewer/bundle/dist/x.js":    {Data: []byte("say('built from elsewhere')")},
	})
	if err != nil {
		t.Fatal(err)
	}
	return list
}

func TestTextsAreFoundWhereTheyStand(t *testing.T) {
	want := []text{
		{"no session … in this dataset", "cmd/internal/cli/a.go", 16, 1},
		{"Undo", "cmd/internal/cli/a.go", 18, 1},
		{"no session ! at all", "cmd/internal/cli/a.go", 20, 1},
		{"inside a call", "cmd/internal/cli/a.go", 21, 2},
		{"another program speaks", "cmd/internal/export/b.go", 2, 1},
		{"The answer", "pipeline/site/main.html", 1, 1},
		{"Race in … or ….", "pipeline/site/main.html", 2, 1},
		{"Chance of each shoe", "pipeline/site/main.html", 3, 1},
		{"The page could not start", "viewer/web/boot.js", 2, 1},
		{"… files are missing", "viewer/web/boot.js", 2, 1},
	}
	if got := collected(t); !slices.Equal(got, want) {
		t.Errorf("found\n%+v\nwant\n%+v", got, want)
	}
}

func TestUnreadableGoIsAnError(t *testing.T) {
	_, err := collect(fstest.MapFS{"cmd/internal/cli/a.go": {Data: []byte("packag p")}})
	if err == nil {
		t.Error("a file that is no Go gives no error")
	}
}

func TestMarks(t *testing.T) {
	long := strings.Repeat("word ", longest) + "more."
	for words, want := range map[string][]string{
		"Run one more session.":      nil,
		"The file was not read.":     {"passive: was not read"},
		"The verdict.":               {"verdict: answer"},
		"Block 3 is left out of it.": {"passive: is left", "left out of: exclude"},
		long:                         {"26 words"},
		strings.Repeat("word ", longest-1) + "end. Two": nil,
	} {
		if got := marksOf(words); !slices.Equal(got, want) {
			t.Errorf("%q has the marks %q, want %q", words, got, want)
		}
	}
}

func TestReportEndsWithCounts(t *testing.T) {
	list := []text{{"The verdict was read. It is fine.", "a.go", 7, 2}, {"Undo", "b.go", 1, 1}}
	end := "2 texts, 8 words, 2.7 words a sentence; 0 texts with a sentence over 25 words; 1 passives; 1 words that " +
		"the house writes otherwise\n"
	for marked, want := range map[bool]string{
		false: "a.go:7: The verdict was read. It is fine. (2 times)\nb.go:1: Undo\n" + end,
		true:  "a.go:7: The verdict was read. It is fine. [passive: was read; verdict: answer]\n" + end,
	} {
		var out bytes.Buffer
		report(&out, list, marked)
		if out.String() != want {
			t.Errorf("marked %v: prints\n%s\nwant\n%s", marked, out.String(), want)
		}
	}
}
