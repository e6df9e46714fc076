package site

import (
	"cmp"
	"slices"
	"strings"

	"soletrial/pipeline/datapackage"
	"soletrial/pipeline/figure"
	"soletrial/pipeline/trial"
)

// linkedData describes the dataset, or one session of it, to search engines, by the vocabulary
// of schema.org.
type linkedData struct {
	Context  string           `json:"@context"`
	Type     string           `json:"@type"`
	Name     string           `json:"name"`
	About    string           `json:"description"`
	Licence  string           `json:"license,omitempty"`
	Address  string           `json:"url,omitempty"`
	ID       string           `json:"identifier,omitempty"`
	Version  string           `json:"version,omitempty"`
	Keywords []string         `json:"keywords,omitempty"`
	Coverage string           `json:"temporalCoverage,omitempty"`
	Free     bool             `json:"isAccessibleForFree"`
	Creators []linkedPerson   `json:"creator,omitempty"`
	Files    []linkedDownload `json:"distribution,omitempty"`
	Whole    *linkedPart      `json:"isPartOf,omitempty"` // of a session: the dataset
}

type linkedPart struct {
	Type    string `json:"@type"`
	Name    string `json:"name"`
	Address string `json:"url,omitempty"`
}

type linkedPerson struct {
	Type string `json:"@type"`
	ID   string `json:"@id,omitempty"` // the ORCID page
	Name string `json:"name"`
}

type linkedDownload struct {
	Type    string `json:"@type"`
	Format  string `json:"encodingFormat"`
	Address string `json:"contentUrl"`
}

// linked describes what a page is about: a session on its page, else the dataset.
func (s *site) linked(path, title string) linkedData {
	whole := s.linkedDataset(title)
	if session := s.lookup.pages[path]; session != nil {
		return s.linkedSession(whole, session)
	}
	return whole
}

func (s *site) linkedDataset(title string) linkedData {
	facts := &s.ds.Facts
	d := linkedData{Context: "https://schema.org", Type: "Dataset", Name: title, Free: true, Address: facts.SiteURL,
		About: cmp.Or(strings.TrimSpace(facts.Description), title), Version: facts.Version,
		Keywords: datapackage.Keywords(facts)}
	if facts.DOI != "" {
		d.ID = "https://doi.org/" + facts.DOI
	}
	if l, known := datapackage.LicenceNamed(facts.Licence); known {
		d.Licence = l.Address
	}
	for _, c := range facts.Contributors {
		d.Creators = append(d.Creators, linkedPerson{"Person", datapackage.ORCIDAddress(c.ORCID), c.Name})
	}
	if run := s.ds.SessionsRun(); len(run) > 0 {
		d.Coverage = run[0].Facts.Date + "/" + run[len(run)-1].Facts.Date
	}
	if facts.SiteURL != "" {
		d.Files = []linkedDownload{{"DataDownload", "application/zip", facts.SiteURL + "data/dataset.zip"}}
	}
	return d
}

// linkedSession describes a session as a part of the dataset, with its own files.
func (s *site) linkedSession(d linkedData, session *trial.Session) linkedData {
	title := s.lookup.names[session.ID]
	d.Whole = &linkedPart{"Dataset", d.Name, d.Address}
	d.Name, d.About, d.Coverage = d.Name+": session of "+title, "Session of "+title+" of the trial: "+d.About,
		session.Facts.Date
	d.ID, d.Files = "", nil
	if site := s.ds.Facts.SiteURL; site != "" {
		d.Address = site + href("sessions/"+pageName(session.ID))
		for _, f := range s.lookup.files[session.Folder()] {
			if strings.HasSuffix(f.Path, ".csv") {
				d.Files = append(d.Files, linkedDownload{"DataDownload", "text/csv", site + "data/" + href(f.Path)})
			}
		}
	}
	return d
}

// description says what a page holds, for search engines and link previews.
func (s *site) description(path, title string) string {
	headline := s.headline
	switch {
	case path == "index.html":
		return headline
	case strings.HasPrefix(path, "shoes/") && !strings.HasSuffix(path, "index.html"):
		for i := range s.ds.Shoes {
			if id := s.ds.Shoes[i].ID; path == "shoes/"+pageName(id) {
				return title + ": " + s.shortResult(id) + ". " + headline
			}
		}
	case strings.HasPrefix(path, "sessions/") && !strings.HasSuffix(path, "index.html"):
		return "Session of " + title + ": blocks, traces, findings, conditions and recordings."
	}
	return title + ". " + headline
}

// preview is the address of the picture of a page: its own, or else that of the answer; ""
// where no pictures are published.
func (s *site) preview(path string) string {
	for _, name := range []string{"shoe-" + strings.TrimSuffix(strings.TrimPrefix(path, "shoes/"), ".html") + ".png",
		"home.png"} {
		if s.hasPicture(name) {
			return s.ds.Facts.SiteURL + "pictures/" + href(name)
		}
	}
	return ""
}

// sharedFigure is a figure that stands at an address of its own.
type sharedFigure struct {
	Href    string // of the figure, from the page that shows it
	Picture string // of the same as a picture for posts; "" where there is none
	Embed   string // what shows the figure on another site; "" where the site's address is not known
}

// stableFigure publishes a figure on its own at an address that stays, for a page at root.
func (s *site) stableFigure(name, root string, d drawable) *sharedFigure {
	path := "figures/" + name + ".svg"
	s.add(path, figure.OnPaper(d.SVG(figure.Wide)))
	shared := sharedFigure{Href: root + href(path), Embed: s.embed(name)}
	picture := name + ".png"
	if name == "answer" {
		picture = "home.png"
	}
	if s.hasPicture(picture) {
		shared.Picture = root + "pictures/" + href(picture)
	}
	return &shared
}

// hasPicture reports whether a link preview of that name is published.
func (s *site) hasPicture(name string) bool {
	return slices.ContainsFunc(s.in.Pictures, func(f File) bool { return f.Path == name })
}

// embed is what shows a published figure on another site; "" where the dataset does not say
// where the site stands.
func (s *site) embed(name string) string {
	address := s.ds.Facts.SiteURL
	if address == "" {
		return ""
	}
	return `<a href="` + address + `"><img src="` + address + "figures/" + href(name) +
		`.svg" width="720" alt="` + strings.NewReplacer(`"`, "'", "<", "", ">", "", "&", "and").
		Replace(s.speaker.Top().Headline()) + `"></a>`
}
