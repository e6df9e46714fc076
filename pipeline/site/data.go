package site

import (
	"bytes"
	"cmp"
	"encoding/json"
	"slices"
	"strconv"
	"strings"

	"soletrial/pipeline/archive"
	"soletrial/pipeline/checksum"
	"soletrial/pipeline/datapackage"
	"soletrial/pipeline/english"
	"soletrial/pipeline/stable"
)

// BundleFormat names the layout of data/index.json; a reader that finds another
// name must not guess.
const BundleFormat = "soletrial bundle 1"

// Bundle is data/index.json: every file that the explorer may fetch, with its
// size and hash. Paths are relative to data/.
type Bundle struct {
	Format  string        `json:"format"`
	Files   []BundleEntry `json:"files"`   // the dataset and the JSON twins of its YAML files
	Lists   []BundleEntry `json:"lists"`   // JSON files that list more of those, where they are many
	Derived []BundleEntry `json:"derived"` // what derive makes of them
	Sums    []BundleEntry `json:"sums"`    // 5-second sums of the blocks, one file a year
	Answer  BundleAnswer  `json:"answer"`
}

// BundleEntry is one file of a bundle.
type BundleEntry struct {
	Path   string `json:"path"`
	Bytes  int    `json:"bytes"`
	Sha256 string `json:"sha256"`
	TwinOf string `json:"twin_of,omitempty"` // the YAML file that a twin says again
}

type dataBody struct {
	Files, Folders, Derived, Programs table
	Holds                             []contentsBody
	Licence, Cite, Bytes              string
	LicenceName, LicenceHref          string
	Contributors                      []factLine
	Zip                               cell
	Feed                              string
	Queries                           []query
	Speeds                            table // what they print
}

// contentsBody says what the columns of one kind of table hold.
type contentsBody struct {
	Anchor, Name, Title, Key string
	Table                    table
}

// perList is how many files one list names at most, so that no list comes near what a reader
// takes.
const perList = 2000

// inLists writes the files of a large bundle into lists beside the index, in their order.
func (s *site) inLists(b Bundle) (Bundle, error) {
	b.Lists = []BundleEntry{}
	if len(b.Files) <= perList {
		return b, nil
	}
	for files := range slices.Chunk(b.Files, perList) {
		text, err := json.MarshalIndent(map[string]any{"format": BundleFormat, "files": files}, "", " ")
		if err != nil {
			return b, err
		}
		name := "lists/files-" + strconv.Itoa(len(b.Lists)+1) + ".json"
		b.Lists = append(b.Lists, s.entry(File{Path: name, Text: append(text, '\n')}))
	}
	b.Files = []BundleEntry{}
	return b, nil
}

// data copies the dataset and its derived tables under data/, and writes what
// describes them: their index, their hashes, the descriptor and the citation for
// other programs, all of it in one archive, and the page that lists them.
func (s *site) data() error {
	bundle := s.bundle()
	split, err := s.inLists(bundle)
	if err != nil {
		return err
	}
	index, err := json.MarshalIndent(split, "", " ")
	if err != nil {
		return err
	}
	bundle.Lists = split.Lists
	listed := slices.Concat(bundle.Files, bundle.Derived)
	for _, f := range s.in.Schemas {
		listed = append(listed, s.entry(f))
	}
	tableSchemas, err := datapackage.Schemas(described(s.listedFiles(listed)))
	if err != nil {
		return err
	}
	for _, f := range tableSchemas {
		listed = append(listed, s.entry(File{Path: f.Path, Text: f.Text}))
	}
	if _, err := s.sorted(); err != nil { // before names that clash are packed
		return err
	}
	hashes := sumsFile(listed)
	files := s.listedFiles(listed)
	hash := checksum.SHA256(hashes)
	descriptor, err := datapackage.Package(s.ds, described(files), hash, s.ds.Facts.SiteURL)
	if err != nil {
		return err
	}
	citation := datapackage.Citation(&s.ds.Facts, hash, s.ds.Facts.SiteURL)
	about := []File{{Path: "CITATION.cff", Text: citation}, {Path: "all.sha256", Text: hashes},
		{Path: "datapackage.json", Text: descriptor}}
	archive, err := s.archive(files, about)
	if err != nil {
		return err
	}
	about = append(about, File{Path: "dataset.zip", Text: archive},
		File{Path: "index.json", Text: append(index, '\n')})
	return s.page("data/index.html", "data", "Data", s.dataBody(bundle, listed, about))
}

