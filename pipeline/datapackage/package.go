package datapackage

import (
	"bytes"
	"cmp"
	"encoding/json"
	"slices"
	"strconv"
	"strings"
	"time"

	"soletrial/pipeline/checksum"
	"soletrial/pipeline/trial"
)

// File is a published file; Path is relative to the folder of datapackage.json.
type File struct {
	Path string
	Text []byte
	// Of a file that is not in memory SHA256, in hexadecimal, and Bytes are given, and Text is
	// its first line.
	SHA256 string
	Bytes  int
}

// The profiles of version 2.0 that the descriptor and its parts name as their schemas.
const (
	packageProfile  = "https://datapackage.org/profiles/2.0/datapackage.json"
	resourceProfile = "https://datapackage.org/profiles/2.0/dataresource.json"
	dialectProfile  = "https://datapackage.org/profiles/2.0/tabledialect.json"
	schemaProfile   = "https://datapackage.org/profiles/2.0/tableschema.json"
)

// The descriptor's parts, named as the standard names them (Data Package, Data
// Resource, Table Dialect and Table Schema, version 2).
type (
	descriptor struct {
		Profile      string        `json:"$schema"`
		Name         string        `json:"name"`
		ID           string        `json:"id,omitempty"`
		Title        string        `json:"title"`
		Description  string        `json:"description,omitempty"`
		Homepage     string        `json:"homepage,omitempty"`
		Version      string        `json:"version,omitempty"`
		Created      string        `json:"created,omitempty"`
		Keywords     []string      `json:"keywords"`
		Licenses     []license     `json:"licenses,omitempty"`
		Contributors []contributor `json:"contributors,omitempty"`
		Sources      []source      `json:"sources,omitempty"`
		Resources    []resource    `json:"resources"`
	}
	license struct {
		Name  string `json:"name"`
		Title string `json:"title,omitempty"`
		Path  string `json:"path,omitempty"`
	}
	contributor struct {
		Title string   `json:"title"`
		Path  string   `json:"path,omitempty"`  // the person's ORCID page
		Roles []string `json:"roles,omitempty"` // in the dataset's own words
	}
	source struct {
		Title string `json:"title"`
		Path  string `json:"path,omitempty"`
	}
	resource struct {
		Profile     string    `json:"$schema"`
		Type        string    `json:"type,omitempty"` // table, "" for any other file
		Name        string    `json:"name"`
		Path        string    `json:"path"`
		Title       string    `json:"title,omitempty"`
		Description string    `json:"description,omitempty"`
		Format      string    `json:"format"`
		Mediatype   string    `json:"mediatype"`
		Encoding    string    `json:"encoding"`
		Bytes       int       `json:"bytes"`
		Hash        string    `json:"hash"`
		Licenses    []license `json:"licenses,omitempty"`
		Sources     []source  `json:"sources,omitempty"`
		Dialect     *dialect  `json:"dialect,omitempty"`
		Schema      any       `json:"schema,omitempty"` // a *schema, or the path of the file that holds it
	}
	dialect struct {
		Profile        string `json:"$schema"`
		Delimiter      string `json:"delimiter"`
		LineTerminator string `json:"lineTerminator"`
		QuoteChar      string `json:"quoteChar"`
		DoubleQuote    bool   `json:"doubleQuote"`
		Header         bool   `json:"header"`
	}
	schema struct {
		Profile       string       `json:"$schema"`
		Fields        []field      `json:"fields"`
		MissingValues []string     `json:"missingValues"`
		PrimaryKey    []string     `json:"primaryKey,omitempty"`
		ForeignKeys   []foreignKey `json:"foreignKeys,omitempty"`
	}
	field struct {
		Name        string       `json:"name"`
		Type        string       `json:"type"`
		Description string       `json:"description"`
		TrueValues  []string     `json:"trueValues,omitempty"`
		FalseValues []string     `json:"falseValues,omitempty"`
		Constraints *constraints `json:"constraints,omitempty"`
	}
	constraints struct {
		Required bool         `json:"required,omitempty"`
		Enum     []string     `json:"enum,omitempty"`
		Minimum  *json.Number `json:"minimum,omitempty"`
		Maximum  *json.Number `json:"maximum,omitempty"`
	}
	foreignKey struct {
		Fields    []string  `json:"fields"`
		Reference reference `json:"reference"`
	}
	reference struct {
		Resource string   `json:"resource"`
		Fields   []string `json:"fields"`
	}
)

