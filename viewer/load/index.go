// Package load brings a published bundle into memory: its index, and every file
// the index names, from the store where it is kept and from the site otherwise.
//
// Its opinions: a file is what its SHA-256 says and nothing else; kept bytes are
// trusted no more than fetched ones; an error says which file and what to do.
package load

import (
	"encoding/json"
	"fmt"
	"io/fs"
	"strings"
)

// Format names the index format that this viewer reads.
const Format = "soletrial bundle 1"

// IndexName is the name of the index in the bundle's folder.
const IndexName = "index.json"

// Index lists a published bundle: the files the derivation reads and the tables
// it gave when the site was published. Paths are relative to the bundle.
type Index struct {
	Format  string `json:"format"`
	Files   []File `json:"files"`
	Derived []File `json:"derived"`
}

// File is one file of a bundle. TwinOf names the YAML file that a JSON file
// says the same as; "" for a file that stands for itself.
type File struct {
	Path   string `json:"path"`
	Bytes  int64  `json:"bytes"`
	SHA256 string `json:"sha256"`
	TwinOf string `json:"twin_of,omitempty"`
}

// ParseIndex reads an index and refuses one that could lead outside the bundle
// or that leaves out a hash.
func ParseIndex(text []byte) (*Index, error) {
	var index Index
	if err := json.Unmarshal(text, &index); err != nil {
		return nil, fmt.Errorf("%s is not readable: %w", IndexName, err)
	}
	if index.Format != Format {
		return nil, fmt.Errorf("%s has the format %q, this explorer reads %q: reload the page, or publish the site again with one version of the program", IndexName, index.Format, Format)
	}
	seen := map[string]bool{}
	for _, list := range [][]File{index.Files, index.Derived} {
		for _, file := range list {
			if err := file.sound(seen); err != nil {
				return nil, err
			}
		}
	}
	if len(index.Files) == 0 || len(index.Derived) == 0 {
		return nil, fmt.Errorf("%s names no files: publish the site again", IndexName)
	}
	return &index, nil
}

func (f File) sound(seen map[string]bool) error {
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