// listedFiles returns the listed files as they stand on the site.
func (s *site) listedFiles(listed []BundleEntry) []File {
	byPath := make(map[string]*File, len(s.files))
	for i := range s.files {
		byPath[s.files[i].Path] = &s.files[i]
	}
	files := make([]File, len(listed))
	for i, e := range listed {
		files[i] = *byPath["data/"+e.Path]
		files[i].Path = e.Path
	}
	return files
}

// described says of the files what their description for programs takes.
func described(files []File) []datapackage.File {
	described := make([]datapackage.File, len(files))
	for i := range files {
		known := files[i].facts()
		described[i] = datapackage.File{Path: files[i].Path, Bytes: known.bytes, SHA256: known.sha256, Text: known.head}
	}
	return described
}

// archive packs the files with what describes them.
func (s *site) archive(files, about []File) ([]byte, error) {
	packed := make([]archive.File, 0, len(files)+len(about))
	for _, f := range slices.Concat(files, about) {
		packed = append(packed, archive.File{Path: f.Path, Text: f.Text, Read: f.later, Size: f.facts().bytes})
	}
	return archive.Zip("dataset", packed, s.in.Workers)
}

// dataBody adds the files that describe the others, and lists all.
func (s *site) dataBody(bundle Bundle, listed []BundleEntry, about []File) dataBody {
	facts := &s.ds.Facts
	body := dataBody{
		Files: s.fileTable("The dataset", rootFiles(bundle.Files)), Folders: s.folders(bundle.Files),
		Derived: s.fileTable("Derived tables", bundle.Derived),
		Holds:   tableContents(listed),
		Licence: facts.Licence, Cite: datapackage.CitationLine(s.ds), Bytes: size(total(listed)),
		Feed: s.feedHref("../"), Queries: queries, Speeds: plainSpeeds(s.result.Sessions),
	}
	if l, known := datapackage.LicenceNamed(facts.Licence); known {
		body.LicenceName, body.LicenceHref = l.Title, l.Address
	}
	for _, c := range facts.Contributors {
		body.Contributors = append(body.Contributors, withValues(fact{c.Name, c.Role, ""})...)
	}
	// What is for programs, and the archive of everything, which has a link of its own.
	var programs []BundleEntry
	for _, f := range about {
		e := s.entry(f)
		programs = append(programs, e)
		if f.Path == "dataset.zip" {
			body.Zip = cell{Text: f.Path, Href: f.Path, Note: size(e.Bytes)}
		}
	}
	stable.Sort(programs, func(a, b BundleEntry) int { return cmp.Compare(a.Path, b.Path) })
	body.Programs = s.fileTable("For programs", slices.Concat(programs, bundle.Lists, bundle.Sums,
		listed[len(bundle.Files)+len(bundle.Derived):]))
	return body
}

// bundle adds the files and returns their index.
func (s *site) bundle() Bundle {
	b := Bundle{Format: BundleFormat, Files: []BundleEntry{}, Derived: []BundleEntry{}, Answer: s.answer()}
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
	stable.Sort(b.Files, byPath)
	stable.Sort(b.Derived, byPath)
	b.Sums = s.sums()
	return b
}

func (s *site) entry(f File) BundleEntry {
	known := f.facts()
	published := f
	published.Path = "data/" + f.Path
	s.files = append(s.files, published)
	return BundleEntry{Path: f.Path, Bytes: known.bytes, Sha256: known.sha256}
}

// sumsFile writes all hashes in the common sha256sum format.
func sumsFile(listed []BundleEntry) []byte {
	var text bytes.Buffer
	for _, e := range listed {
		if !strings.ContainsAny(e.Path, "\n\\") {
			text.WriteString(e.Sha256 + "  " + e.Path + "\n")
		}
	}
	return text.Bytes()
}

func (s *site) fileTable(caption string, entries []BundleEntry) table {
	t := table{Cards: true, Caption: caption, Head: columns("File", "Holds", "#Size", "Licence", "SHA-256")}
	for _, e := range entries {
		file := link(e.Path, href(e.Path))
		if e.TwinOf != "" {
			file.Note = "the same as " + e.TwinOf[strings.LastIndex(e.TwinOf, "/")+1:] + ", for programs"
		}
		t.Rows = append(t.Rows, []cell{file, s.contentsCell(e.Path), numeric(size(e.Bytes)),
			text(cmp.Or(s.ds.Facts.Licence, "none stated")), {Text: e.Sha256, Code: true}})
	}
	return t
}

