package main

import (
	"bytes"
	"io/fs"
	"math/rand/v2"
	"os"
	"strings"
	"testing"
	"testing/fstest"

	"soletrial/pipeline/derive"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
	"soletrial/pipeline/site"
)

// The pages of the demonstration keep their budgets; the home page, with its style
// sheet and icon, has at most 60 kB.
func TestDemonstrationKeepsItsBudgets(t *testing.T) {
	weights, err := weigh(demonstration(t))
	if err != nil {
		t.Fatal(err)
	}
	var table bytes.Buffer
	if over := report(&table, weights); over > 0 {
		t.Errorf("%d over budget:\n%s", over, table.String())
	}
	kinds := map[string]int{}
	for _, w := range weights {
		kinds[strings.Split(w.page, "/")[0]]++
		if w.page == "index.html" && (w.budget != 60_000 || w.bytes < 20_000 || w.bytes > 60_000) {
			t.Errorf("the home page has %d bytes", w.bytes)
		}
	}
	if kinds["sessions"] != 9 || kinds["shoes"] != 5 || kinds["index.html"] != 1 {
		t.Errorf("weighed %v", kinds)
	}
}

// demonstration makes the site of the demonstration, without its explorer.
func demonstration(t *testing.T) fs.FS {
	t.Helper()
	fsys := os.DirFS("../../data")
	folder, problems := plaintext.Read(fsys, yamltext.Read)
	if len(problems) > 0 {
		t.Fatal(problems[0])
	}
	result, problems, err := derive.Run(folder, nil, derive.Means{})
	if err != nil || len(problems) > 0 {
		t.Fatal(err, problems)
	}
	in := site.Input{Result: result, Recordings: folder.Recordings}
	inputs, err := folder.Inputs()
	if err != nil {
		t.Fatal(err)
	}
	for _, input := range inputs {
		text, err := fs.ReadFile(fsys, input.Path)
		if err != nil {
			t.Fatal(err)
		}
		in.Files = append(in.Files, site.File{Path: input.Path, Text: text})
	}
	files, err := site.Pages(in)
	if err != nil {
		t.Fatal(err)
	}
	pages := fstest.MapFS{}
	for _, f := range files {
		pages[f.Path] = &fstest.MapFile{Data: f.Text}
	}
	return pages
}

func TestOverBudgetIsSaid(t *testing.T) {
	site := fstest.MapFS{
		"index.html": {Data: make([]byte, 59_000)}, "style.css": {Data: make([]byte, 1_001)}, "icon.svg": {Data: nil}, "data/index.json": {Data: nil},
		"sessions/a.html": {Data: make([]byte, 80_000)}, "sessions/b.html": {Data: make([]byte, 80_001)}, "sessions/index.html": {Data: make([]byte, 80_001)},
		"explorer/index.html": {Data: nil}, "explorer/soletrial.wasm.gz": {Data: make([]byte, 1_500_001)}, "explorer/convert.wasm.gz": {Data: make([]byte, 1_000_000)},
	}
	archive := make([]byte, 50_000) // that nothing packs any further
	rand.NewChaCha8([32]byte{}).Read(archive)
	site["data/dataset.zip"] = &fstest.MapFile{Data: archive}
	weights, err := weigh(site)
	if err != nil {
		t.Fatal(err)
	}
	over := map[string]bool{}
	for _, w := range weights {
		if w.page == "explorer/index.html" && w.packed > 1_510_000 {
			t.Errorf("a first visit takes %d bytes: what is loaded on demand is no part of it", w.packed)
		}
		over[w.page] = w.over()
	}
	if !over["index.html"] || over["sessions/a.html"] || !over["sessions/b.html"] || over["sessions/index.html"] || !over["explorer/index.html"] {
		t.Errorf("over budget: %v", over)
	}
	var table bytes.Buffer
	if n := report(&table, weights); n != 3 || strings.Count(table.String(), "OVER") != 3 {
		t.Errorf("%d over in\n%s", n, table.String())
	}
	if _, err := weigh(fstest.MapFS{}); err == nil {
		t.Error("nothing to weigh is fine")
	}
}

func TestLastSession(t *testing.T) {
	site := fstest.MapFS{"data/sessions/a/pod.csv": {}, "data/sessions/b/pod.csv": {}, "data/sessions/b/session.json": {}}
	if files, err := lastSession(site); err != nil || strings.Join(files, " ") != "data/sessions/b/pod.csv data/sessions/b/session.json" {
		t.Errorf("%q, %v", files, err)
	}
	if files, err := lastSession(fstest.MapFS{}); err != nil || files != nil {
		t.Errorf("%q, %v", files, err)
	}
}
