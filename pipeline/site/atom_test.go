package site

import (
	"encoding/xml"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"soletrial/pipeline/trial"
)

// element is any element of a feed.
type element struct {
	XMLName  xml.Name
	Attrs    []xml.Attr `xml:",any,attr"`
	Text     string     `xml:",chardata"`
	Children []element  `xml:",any"`
}

func (e element) all(name string) (found []element) {
	for _, c := range e.Children {
		if c.XMLName.Local == name && c.XMLName.Space == "http://www.w3.org/2005/Atom" {
			found = append(found, c)
		}
	}
	return found
}

func (e element) attribute(name string) string {
	for _, a := range e.Attrs {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

// faults checks what RFC 4287 asks of a feed: sections 4.1.1 (author, exactly one
// id, title, updated, at most one alternate and a self link), 4.1.2 (the same of
// entries, and a link or content), 3.3 (dates), 4.2.6 (ids are absolute IRIs), 3.2
// (a person has one name).
func (e element) faults(root bool) (faults []string) {
	for _, narrowOnly := range []string{"id", "title", "updated"} {
		if n := len(e.all(narrowOnly)); n != 1 {
			faults = append(faults, narrowOnly+" is not there once")
			return faults
		}
	}
	if at, err := time.Parse(time.RFC3339, e.all("updated")[0].Text); err != nil || at.IsZero() {
		faults = append(faults, "updated is no date: "+e.all("updated")[0].Text)
	}
	if id, err := url.Parse(e.all("id")[0].Text); err != nil || !id.IsAbs() {
		faults = append(faults, "id is not absolute")
	}
	rels := map[string]int{}
	for _, link := range e.all("link") {
		rels[link.attribute("rel")]++
		if _, err := url.Parse(link.attribute("href")); err != nil || link.attribute("href") == "" {
			faults = append(faults, "a link leads nowhere")
		}
	}
	if rels["alternate"] != 1 || root && rels["self"] != 1 {
		faults = append(faults, "links are missing")
	}
	for _, a := range e.all("author") {
		if len(a.all("name")) != 1 {
			faults = append(faults, "an author without a name")
		}
	}
	if root && len(e.all("author")) == 0 {
		faults = append(faults, "no author")
	}
	for _, entry := range e.all("entry") {
		faults = append(faults, entry.faults(false)...)
	}
	return faults
}

func feedOf(t *testing.T, text string) element {
	t.Helper()
	var feed element
	if err := xml.Unmarshal([]byte(text), &feed); err != nil {
		t.Fatal(err)
	}
	if feed.XMLName.Local != "feed" || feed.XMLName.Space != "http://www.w3.org/2005/Atom" {
		t.Fatalf("%v is no feed", feed.XMLName)
	}
	return feed
}

func TestFeedIsValid(t *testing.T) {
	seen := 0
	for build, site := range built() {
		text, there := site["feed.xml"]
		if (build == "empty" || build == "one shoe") == there {
			t.Errorf("%s: a feed: %v", build, there)
		}
		if strings.Contains(site["index.html"], "feed.xml") != there {
			t.Errorf("%s: the pages name a feed: %v", build, !there)
		}
		if !there {
			continue
		}
		seen++
		feed := feedOf(t, text)
		for _, fault := range feed.faults(true) {
			t.Errorf("%s: %s", build, fault)
		}
		ids := map[string]bool{feed.all("id")[0].Text: true}
		// RFC 9562, sections 4 and 5.8
		uuid := regexp.MustCompile(`^urn:uuid:[0-9a-f]{8}-[0-9a-f]{4}-8[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$`)
		for _, entry := range feed.all("entry") {
			id, link := entry.all("id")[0].Text, entry.all("link")[0].attribute("href")
			if ids[id] || !uuid.MatchString(id) {
				t.Errorf("%s: the id %q", build, id)
			}
			ids[id] = true
			if _, there := site[unescape(t, link)]; !there && site[link] == "" {
				t.Errorf("%s: no page %q", build, link)
			}
		}
		if len(ids) != 7 {
			t.Errorf("%s: %d ids, want the feed's and one for each of six sessions", build, len(ids))
		}
	}
	if seen < 3 {
		t.Errorf("only %d feeds", seen)
	}
	if faults := (element{}).faults(true); len(faults) == 0 {
		t.Error("nothing is taken for a feed")
	}
}

// With an address every link is absolute; ids do not change with it.
func TestFeedWithAnAddress(t *testing.T) {
	in := newFixture().input()
	before := feedOf(t, publish(t, in)["feed.xml"])
	in.Result.Dataset.Facts.SiteURL = "https://example.org/shoes/"
	site := publish(t, in)
	after := feedOf(t, site["feed.xml"])
	if before.all("id")[0].Text != after.all("id")[0].Text ||
		before.all("entry")[0].all("id")[0].Text != after.all("entry")[0].all("id")[0].Text {
		t.Error("the ids moved with the site")
	}
	if got := after.all("entry")[0].all("link")[0].attribute(
		"href"); got != "https://example.org/shoes/sessions/s6.html" {
		t.Errorf("newest first: %q", got)
	}
	if !strings.Contains(site["data/CITATION.cff"], `url: "https://example.org/shoes/"`) ||
		!strings.Contains(site["data/datapackage.json"], `"homepage": "https://example.org/shoes/"`) {
		t.Error("the citation or the data package does not name the site")
	}
}

func TestInstant(t *testing.T) {
	for _, c := range []struct{ date, start, want string }{
		{"2026-03-07", "", "2026-03-07T00:00:00Z"}, {"2026-03-07", "18:30", "2026-03-07T18:30:00Z"}, {"2026-03-07",
			"18:30:05", "2026-03-07T18:30:05Z"},
		{"2026-03-07", "00:30+02:00", "2026-03-06T22:30:00Z"}, {"2026-03-07", "18:30Z", "2026-03-07T18:30:00Z"},
		{"2026-03-07", "noon", "2026-03-07T00:00:00Z"}, {"2026-02-30", "18:30", ""},
	} {
		at, dated := instant(&trial.SessionFacts{Date: c.date, Start: c.start})
		if dated != (c.want != "") || dated && at != c.want {
			t.Errorf("%s %s: %s, want %s", c.date, c.start, at, c.want)
		}
	}
}
