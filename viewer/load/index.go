// Package load loads a published bundle into memory: its index, and the files that the
// index names, from the store where they are there and from the site otherwise.
//
// [Loader.LoadIndex] comes first, then [Loader.LoadMore] for what is shown, as often as
// needed. Every file is checked against its SHA-256, whether stored or fetched; an
// error says which file and what to do.
package load

import (
	"fmt"
	"io/fs"
	"strings"

	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/units"
)

// Format names the index format that this viewer reads.
const Format = "soletrial bundle 1"

// IndexName is the name of the index in the bundle's folder.
const IndexName = "index.json"

// Index lists a published bundle: the files the derivation reads and the tables
// it gave when the site was published. Paths are relative to the bundle.
type Index struct {
	Files, Derived []File
	Lists          []File  // of more files, which [Loader.LoadIndex] adds to Files
	Sums           []File  // 5-second sums of the blocks; none where the site was published without
	Answer         *Answer // nil where the site was published without
}

// File is one file of a bundle.
type File struct {
	Path   string
	Bytes  int64
	SHA256 string // in hexadecimal
}

// ParseIndex reads an index and refuses one that could lead outside the bundle
// or that leaves out a hash. Keys it does not know are passed over. The lists that it names are
// to be added by [Index.Add].
func ParseIndex(text []byte) (*Index, error) {
	root, err := parseRoot(text, IndexName)
	if err != nil {
		return nil, err
	}
	index := Index{
		Files: parseFiles(root, "files"), Lists: parseFiles(root, "lists"), Derived: parseFiles(root, "derived"),
		Sums: parseFiles(root, "sums"), Answer: parseAnswer(root),
	}
	if err := index.validate(); err != nil {
		return nil, err
	}
	if len(index.Files)+len(index.Lists) == 0 || len(index.Derived) == 0 {
		return nil, fmt.Errorf("%s names no files: publish the site again", IndexName)
	}
	return &index, nil
}

// Add adds the files of a list that the index names.
func (index *Index) Add(list File, text []byte) error {
	root, err := parseRoot(text, list.Path)
	if err != nil {
		return err
	}
	index.Files = append(index.Files, parseFiles(root, "files")...)
	return index.validate()
}

// parseRoot reads a document of the bundle's format.
func parseRoot(text []byte, name string) (*plaintext.Node, error) {
	// The reader of the dataset's JSON twins does for this file too; it is asked
	// for the YAML file that the twin stands for.
	root, problems := plaintext.ReadJSON(Folder{IndexName: text}, "index.yaml")
	if len(problems) > 0 {
		return nil, problems[0]
	}
	if format := textOf(root, "format"); format != Format {
		return nil, fmt.Errorf("%s has the format %q, this explorer reads %q: reload the page, or publish the site "+
			"again with one version of the program", name, format, Format)
	}
	return root, nil
}

// validate refuses a file that lies outside the bundle, has no hash or is named twice.
func (index *Index) validate() error {
	seen := map[string]bool{}
	for _, list := range [][]File{index.Files, index.Lists, index.Derived, index.Sums} {
		for _, file := range list {
			if err := file.validate(seen); err != nil {
				return err
			}
		}
	}
	return nil
}

func parseFiles(root *plaintext.Node, key string) []File {
	list := root.Get(key)
	if list == nil {
		return nil
	}
	files := make([]File, len(list.Items))
	for i, item := range list.Items {
		size, _ := units.ParseDecimal(textOf(item, "bytes")) // only shown, as progress
		files[i] = File{Path: textOf(item, "path"), Bytes: int64(size), SHA256: textOf(item, "sha256")}
	}
	return files
}

// textOf returns the text of a value in a mapping, "" where there is none.
func textOf(node *plaintext.Node, key string) string {
	if value := node.Get(key); value != nil {
		return value.Text
	}
	return ""
}

func (f File) validate(seen map[string]bool) error {
	switch {
	case !fs.ValidPath(f.Path) || f.Path == ".":
		return fmt.Errorf("%s names the file %q, which is not a path inside the bundle", IndexName, f.Path)
	case seen[f.Path]:
		return fmt.Errorf("%s names the file %q twice", IndexName, f.Path)
	case len(f.SHA256) != 64 || strings.Trim(f.SHA256, "0123456789abcdef") != "":
		return fmt.Errorf("%s gives no sound sha256 for %q", IndexName, f.Path)
	}
	seen[f.Path] = true
	return nil
}
