package site

import (
	"cmp"
	"fmt"
	"io/fs"
	"strings"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/compare"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/figure"
	"soletrial/pipeline/markup"
	"soletrial/pipeline/stable"
	"soletrial/pipeline/trial"
)

// Input is what a site is made from.
type Input struct {
	Result *derive.Result
	// Recordings reads the samples of a session for its trace figures; problems
	// are shown on the session's page. It may be nil.
	Recordings func(*trial.Session) ([]trial.Recording, []trial.Problem)
	// Plans is what the version history shows about the plans, for those sessions that
	// have one.
	Plans    []trial.PlanHistory
	Files    []File // the dataset's own files as they stand; derived/ is left out in favour of Result.Tables
	Twins    []File // JSON twins of the YAML files, beside them
	Schemas  []File // JSON Schemas of the YAML files, under schemas/
	Explorer []File // the explorer's files, or none when this build has no explorer
	Track    []File // the track page's files, or none when this build has no track page
	// Pictures are link previews, under pictures/: home.png, and shoe-ID.png for a shoe.
	Pictures []File
	Program  Program
	Workers  int // how many goroutines may work on the site at a time; 0 is one
}

// Program names what made a site. Every footer names it, and program.json beside the pages
// says all of it. Two machines run one release as two different files: apart from SHA256 in
// the footers and Identity, a site is the same bytes whatever machine made it.
type Program struct {
	Version  string
	SHA256   string // of the program's file, 64 hexadecimal digits; "" where it is not known
	Go       string // the toolchain it was built with
	Identity []byte // JSON; nil leaves program.json out
}

// identityFile is where a site says which program made it.
const identityFile = "program.json"

// Pages returns every file of the site, sorted by path. It fails when two files
// claim one path or a path leaves the site.
func Pages(in Input) ([]File, error) {
	s := newSite(in)
	s.add("style.css", packed(styleSheet))
	s.add("pages.css", packed(pagesSheet))
	s.add("print.css", packed(printSheet))
	s.add("icon.svg", icon)
	s.add("reader.js", packed(readerScript))
	s.add("sw.js", packed(workerScript))
	if in.Program.Identity != nil {
		s.add(identityFile, in.Program.Identity)
	}
	for _, f := range in.Pictures {
		f.Path = "pictures/" + f.Path
		s.files = append(s.files, f)
	}
	if err := s.data(); err != nil {
		return nil, err
	}
	for _, write := range []func() error{s.feed, s.home, s.robustness, s.shoes, s.sessions, s.method, s.explorer,
		s.track} {
		if err := write(); err != nil {
			return nil, err
		}
	}
	return s.sorted()
}

// site gathers the files and what all pages share.
type site struct {
	in     Input
	result *derive.Result
	ds     *trial.Dataset
	label  func(shoe string) string
	// speaker says the answers.
	speaker  answer.Speaker
	headline string         // the answer in one sentence
	places   map[string]int // of each shoe in the register, for its colour
	lookup   lookup
	files    []File
}

func newSite(in Input) *site {
	s := &site{in: in, result: in.Result, ds: in.Result.Dataset, places: map[string]int{},
		lookup: newLookup(in)}
	s.label = compare.Labels(s.ds)
	s.speaker = answer.NewSpeaker(s.ds, s.result.Answers)
	s.headline = s.speaker.Top().Headline()
	for i, shoe := range s.ds.Shoes {
		s.places[shoe.ID] = i
	}
	return s
}

func (s *site) add(path string, text []byte) { s.files = append(s.files, File{Path: path, Text: text}) }

// addLater adds a file that is made when it is wanted. What makes it must change nothing that
// pages share.
func (s *site) addLater(path string, later func() ([]byte, error)) {
	s.files = append(s.files, File{Path: path, later: later})
}

func (s *site) sorted() ([]File, error) {
	stable.Sort(s.files, func(a, b File) int { return cmp.Compare(a.Path, b.Path) })
	for i, f := range s.files {
		if !fs.ValidPath(f.Path) {
			return nil, fmt.Errorf("%q cannot be published: the path leaves the site", f.Path)
		}
		if i > 0 && s.files[i-1].Path == f.Path {
			return nil, fmt.Errorf("%q cannot be published twice: rename the dataset's file of that name", f.Path)
		}
	}
	return s.files, nil
}

// shoe is a shoe as pages show it.
type shoe struct {
	Label, Letter, Class, Href string
	Swatch, Mark               markup.HTML
}

// shoe returns the shoe with the given id as seen from a page at root. A shoe
// that is not in the register has its id for a label and no page.
func (s *site) shoe(id, root string) shoe {
	place, known := s.places[id]
	if !known {
		return shoe{Label: cmp.Or(id, "no shoe named"), Letter: figure.Letter(figure.NoShoe),
			Class: figure.ColourClass(figure.NoShoe), Swatch: markup.HTML(figure.Swatch(figure.NoShoe)),
			Mark: markup.HTML(figure.Mark(figure.NoShoe))}
	}
	return shoe{
		Label: s.label(id), Letter: figure.Letter(place), Class: figure.ColourClass(place),
		Href: root + "shoes/" + pageName(id), Swatch: markup.HTML(figure.Swatch(place)),
		Mark: markup.HTML(figure.Mark(place)),
	}
}

// place returns the place of a shoe in the register, which gives it its colour.
func (s *site) place(id string) int {
	if place, known := s.places[id]; known {
		return place
	}
	return figure.NoShoe
}

// pageName returns the file name of the page of a session or shoe. Bytes that
// could mean something in a path or a URL become ~ and their hexadecimal code.
func pageName(id string) string {
	if id == "index" || id == "" {
		return id + "~.html"
	}
	return escape(id, '~') + ".html"
}

// href returns a relative link to a path, every unusual byte percent-encoded.
func href(path string) string {
	parts := strings.Split(path, "/")
	for i, part := range parts {
		parts[i] = escape(part, '%')
	}
	return strings.Join(parts, "/")
}

func escape(text string, mark byte) string {
	const hex = "0123456789ABCDEF"
	var b strings.Builder
	for i := range len(text) {
		c := text[i]
		switch {
		case c >= 'a' && c <= 'z', c >= 'A' && c <= 'Z', c >= '0' && c <= '9', c == '-', c == '_', c == '.' && i > 0,
			c == '.' && mark == '%':
			b.WriteByte(c)
		default:
			b.Write([]byte{mark, hex[c>>4], hex[c&15]})
		}
	}
	return b.String()
}