// Package returns datapackage.json for the files of a dataset, in the order
// given. Hash is the SHA-256 of the list of all files, and address where the site stands,
// "" where that is not known. A table whose schema others have too refers to its file among
// [Schemas], which are to be published beside it.
//
// The dataset counts as created when its last session was run: no clock is read.
func Package(ds *trial.Dataset, files []File, hash, address string) ([]byte, error) {
	facts := &ds.Facts
	d := descriptor{
		Profile: packageProfile, Name: cmp.Or(slug(facts.Title), "shoe-trial"), ID: doiAddress(facts.DOI),
		Title: cmp.Or(facts.Title, "Shoe trial"), Description: about(facts), Homepage: address,
		Version: Version(facts, hash), Created: created(ds), Keywords: Keywords(facts),
		Licenses: licensed(facts.Licence), Resources: []resource{},
	}
	for _, c := range facts.Contributors {
		who := contributor{Title: c.Name, Path: ORCIDAddress(c.ORCID)}
		if c.Role != "" {
			who.Roles = []string{c.Role}
		}
		d.Contributors = append(d.Contributors, who)
	}
	names, imported, shared := namesOf(files), importedOf(ds), sharedSchemas(files)
	for _, f := range files {
		d.Resources = append(d.Resources, describeFile(ds, f, names, imported[f.Path], shared))
	}
	return encoded(d)
}

// encoded is a descriptor as people can read it.
func encoded(descriptor any) ([]byte, error) {
	var text bytes.Buffer
	encoder := json.NewEncoder(&text)
	encoder.SetEscapeHTML(false)
	encoder.SetIndent("", " ")
	err := encoder.Encode(descriptor)
	return text.Bytes(), err
}

// Version names the version of a dataset: as it says itself, else by the hash of the list of
// all files.
func Version(facts *trial.DatasetFacts, hash string) string {
	if facts.Version != "" || len(hash) < 12 {
		return facts.Version
	}
	return "sha256-" + hash[:12]
}

// Keywords are those of the dataset, else those of any such trial.
func Keywords(facts *trial.DatasetFacts) []string {
	if len(facts.Keywords) > 0 {
		return facts.Keywords
	}
	return []string{"running shoes", "field trial", "running economy"}
}

// ORCIDAddress is the page of an ORCID iD, "" for none.
func ORCIDAddress(id string) string {
	if id == "" {
		return ""
	}
	return "https://orcid.org/" + id
}

// doiAddress is where a DOI leads, "" for none.
func doiAddress(doi string) string {
	if doi == "" {
		return ""
	}
	return "https://doi.org/" + doi
}

// created is when the last session that was run started, as RFC 3339 writes it; its day where the
// time or the zone is not known, and "" without sessions.
func created(ds *trial.Dataset) string {
	run := ds.SessionsRun()
	if len(run) == 0 {
		return ""
	}
	last := &run[len(run)-1].Facts
	at := last.Date + "T" + last.Start
	if _, err := time.Parse(time.RFC3339, at); err != nil {
		return last.Date + "T00:00:00Z"
	}
	return at
}

func about(facts *trial.DatasetFacts) string {
	parts := []string{strings.TrimSpace(facts.Description)}
	if facts.Invented {
		parts = append(parts, "Invented data: made up to show the method.")
	}
	if facts.Disclosure != "" {
		parts = append(parts, "Disclosure: "+strings.TrimSpace(facts.Disclosure))
	}
	return strings.Join(slices.DeleteFunc(parts, func(p string) bool { return p == "" }), " ")
}

// licensed names the licence where the standard can: known ones with title and
// address, others by identifier alone, expressions of several not at all.
func licensed(id string) []license {
	if l, known := LicenceNamed(id); known {
		return []license{{Name: l.ID, Title: l.Title, Path: l.Address}}
	}
	if id == "" || strings.Trim(strings.ToLower(id), "abcdefghijklmnopqrstuvwxyz0123456789-._") != "" {
		return nil
	}
	return []license{{Name: id}}
}

