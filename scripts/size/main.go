// Command size prints the size of every page of a published site, as it is and
// compressed, against its budgets, and fails when one is exceeded.
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
	pages, err := measure(os.DirFS(folder))
	if err != nil {
		fmt.Fprintln(os.Stderr, "size:", err)
		os.Exit(1)
	}
	if over := report(os.Stdout, pages); over > 0 {
		fmt.Fprintf(os.Stderr, "size: %d over budget\n", over)
		os.Exit(1)
	}
}

// pageSize is what a reader transfers for one page.
type pageSize struct {
	page              string
	bytes, compressed int
	budget            int // of bytes, 0 for none
	compressedBudget  int // of bytes after compression, 0 for none
}

func (p pageSize) exceeded() bool {
	return p.budget > 0 && p.bytes > p.budget || p.compressedBudget > 0 && p.compressed > p.compressedBudget
}

// The budgets, in bytes. The home page is measured with its style sheet, script and
// icon, the explorer as a first visit transfers it, compressed: with its program, which
// may have 1.72 MB (see scripts/viewer), and the data that it opens with.
const (
	homeBudget       = 75_000
	homePackedBudget = 15_000
	sessionBudget    = 120_000 // 17 kB packed: a line for every block, and the whole run, at two widths
	pageBudget       = 200_000
	explorerBudget   = 1_950_000
)

// firstVisit is what the explorer's page loads by itself: not its converter, which
// is fetched when a reader opens a recording in another form, and of the sessions
// only the last, see [lastSession].
var firstVisit = []string{
	"style.css", "pages.css", "icon.svg", "data/index.json", "data/*.csv", "data/dataset.json",
	"data/derived/comparisons.csv", "data/derived/blocks.csv", "explorer/*.js", "explorer/*.css",
	"explorer/soletrial.wasm.gz",
}

// measure returns the size of a site's pages, largest first.
func measure(site fs.FS) ([]pageSize, error) {
	var list []pageSize
	err := fs.WalkDir(site, ".", func(name string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() || path.Ext(name) != ".html" {
			return err
		}
		size, err := measurePage(site, name)
		list = append(list, size)
		return err
	})
	if err == nil && len(list) == 0 {
		err = fmt.Errorf("no pages; publish first")
	}
	slices.SortStableFunc(list, func(a, b pageSize) int { return b.bytes - a.bytes })
	return list, err
}

// measurePage adds up a page and the files that it loads.
func measurePage(site fs.FS, name string) (pageSize, error) {
	size := pageSize{page: name, budget: pageBudget}

	// Budgets and files by kind of page.
	files := []string{name}
	switch {
	case name == "index.html":
		size.budget, size.compressedBudget = homeBudget, homePackedBudget
		files = append(files, "style.css", "reader.js", "icon.svg")
	case name == "explorer/index.html":
		size.budget, size.compressedBudget = 0, explorerBudget
		for _, pattern := range firstVisit {
			found, err := fs.Glob(site, pattern)
			if err != nil {
				return size, err
			}
			files = append(files, found...)
		}
		last, err := lastSession(site)
		if err != nil {
			return size, err
		}
		files = append(files, last...)
	case strings.HasPrefix(name, "sessions/") && name != "sessions/index.html":
		size.budget = sessionBudget
	}
	for _, file := range files {
		text, err := fs.ReadFile(site, file)
		if err != nil {
			return size, err
		}
		size.bytes += len(text)
		size.compressed += compressedSize(file, text)
	}
	return size, nil
}

// lastSession lists the files of the session whose name is the last.
func lastSession(site fs.FS) ([]string, error) {
	folders, err := fs.Glob(site, "data/sessions/*")
	if err != nil || len(folders) == 0 {
		return nil, err
	}
	return fs.Glob(site, slices.Max(folders)+"/*")
}

// compressedSize is how many bytes a host that compresses would send.
func compressedSize(file string, text []byte) int {
	if path.Ext(file) == ".gz" {
		return len(text)
	}
	var out bytes.Buffer
	w := gzip.NewWriter(&out)
	w.Write(text) // into memory: neither fails
	w.Close()
	return out.Len()
}

// report prints the sizes and counts the pages over budget.
func report(to io.Writer, pages []pageSize) (over int) {
	fmt.Fprintf(to, "%9s %9s %9s  %s\n", "bytes", "gzip", "budget", "page")
	for _, p := range pages {
		budget, mark := p.budget, ""
		if p.compressedBudget > 0 {
			budget = p.compressedBudget
		}
		if p.exceeded() {
			over++
			mark = "  OVER"
		}
		fmt.Fprintf(to, "%9d %9d %9d  %s%s\n", p.bytes, p.compressed, budget, p.page, mark)
	}
	return over
}
