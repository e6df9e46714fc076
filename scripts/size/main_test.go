package main

import (
	"bytes"
	"io/fs"
	"maps"
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
	pages, err := measure(publishedDemonstration(t))
	if err != nil {
		t.Fatal(err)
	}
	var table bytes.Buffer
	if over := report(&table, pages); over > 0 {
		t.Errorf("%d over budget:\n%s", over, table.String())
	}
	kinds := map[string]int{}
	for _, p := range pages {
		kinds[strings.Split(p.page, "/")[0]]++
		if p.page == "index.html" && (p.budget != 75_000 || p.bytes < 20_000 || p.bytes > 75_000 ||
			p.compressedBudget != 15_000 || p.compressed < 8_000 || p.compressed > 15_000) {
			t.Errorf("the home page has %d bytes", p.bytes)
		}
	}
	if kinds["sessions"] != 9 || kinds["shoes"] != 5 || kinds["index.html"] != 1 {
		t.Errorf("measured %v", kinds)
	}
}

// publishedDemonstration returns the site of the demonstration, without its explorer.
func publishedDemonstration(t *testing.T) fs.FS {
	t.Helper()
	fsys := os.DirFS("../../data")
	folder, problems := plaintext.Read(fsys, yamltext.Read)
	if len(problems) > 0 {
		t.Fatal(problems[0])
	}
	result, problems, err := derive.FromFolder(folder, nil, derive.Options{})
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

func TestPagesOverBudgetAreReported(t *testing.T) {
	site := fstest.MapFS{}
	for name, bytes := range map[string]int{
		"index.html": 74_000, "style.css": 900, "reader.js": 101, "icon.svg": 0, "data/index.json": 0,
		"sessions/a.html": 120_000, "sessions/b.html": 120_001, "sessions/index.html": 120_001,
		"explorer/index.html": 0, "explorer/soletrial.wasm.gz": 1_950_001, "explorer/convert.wasm.gz": 1_000_000,
	} {
		site[name] = &fstest.MapFile{Data: make([]byte, bytes)}
	}
	archive := make([]byte, 50_000) // random bytes do not compress
	rand.NewChaCha8([32]byte{}).Read(archive)
	site["data/dataset.zip"] = &fstest.MapFile{Data: archive}
	pages, err := measure(site)
	if err != nil {
		t.Fatal(err)
	}
	over := map[string]bool{}
	for _, p := range pages {
		if p.page == "explorer/index.html" && p.compressed > 1_960_000 {
			t.Errorf("a first visit transfers %d bytes: what is loaded on demand is no part of it", p.compressed)
		}
		over[p.page] = p.exceeded()
	}
	want := map[string]bool{
		"index.html": true, "sessions/a.html": false, "sessions/b.html": true, "sessions/index.html": false,
		"explorer/index.html": true,
	}
	if !maps.Equal(over, want) {
		t.Errorf("over budget: %v, want %v", over, want)
	}
	var table bytes.Buffer
	if n := report(&table, pages); n != 3 || strings.Count(table.String(), "OVER") != 3 {
		t.Errorf("%d over in\n%s", n, table.String())
	}
	if _, err := measure(fstest.MapFS{}); err == nil {
		t.Error("a site without pages is not an error")
	}
}

func TestLastSession(t *testing.T) {
	site := fstest.MapFS{
		"data/sessions/a/foot.csv": {}, "data/sessions/b/foot.csv": {}, "data/sessions/b/session.json": {},
	}
	want := "data/sessions/b/foot.csv data/sessions/b/session.json"
	if files, err := lastSession(site); err != nil || strings.Join(files, " ") != want {
		t.Errorf("%q, %v", files, err)
	}
	if files, err := lastSession(fstest.MapFS{}); err != nil || files != nil {
		t.Errorf("%q, %v", files, err)
	}
}
