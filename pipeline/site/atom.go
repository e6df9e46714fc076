package site

import (
	"bytes"
	"cmp"
	"encoding/xml"
	"slices"
	"strings"
	"time"

	"soletrial/pipeline/checksum"
	"soletrial/pipeline/figure"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// feedPath is where the feed of sessions stands.
const feedPath = "feed.xml"

// The feed's elements, as the Atom Syndication Format names them (RFC 4287).
type (
	atomFeed struct {
		XMLName xml.Name    `xml:"http://www.w3.org/2005/Atom feed"`
		Lang    string      `xml:"xml:lang,attr"`
		ID      string      `xml:"id"`
		Title   string      `xml:"title"`
		Sub     string      `xml:"subtitle,omitempty"`
		Updated string      `xml:"updated"`
		Links   []atomLink  `xml:"link"`
		Authors []atomName  `xml:"author"`
		Rights  string      `xml:"rights,omitempty"`
		Entries []atomEntry `xml:"entry"`
	}
	atomEntry struct {
		ID      string   `xml:"id"`
		Title   string   `xml:"title"`
		Updated string   `xml:"updated"`
		Link    atomLink `xml:"link"`
		Summary string   `xml:"summary"`
	}
	atomLink struct {
		Rel  string `xml:"rel,attr"`
		Type string `xml:"type,attr"`
		Href string `xml:"href,attr"`
	}
	atomName struct {
		Name string `xml:"name"`
	}
)

// feed writes the sessions as an Atom feed, newest first; without a session there
// is none. Links are relative to the feed, which the format allows, unless the
// dataset says where the site stands. Ids are UUIDs made from the dataset's title
// and first contributor and the session's id, so that they stay the same when the
// site moves. A session's time is its date and start; where that states no zone it
// is taken as UTC, since no clock is asked.
func (s *site) feed() error {
	facts := &s.ds.Facts
	f := atomFeed{
		Lang: "en", ID: s.urn(""), Title: cmp.Or(facts.Title, "Shoe trial"), Sub: s.speaker.Top().Headline(),
		Rights: facts.Licence,
		Links: []atomLink{{"self", "application/atom+xml", facts.SiteURL + feedPath},
			{"alternate", "text/html", facts.SiteURL + "sessions/index.html"}},
	}
	if facts.Invented {
		f.Title += " (invented data)"
	}
	// The authors, of which the format asks for one at least.
	for _, c := range facts.Contributors {
		f.Authors = append(f.Authors, atomName{c.Name})
	}
	if f.Authors == nil {
		f.Authors = []atomName{{"Contributors not named"}}
	}
	// The entries, newest first.
	for _, session := range slices.Backward(s.ds.SessionsRun()) {
		if entry, dated := s.feedEntry(session); dated {
			f.Entries = append(f.Entries, entry)
			f.Updated = max(f.Updated, entry.Updated)
		}
	}
	if f.Entries == nil {
		return nil
	}
	// As XML.
	var b bytes.Buffer
	b.WriteString(xml.Header)
	encoder := xml.NewEncoder(&b)
	encoder.Indent("", " ")
	if err := encoder.Encode(f); err != nil {
		return err
	}
	s.add(feedPath, []byte(figure.Visible(b.String())+"\n"))
	return nil
}

// feedHref is the link to the feed from a page at root, "" without one.
func (s *site) feedHref(root string) string {
	for _, session := range s.ds.SessionsRun() {
		if _, dated := instant(&session.Facts); dated {
			return root + feedPath
		}
	}
	return ""
}

func (s *site) feedEntry(session *trial.Session) (entry atomEntry, dated bool) {
	at, dated := instant(&session.Facts)
	var labels []string
	for i := range session.Blocks {
		if b := &session.Blocks[i]; !b.Excluded {
			labels = append(labels, s.label(b.Shoe))
		}
	}
	summary := units.Count(len(labels), "block")
	if held := targetsOf(session); held != "" {
		summary += " " + held
	}
	if venue := s.venue(session); venue != "" {
		summary += ", " + venue
	}
	if len(labels) > 0 {
		summary += ". In the order run: " + strings.Join(labels, ", ")
	}
	return atomEntry{
		ID: s.urn(session.ID), Title: strings.TrimSpace("Session " + session.Facts.Date + " " + targetsOf(session)),
		Updated: at,
		Link:    atomLink{"alternate", "text/html", s.ds.Facts.SiteURL + "sessions/" + pageName(session.ID)},
		Summary: summary + ".",
	}, dated
}

// instant is when a session began, as RFC 3339 writes it; not dated when its date
// is no day.
func instant(f *trial.SessionFacts) (at string, dated bool) {
	for _, layout := range []string{"2006-01-02 15:04:05Z07:00", "2006-01-02 15:04Z07:00", "2006-01-02 15:04:05",
		"2006-01-02 15:04"} {
		if t, err := time.Parse(layout, f.Date+" "+f.Start); err == nil {
			return t.UTC().Format(time.RFC3339), true
		}
	}
	t, err := time.Parse(time.DateOnly, f.Date)
	return t.Format(time.RFC3339), err == nil
}

// urn makes the id of a session, or with "" of the feed: a UUID of version 8 (RFC
// 9562, section 5.8) from a SHA-256.
func (s *site) urn(session string) string {
	author := ""
	if len(s.ds.Facts.Contributors) > 0 {
		author = s.ds.Facts.Contributors[0].Name
	}
	hash := []byte(checksum.SHA256([]byte("soletrial feed\n" + s.ds.Facts.Title + "\n" + author + "\n" + session))[:32])
	hash[12] = '8'
	hash[16] = "89ab"[hash[16]%4]
	text := string(hash)
	return "urn:uuid:" + text[:8] + "-" + text[8:12] + "-" + text[12:16] + "-" + text[16:20] + "-" + text[20:]
}
