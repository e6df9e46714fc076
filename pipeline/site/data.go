package site

import (
	"bytes"
	"cmp"
	"encoding/json"
	"slices"
	"strings"

	"soletrial/pipeline/digest"
)

// BundleFormat names the layout of data/index.json; a reader that finds another
// name must not guess.
const BundleFormat = "soletrial bundle 1"

// Bundle is data/index.json: every file that the explorer may fetch, with its
// size and hash. Paths are relative to data/.
type Bundle struct {
	Format  string        `json:"format"`
	Files   []BundleEntry `json:"files"`   // the dataset and the JSON twins of its YAML files
	Derived []BundleEntry `json:"derived"` // what derive makes of them
}

// BundleEntry is one file of a bundle.
type BundleEntry struct {
	Path   string `json:"path"`
	Bytes  int    `json:"bytes"`
	Sha256 string `json:"sha256"`
	TwinOf string `json:"twin_of,omitempty"` // the YAML file that a twin says again
}

type dataBody struct {
	Files, Derived table
	Licence, Cite  string
	Contributors   []fact
	Bytes          string
}

// data copies the dataset and its derived tables under data/, and writes their
// index, their hashes and the page that lists them.
func (s *site) data() error {
	bundle := s.bundle()
	index, err := json.MarshalIndent(bundle, "", " ")
	if err != nil {
		return err
	}
	s.add("data/index.json", append(index, '\n'))
	s.add("data/all.sha256", sums(bundle))
	body := dataBody{
		Files: fileTable("The dataset", bundle.Files), Derived: fileTable("Derived tables", bundle.Derived),
		Licence: s.ds.Facts.Licence, Cite: s.citation(), Bytes: size(total(bundle)),
	}
	for _, c := range s.ds.Facts.Contributors {
		body.Contributors = append(body.Contributors, fact{c.Name, c.Role})
	}
	return s.page("data/index.html", "data", "Data", body)
}

// bundle adds the files and returns their index.
func (s *site) bundle() Bundle {
	b := Bundle{Format: BundleFormat, Files: []BundleEntry{}, Derived: []BundleEntry{}}
	for _, f := range s.in.Files {
		if !strings.HasPrefix(f.Path, "derived/") {
			b.Files = append(b.Files, s.entry(f))
		}
	}
	for _, f := range s.in.Twins {
		e := s.entry(f)
		e.TwinOf = strings.TrimSuffix(f.Path, ".json") + ".yaml"
		b.Files = append(b.Files, e)
	}
	for _, t := range s.result.Tables {
		b.Derived = append(b.Derived, s.entry(File{Path: "derived/" + t.Name, Text: t.Text}))
	}
	byPath := func(a, b BundleEntry) int { return cmp.Compare(a.Path, b.Path) }
	slices.SortFunc(b.Files, byPath)
	slices.SortFunc(b.Derived, byPath)
	return b
}

func (s *site) entry(f File) BundleEntry {
	s.add("data/"+f.Path, f.Text)
	return BundleEntry{Path: f.Path, Bytes: len(f.Text), Sha256: digest.Hex(f.Text)}
}

// sums writes all hashes in the common sha256sum format.
func sums(b Bundle) []byte {
	var text bytes.Buffer
	for _, e := range slices.Concat(b.Files, b.Derived) {
		if !strings.ContainsAny(e.Path, "\n\\") {
			text.WriteString(e.Sha256 + "  " + e.Path + "\n")
		}
	}
	return text.Bytes()
}

func fileTable(caption string, entries []BundleEntry) table {
	t := table{Caption: caption, Head: columns("File", "#Size", "SHA-256")}
	for _, e := range entries {
		file := link(e.Path, href(e.Path))
		if e.TwinOf != "" {
			file.Note = "the same as " + e.TwinOf + ", for programs"
		}
		t.Rows = append(t.Rows, []cell{file, numeric(size(e.Bytes)), {Text: e.Sha256, Code: true}})
	}
	return t
}

func total(b Bundle) int {
	sum := 0
	for _, e := range slices.Concat(b.Files, b.Derived) {
		sum += e.Bytes
	}
	return sum
}

// size writes a number of bytes in the decimal prefixes of the SI.
func size(n int) string {
	switch {
	case n < 1000:
		return quantity(float64(n), 0, "B")
	case n < 1000*1000:
		return quantity(float64(n)/1e3, 1, "kB")
	}
	return quantity(float64(n)/1e6, 1, "MB")
}

// citation is a line to cite the dataset by.
func (s *site) citation() string {
	var names []string
	for _, c := range s.ds.Facts.Contributors {
		names = append(names, c.Name)
	}
	who := cmp.Or(strings.Join(names, ", "), "Contributors not named")
	line := who + ": " + cmp.Or(s.ds.Facts.Title, "Shoe trial") + ". Dataset"
	if n := len(s.ds.Sessions); n > 0 {
		line += ", sessions up to " + s.ds.Sessions[n-1].Facts.Date
	}
	if s.ds.Facts.Licence != "" {
		line += ", " + s.ds.Facts.Licence
	}
	return line + "."
}