// rootFiles are the files that lie in no folder of a session.
func rootFiles(files []BundleEntry) (root []BundleEntry) {
	for _, e := range files {
		if !strings.HasPrefix(e.Path, "sessions/") {
			root = append(root, e)
		}
	}
	return root
}

// folders has a row for each year of sessions: their files stand on their own pages.
func (s *site) folders(files []BundleEntry) table {
	t := table{Caption: "The sessions, by year", Head: columns("Year", "#Sessions", "#Files", "#Size")}
	type year struct{ sessions, files, bytes int }
	years, order := map[string]*year{}, []string{}
	of := func(id string) *year {
		name := "other"
		if session := s.lookup.sessions[id]; session != nil && len(session.Facts.Date) >= 4 {
			name = session.Facts.Date[:4]
		}
		if years[name] == nil {
			years[name], order = &year{}, append(order, name)
		}
		return years[name]
	}
	// Count what lies in each session's folder.
	seen := map[string]bool{}
	for _, e := range files {
		rest, inside := strings.CutPrefix(e.Path, "sessions/")
		id, _, _ := strings.Cut(rest, "/")
		if !inside {
			continue
		}
		y := of(id)
		y.files, y.bytes = y.files+1, y.bytes+e.Bytes
		if !seen[id] {
			seen[id] = true
			y.sessions++
		}
	}
	slices.Sort(order)
	for _, name := range order {
		y := years[name]
		t.Rows = append(t.Rows, []cell{link(name, "../sessions/index.html"), numeric(strconv.Itoa(y.sessions)),
			numeric(strconv.Itoa(y.files)), numeric(size(y.bytes))})
	}
	return t
}

// contentsCell leads to what a file holds: its columns, or the schema of its keys.
func (s *site) contentsCell(path string) cell {
	if t := datapackage.TableOf(path); t != nil {
		return link(t.Name, "#"+tableAnchor(t))
	}
	name := path[strings.LastIndex(path, "/")+1:]
	stem, ext, _ := strings.Cut(name, ".")
	schema := "schemas/" + stem + ".schema.json"
	switch {
	case strings.HasPrefix(path, datapackage.SchemaFolder):
		return text("Table Schema of " + strings.ReplaceAll(stem, "-", " ") + " files, for datapackage.json")
	case strings.HasPrefix(path, "lists/"):
		return text("list of files, for the explorer")
	case strings.HasPrefix(path, "sums/"):
		return text("sums of 5 seconds of every block, for the explorer's first picture")
	case (ext == "yaml" || ext == "json") && slices.ContainsFunc(s.in.Schemas,
		func(f File) bool { return f.Path == schema }):
		return link(stem+" keys", schema)
	case ext == "schema.json":
		return text("JSON Schema of " + stem + ".yaml")
	}
	return text(programFiles[name])
}

// programFiles says what the files are that describe the others.
var programFiles = map[string]string{
	"CITATION.cff": "how to cite, Citation File Format 1.2.0", "datapackage.json": "Data Package 2.0 with Table " +
		"Schemas", "dataset.zip": "all files in one archive",
	"all.sha256": "hashes of all files", "index.json": "list of all files, for the explorer",
	"inputs.sha256": "hashes of the inputs",
}

func tableAnchor(t *datapackage.Table) string { return "holds-" + strings.ReplaceAll(t.Name, " ", "-") }

// tableContents lists the columns of every kind of table among the files.
func tableContents(listed []BundleEntry) []contentsBody {
	var bodies []contentsBody
	for _, t := range datapackage.Tables() {
		if !slices.ContainsFunc(listed, func(e BundleEntry) bool { return datapackage.TableOf(e.Path) == t }) {
			continue
		}
		body := contentsBody{Anchor: tableAnchor(t), Name: t.Name, Title: t.Title,
			Table: table{Caption: english.Capitalise(t.Name) +
				": the columns", Head: columns("Column", "Type", "Unit", "Meaning", "Blank")}}
		// The key, and a row for each column.
		if t.Key != nil {
			body.Key = strings.Join(t.Key, ", ")
		}
		for _, f := range t.Fields {
			meaning := text(f.Meaning)
			if f.OneOf != nil {
				meaning.Note = "one of " + strings.Join(f.OneOf, ", ")
			}
			blank := "where not known"
			if f.Required {
				blank = "never"
			}
			body.Table.Rows = append(body.Table.Rows, []cell{{Text: f.Name, Code: true}, text(f.Type), text(f.Unit),
				meaning, text(blank)})
		}
		bodies = append(bodies, body)
	}
	return bodies
}

func total(listed []BundleEntry) int {
	sum := 0
	for _, e := range listed {
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
