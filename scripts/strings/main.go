// Command strings lists every distinct text that a user can read: commands, flags,
// messages, rules, pages of the site, explorer and track page, with file and line. It ends
// with counts. With -marked it lists only texts to look at again: long sentences, the
// passive voice, and words that the house writes otherwise.
//
//	go run ./scripts/strings > list.txt
//	go run ./scripts/strings -marked
package main

import (
	"bufio"
	"cmp"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"slices"
	"strings"
)

// spoken are the folders whose packages speak to users.
var spoken = []string{"cmd/internal/cli", "cmd/internal/export", "pipeline", "viewer"}

func main() {
	marked := flag.Bool("marked", false, "list only texts to look at again, and why")
	flag.Parse()
	texts, err := collect(os.DirFS("."))
	if err != nil {
		fmt.Fprintln(os.Stderr, "strings:", err)
		os.Exit(1)
	}
	report(os.Stdout, texts, *marked)
}

// text is what a user can read, where it stands first, and in how many places.
type text struct {
	words  string
	file   string
	line   int
	places int
}

// reader takes the texts out of one kind of file.
type reader func(file, source string) ([]text, error)

// readerOf returns the reader for a file by its name, nil for what says nothing to users.
func readerOf(name string) reader {
	switch {
	case strings.HasSuffix(name, "_test.go") || strings.Contains(name, "/testdata/"):
		return nil
	case strings.HasPrefix(name, "viewer/bundle/") && !strings.HasSuffix(name, ".go"):
		return nil
	}
	return map[string]reader{".go": fromGo, ".html": fromHTML, ".js": fromJS}[path.Ext(name)]
}

// collect returns the distinct texts in the order of their files and lines.
func collect(root fs.FS) ([]text, error) {
	seen := map[string]int{} // words to place in list
	var list []text
	for _, folder := range spoken {
		err := fs.WalkDir(root, folder, func(name string, entry fs.DirEntry, err error) error {
			if err != nil || entry.IsDir() || readerOf(name) == nil {
				return err
			}
			source, err := fs.ReadFile(root, name)
			if err != nil {
				return err
			}
			found, err := readerOf(name)(name, string(source))
			for _, t := range found {
				if at, again := seen[t.words]; again {
					list[at].places++
					continue
				}
				seen[t.words] = len(list)
				t.places = 1
				list = append(list, t)
			}
			return err
		})
		if err != nil {
			return nil, err
		}
	}
	slices.SortStableFunc(list, func(a, b text) int {
		return cmp.Or(strings.Compare(a.file, b.file), cmp.Compare(a.line, b.line))
	})
	return list, nil
}

// report prints the texts, or those that are marked with their marks, and the counts.
func report(w io.Writer, texts []text, marked bool) {
	out := bufio.NewWriter(w)
	defer out.Flush()
	for _, t := range texts {
		switch marks := marksOf(t.words); {
		case !marked:
			fmt.Fprintf(out, "%s:%d: %s%s\n", t.file, t.line, t.words, elsewhere(t.places))
		case len(marks) > 0:
			fmt.Fprintf(out, "%s:%d: %s [%s]\n", t.file, t.line, t.words, strings.Join(marks, "; "))
		}
	}
	countsOf(texts).print(out)
}

func elsewhere(places int) string {
	if places == 1 {
		return ""
	}
	return fmt.Sprintf(" (%d times)", places)
}
