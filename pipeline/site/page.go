package site

import (
	"cmp"
	"embed"
	"fmt"
	"strings"

	"soletrial/pipeline/figure"
	"soletrial/pipeline/markup"
	"soletrial/pipeline/trial"
)

//go:embed pages/*.html
var sources embed.FS

//go:embed style.css
var styleSheet []byte

// pagesSheet is for every page but the answer, which is there sooner without it.
//
//go:embed pages.css
var pagesSheet []byte

// printSheet sets the page of a session on two sheets of paper.
//
//go:embed print.css
var printSheet []byte

//go:embed icon.svg
var icon []byte

// readerScript is for what a reader chooses: units, a race, an analysis. Every page says all
// it has to say without it.
//
//go:embed reader.js
var readerScript []byte

// workerScript keeps the pages that were read for a reader without a connection.
//
//go:embed sw.js
var workerScript []byte

// templates holds one set per page: the frame, the shared parts, and the page's
// own main part.
var templates = parseTemplates("home", "robustness", "shoes", "shoe", "sessions", "session", "method", "data",
	"explorer")

func parseTemplates(names ...string) map[string]*markup.Set {
	sets := map[string]*markup.Set{}
	for _, name := range names {
		sets[name] = markup.Must(markup.Parse(sources, "pages/frame.html", "pages/parts.html", "pages/"+name+".html"))
	}
	return sets
}

// frame is what the frame template shows around every page.
type frame struct {
	Title       string // of the page
	Canonical   string // address of the page; "" where the dataset does not say where the site stands
	Image       string // address of the link preview, likewise
	Linked      linkedData
	Description string
	Dataset     string // title of the dataset
	Invented    bool
	Licence     string
	MadeBy      madeBy
	Root        string // "" or "../"
	Feed        string // "" when there is none
	Policy      string // content security policy
	Nav         []navItem
	Reader      bool // the reader's script is on the page
	Inner       bool // any page but the answer
	Print       bool // the page has its own sheet for printing
	Scripts     []string
	Styles      []string
	Body        any
}

// madeBy is what a footer says of the program.
type madeBy struct {
	Name       string // with its version
	SHA256     string // the first 12 digits; "" where it is not known
	Go         string // "" where it is not known
	DataFormat int
	Href       string // of what names the program exactly; "" where the site does not say
}

func (s *site) madeBy(root string) madeBy {
	m := madeBy{Name: strings.TrimSpace("soletrial " + s.in.Program.Version), Go: s.in.Program.Go,
		DataFormat: trial.DataFormat}
	m.SHA256 = s.in.Program.SHA256[:min(12, len(s.in.Program.SHA256))]
	if s.in.Program.Identity != nil {
		m.Href = root + identityFile
	}
	return m
}

type navItem struct {
	Label, Href string
	Here        bool // the page itself
	Within      bool // a page of this part
}

// The content security policies: pages need nothing but their style sheet, icon and script;
// the explorer runs its own script and fetches the dataset.
const (
	pagePolicy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; base-uri 'none'; " +
		"form-action 'none'"
	explorerPolicy = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; img-src 'self' " +
		"data: blob:; connect-src 'self'; worker-src 'self'; base-uri 'none'; form-action 'none'"
)

var parts = []struct{ label, folder string }{
	{"Answer", ""}, {"Shoes", "shoes/"}, {"Sessions", "sessions/"}, {"Method", "method.html"}, {"Data",
		"data/"}, {"Explorer", "explorer/"},
}

// page renders one page with the named template. Path tells how deep it lies and
// which part of the site it belongs to.
func (s *site) page(path, name, title string, body any) error {
	text, err := s.pageText(path, name, title, body)
	s.add(path, text)
	return err
}

// pageText is what [site.page] adds.
func (s *site) pageText(path, name, title string, body any) ([]byte, error) {
	f := s.frame(path, title)
	f.Body = body
	return render(name, f)
}

func (s *site) frame(path, title string) frame {
	facts := s.ds.Facts
	f := frame{
		Title: title, Dataset: cmp.Or(facts.Title, "Shoe trial"), Invented: facts.Invented, Licence: facts.Licence,
		MadeBy: s.madeBy(rootOf(path)), Policy: pagePolicy, Root: rootOf(path), Description: s.description(path, title),
		Reader: true, Inner: path != "index.html", Print: strings.HasPrefix(path, "sessions/"),
	}
	f.Linked = s.linked(path, f.Dataset)
	if site := facts.SiteURL; site != "" {
		f.Canonical = site + strings.TrimSuffix(href(path), "index.html")
		f.Image = s.preview(path)
	}
	f.Feed = s.feedHref(f.Root)
	for _, part := range parts {
		target := part.folder
		if !strings.HasSuffix(target, ".html") {
			target += "index.html"
		}
		narrowBound := part.folder != "" && strings.HasPrefix(path, part.folder)
		f.Nav = append(f.Nav, navItem{Label: part.label, Href: f.Root + target, Here: path == target,
			Within: narrowBound &&
				path != target})
	}
	return f
}

func rootOf(path string) string { return strings.Repeat("../", strings.Count(path, "/")) }

// render fills a template in. The text of a dataset may hold anything; what
// would not be seen or would reorder the page is replaced here, once for all.
func render(name string, f frame) ([]byte, error) {
	var b strings.Builder
	b.Grow(48 << 10) // as many pages take
	if err := templates[name].Write(&b, "frame.html", f); err != nil {
		return nil, fmt.Errorf("page %s: %w", name, err)
	}
	return []byte(figure.Visible(b.String())), nil
}

// picture is a figure in the widths that a page needs, with what belongs to it.
type picture struct {
	Drawings []markup.HTML
	Caption  string
}

// drawable is anything that figure can draw.
type drawable interface {
	SVG(figure.Width) []byte
}

// inline draws a figure once, for places that never get wide.
func inline(d drawable) markup.HTML { return markup.HTML(d.SVG(figure.Narrow)) }

// bothWidths draws a figure for phones and for wider screens; the style sheet shows
// the one that fits.
func bothWidths(d drawable, caption string) picture {
	return picture{Drawings: []markup.HTML{inline(d), markup.HTML(d.SVG(figure.Wide))}, Caption: caption}
}
