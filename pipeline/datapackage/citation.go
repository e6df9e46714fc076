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
// is a family's is not known. There is no release date: the dataset states none. An
// archive that takes the file finds in it what it asks for: title, authors with their ORCID
// iDs, abstract, licence, keywords, version, and the DOI once there is one.
func Citation(facts *trial.DatasetFacts, hash, address string) []byte {
	var c cff
	c.line("cff-version", "1.2.0")
	c.line("message", "If you use this dataset, please cite it as below.")
	c.line("type", "dataset")
	c.line("title", cmp.Or(facts.Title, "Shoe trial"))
	c.text.WriteString("authors:\n")
	for _, author := range authors(facts) {
		c.text.WriteString("  - name: " + quoted(author.Name) + "\n")
		if author.ORCID != "" {
			c.text.WriteString("    orcid: " + quoted(ORCIDAddress(author.ORCID)) + "\n")
		}
	}
	// What dataset.yaml need not say.
	if text := about(facts); text != "" {
		c.line("abstract", text)
	}
	if l, known := LicenceNamed(facts.Licence); known {
		c.line("license", l.ID)
	}
	c.keywords(facts.Keywords)
	if facts.DOI != "" {
		c.line("doi", facts.DOI)
	}
	if address != "" {
		c.line("url", address)
	}
	if version := Version(facts, hash); version != "" {
		c.line("version", version)
	}
	// The files themselves, by their hash.
	if hash == "" {
		return []byte(c.text.String())
	}
	c.text.WriteString("identifiers:\n  - type: other\n    value: " + quoted("sha256:"+hash) + "\n    description: " +
		quoted("SHA-256 of all.sha256, the list of all files of this version with their hashes") + "\n")
	return []byte(c.text.String())
}

// authors lists the contributors, each name once, with the iD that is given first.
func authors(facts *trial.DatasetFacts) []trial.Contributor {
	var list []trial.Contributor
	place := map[string]int{}
	for _, c := range facts.Contributors {
		name := strings.TrimSpace(c.Name)
		at, known := place[name]
		switch {
		case name == "":
		case !known:
			place[name] = len(list)
			list = append(list, trial.Contributor{Name: name, ORCID: c.ORCID})
		default:
			list[at].ORCID = cmp.Or(list[at].ORCID, c.ORCID)
		}
	}
	if list == nil {
		return []trial.Contributor{{Name: "Contributors not named"}}
	}
	return list
}

type cff struct{ text strings.Builder }

// keywords writes each keyword once, as the schema asks.
func (c *cff) keywords(words []string) {
	seen := map[string]bool{}
	for _, word := range words {
		if word == "" || seen[word] {
			continue
		}
		if len(seen) == 0 {
			c.text.WriteString("keywords:\n")
		}
		seen[word] = true
		c.text.WriteString("  - " + quoted(word) + "\n")
	}
}

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

// CitationLine is a line to cite the dataset by: who, what, which version or up to when, under
// which licence and where.
func CitationLine(ds *trial.Dataset) string {
	facts := &ds.Facts
	var names []string
	for _, author := range authors(facts) {
		names = append(names, author.Name)
	}
	line := strings.Join(names, ", ") + ": " + cmp.Or(facts.Title, "Shoe trial") + ". Dataset"
	if facts.Version != "" {
		line += ", version " + facts.Version
	}
	if run := ds.SessionsRun(); len(run) > 0 {
		line += ", sessions up to " + run[len(run)-1].Facts.Date
	}
	if facts.Licence != "" {
		line += ", " + facts.Licence
	}
	if where := cmp.Or(doiAddress(facts.DOI), facts.SiteURL); where != "" {
		line += ", " + where
	}
	return line + "."
}
