// Command size prints the bytes of every page of a published site, as they are
// and packed, against its budgets, and fails when one is exceeded.
package main

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"slices"
	"strings"
)

func main() {
	folder := "public"
	if len(os.Args) > 1 {
		folder = os.Args[1]
	}
	weights, err := weigh(os.DirFS(folder))
	if err != nil {
		fmt.Fprintln(os.Stderr, "size:", err)
		os.Exit(1)
	}
	if over := report(os.Stdout, weights); over > 0 {
		fmt.Fprintf(os.Stderr, "size: %d over budget\n", over)
		os.Exit(1)
	}
}

// weight is what one page costs a reader.
type weight struct {
	page          string
	bytes, packed int
	budget        int // of bytes, 0 for none
	budgetPacked  int
}

func (w weight) over() bool {
	return w.budget > 0 && w.bytes > w.budget || w.budgetPacked > 0 && w.packed > w.budgetPacked
}

// The budgets, in bytes. The home page is weighed with the style sheet and the
// icon that come with it, the explorer as a first visit transfers it: with its
// program and the list of the data's files.
const (
	homeBudget     = 60_000
	sessionBudget  = 80_000
	pageBudget     = 100_000
	explorerBudget = 1_500_000
)

// firstVisit is what the explorer's page loads by itself. Its reader of other
// programs' recordings comes only when someone drops one in, and of the sessions it
// takes the last, see [lastSession].
var firstVisit = []string{"style.css", "icon.svg", "data/index.json", "data/*.csv", "data/dataset.json", "data/derived/comparisons.csv", "data/derived/blocks.csv", "explorer/*.js", "explorer/*.css", "explorer/soletrial.wasm.gz"}

// weigh reads a site's pages, largest first.
func weigh(site fs.FS) ([]weight, error) {
	var list []weight
	err := fs.WalkDir(site, ".", func(name string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() || path.Ext(name) != ".html" {
			return err
		}
		w, err := weighPage(site, name)
		list = append(list, w)
		return err
	})
	if err == nil && len(list) == 0 {
		err = fmt.Errorf("no pages; publish first")
	}
	slices.SortStableFunc(list, func(a, b weight) int { return b.bytes - a.bytes })
	return list, err
}

func weighPage(site fs.FS, name string) (weight, error) {
	w := weight{page: name, budget: pageBudget}
	files := []string{name}
	switch {
	case name == "index.html":
		w.budget, files = homeBudget, append(files, "style.css", "icon.svg")
	case name == "explorer/index.html":
		w.budget, w.budgetPacked = 0, explorerBudget
		for _, pattern := range firstVisit {
			found, err := fs.Glob(site, pattern)
			if err != nil {
				return w, err
			}
			files = append(files, found...)
		}
		last, err := lastSession(site)
		if err != nil {
			return w, err
		}
		files = append(files, last...)
	case strings.HasPrefix(name, "sessions/") && name != "sessions/index.html":
		w.budget = sessionBudget
	}
	for _, file := range files {
		text, err := fs.ReadFile(site, file)
		if err != nil {
			return w, err
		}
		w.bytes += len(text)
		w.packed += packed(file, text)
	}
	return w, nil
}

// lastSession lists the files of the session whose name is the last.
func lastSession(site fs.FS) ([]string, error) {
	folders, err := fs.Glob(site, "data/sessions/*")
	if err != nil || len(folders) == 0 {
		return nil, err
	}
	return fs.Glob(site, slices.Max(folders)+"/*")
}

// packed is what a host that compresses would send.
func packed(file string, text []byte) int {
	if path.Ext(file) == ".gz" {
		return len(text)
	}
	var out bytes.Buffer
	w := gzip.NewWriter(&out)
	w.Write(text) // into memory: neither fails
	w.Close()
	return out.Len()
}

// report prints the weights and counts those over budget.
func report(to io.Writer, weights []weight) (over int) {
	fmt.Fprintf(to, "%9s %9s %9s  %s\n", "bytes", "gzip", "budget", "page")
	for _, w := range weights {
		budget, mark := fmt.Sprint(w.budget), ""
		if w.budgetPacked > 0 {
			budget = fmt.Sprint(w.budgetPacked)
		}
		if w.over() {
			over++
			mark = "  OVER"
		}
		fmt.Fprintf(to, "%9d %9d %9s  %s%s\n", w.bytes, w.packed, budget, w.page, mark)
	}
	return over
}