func describeFile(ds *trial.Dataset, f File, names map[string]string, imported []source,
	shared map[string]string) resource {
	if f.SHA256 == "" {
		f.SHA256, f.Bytes = checksum.SHA256(f.Text), len(f.Text)
	}
	r := resource{
		Profile: resourceProfile, Name: names[f.Path], Path: f.Path, Encoding: "utf-8",
		Bytes: f.Bytes, Hash: "sha256:" + f.SHA256, Licenses: licensed(ds.Facts.Licence),
		Sources: imported,
	}
	if strings.HasPrefix(f.Path, "derived/") {
		r.Sources = []source{{Title: "The other files of this dataset, listed with their hashes",
			Path: "derived/inputs.sha256"}}
	}
	r.Format, r.Mediatype = format(f.Path)
	r.Description = plainFile(f.Path)
	// A table has a schema besides, shared with the files that have the same columns.
	t, header := TableOf(f.Path), Header(f.Text)
	if t == nil || len(header) == 0 {
		return r
	}
	r.Type, r.Title, r.Description = "table", t.Title, ""
	r.Dialect = &dialect{Profile: dialectProfile, Delimiter: ",", LineTerminator: "\n", QuoteChar: `"`,
		DoubleQuote: true, Header: true}
	if path := shared[t.kindOf(f.Text)]; path != "" {
		r.Schema = path
	} else {
		r.Schema = t.schema(header, names)
	}
	return r
}

func format(path string) (format, mediatype string) {
	switch {
	case strings.HasSuffix(path, ".csv"):
		return "csv", "text/csv"
	case strings.HasSuffix(path, ".yaml"):
		return "yaml", "application/yaml" // RFC 9512
	case strings.HasSuffix(path, ".json"):
		return "json", "application/json"
	}
	return "text", "text/plain"
}

// plainFile says what a file is that is no table.
func plainFile(path string) string {
	name := path[strings.LastIndex(path, "/")+1:]
	switch stem, ext, _ := strings.Cut(name, "."); {
	case name == "inputs.sha256":
		return "Hashes of the files that the derived tables were made from."
	case ext == "json":
		return "The same as " + stem + ".yaml, for programs."
	case name == "dataset.yaml":
		return "What the trial is, its licence, contributors, method and limits."
	case name == "session.yaml":
		return "When, where and how a session was run, its conditions and recordings."
	case name == "plan.yaml":
		return "The plan of a session, written before the run."
	case name == "fieldlog.yaml":
		return "What was noted at the venue while a session was run."
	}
	return ""
}

// importedOf names the file that each recording was imported from, by the recording's path.
func importedOf(ds *trial.Dataset) map[string][]source {
	imported := map[string][]source{}
	for i := range ds.Sessions {
		session := &ds.Sessions[i]
		for _, r := range session.Facts.Recordings {
			if r.SourceSha256 != "" {
				imported[session.Folder()+"/"+r.File] = []source{{Title: strings.TrimSpace("Imported from a " +
					strings.ToUpper(r.SourceFormat) + " file with SHA-256 " + r.SourceSha256)}}
			}
		}
	}
	return imported
}

// namesOf gives every file the name of its resource: its path in lower case with dots for
// slashes, a table without its extension; one that is taken gets a number.
func namesOf(files []File) map[string]string {
	names, taken := map[string]string{}, map[string]bool{}
	for _, f := range files {
		stem := strings.TrimSuffix(f.Path, ".csv")
		var b strings.Builder
		for _, c := range []byte(strings.ToLower(stem)) {
			if c >= 'a' && c <= 'z' || c >= '0' && c <= '9' || strings.IndexByte("-._", c) >= 0 {
				b.WriteByte(c)
			} else if c == '/' {
				b.WriteByte('.')
			} else {
				b.WriteByte('_')
			}
		}
		name := b.String()
		for n := 2; taken[name]; n++ {
			name = b.String() + "-" + strconv.Itoa(n)
		}
		taken[name], names[f.Path] = true, name
	}
	return names
}

// slug turns a title into lower-case words joined by dashes, at most 60 letters.
func slug(title string) string {
	var words []string
	length := 0
	for _, word := range strings.FieldsFunc(strings.ToLower(title),
		func(r rune) bool { return (r < 'a' || r > 'z') && (r < '0' || r > '9') }) {
		if length += len(word) + 1; length > 61 {
			break
		}
		words = append(words, word)
	}
	return strings.Join(words, "-")
}
