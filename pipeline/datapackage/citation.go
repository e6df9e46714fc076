package datapackage

import (
	"cmp"
	"encoding/json"
	"strings"

	"soletrial/pipeline/trial"
)

// Citation returns CITATION.cff, which says how to cite the dataset (Citation File
// Format 1.2.0). Hash is the SHA-256 of the list of all files and so of this very
// version, "" where no version is meant; address is where the site stands, "" where that is not known.
//
// A contributor is written as an entity with one name, since which part of a name
// is a family's cannot be told. There is no release date: the dataset states none.
func Citation(facts *trial.DatasetFacts, hash, address string) []byte {
	var c cff
	c.line("cff-version", "1.2.0")
	c.line("message", "If you use this dataset, please cite it as below.")
	c.line("type", "dataset")
	c.line("title", cmp.Or(facts.Title, "Shoe trial"))
	c.text.WriteString("authors:\n")
	for _, name := range authors(facts) {
		c.text.WriteString("  - name: " + quoted(name) + "\n")
	}
	if text := about(facts); text != "" {
		c.line("abstract", text)
	}
	if l, known := LicenceNamed(facts.Licence); known {
		c.line("license", l.ID)
	}
	if address != "" {
		c.line("url", address)
	}
	if hash == "" {
		return []byte(c.text.String())
	}
	c.line("version", "sha256-"+hash[:12])
	c.text.WriteString("identifiers:\n  - type: other\n    value: " + quoted("sha256:"+hash) + "\n    description: " +
		quoted("SHA-256 of all.sha256, the list of all files of this version with their hashes") + "\n")
	return []byte(c.text.String())
}

// authors lists the contributors, each name once.
func authors(facts *trial.DatasetFacts) []string {
	var names []string
	seen := map[string]bool{}
	for _, c := range facts.Contributors {
		if name := strings.TrimSpace(c.Name); name != "" && !seen[name] {
			seen[name] = true
			names = append(names, name)
		}
	}
	if names == nil {
		return []string{"Contributors not named"}
	}
	return names
}

type cff struct{ text strings.Builder }

func (c *cff) line(key, value string) { c.text.WriteString(key + ": " + quoted(value) + "\n") }

// quoted writes text as a double-quoted YAML scalar. JSON strings are such
// scalars (YAML 1.2, section 10.2); what YAML counts as not printable is escaped.
func quoted(text string) string {
	encoded, err := json.Marshal(text)
	if err != nil {
		panic(err) // a string always has a JSON form
	}
	var b strings.Builder
	for _, r := range string(encoded) {
		if r == 0x7f || r >= 0x80 && r <= 0x9f || r == 0xfeff || r == 0xfffe || r == 0xffff {
			b.WriteString(`\u` + hex4(r))
			continue
		}
		b.WriteRune(r)
	}
	return b.String()
}

func hex4(r rune) string {
	const digits = "0123456789abcdef"
	return string([]byte{digits[r>>12&15], digits[r>>8&15], digits[r>>4&15], digits[r&15]})
}

// CitationLine is a line to cite the dataset by: who, what, up to when, under which licence
// and where.
func CitationLine(ds *trial.Dataset) string {
	facts := &ds.Facts
	line := strings.Join(authors(facts), ", ") + ": " + cmp.Or(facts.Title, "Shoe trial") + ". Dataset"
	if n := len(ds.Sessions); n > 0 {
		line += ", sessions up to " + ds.Sessions[n-1].Facts.Date
	}
	if facts.Licence != "" {
		line += ", " + facts.Licence
	}
	if facts.SiteURL != "" {
		line += ", " + facts.SiteURL
	}
	return line + "."
}
