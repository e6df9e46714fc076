package site

import (
	"encoding/json"
	"regexp"
	"strings"
	"testing"

	"soletrial/pipeline/trial"
)

var linkedScript = regexp.MustCompile(`(?s)<script type="application/ld\+json">(.*?)</script>`)

// linkedOf reads the linked data of a page, of which there is one piece.
func linkedOf(t *testing.T, path, page string) map[string]any {
	t.Helper()
	found := linkedScript.FindAllStringSubmatch(page, -1)
	if len(found) != 1 {
		t.Fatalf("%s: %d pieces of linked data", path, len(found))
	}
	var d map[string]any
	if err := json.Unmarshal([]byte(found[0][1]), &d); err != nil {
		t.Fatalf("%s: %v in %s", path, err, found[0][1])
	}
	return d
}

// The page of data and those of sessions are described as Datasets of schema.org, with what
// that vocabulary has for a name, a licence, people, versions and files (schema.org/Dataset,
// from memory: name and description are asked for, creator is a Person, contentUrl leads to
// the file); every file is one of the site.
func TestLinkedData(t *testing.T) {
	f := newFixture()
	facts := &f.ds.Facts
	facts.SiteURL, facts.DOI, facts.Version = "https://example.org/shoes/", "10.1000/182", "1.2.0"
	facts.Licence = "CC0-1.0"
	facts.Keywords = []string{"track", "</script><b>"}
	facts.Contributors = []trial.Contributor{{Name: "Josiah Carberry", ORCID: "0000-0002-1825-0097"}, {Name: "B"}}
	site := publish(t, f.input())
	described := 0
	for path, page := range site {
		session := strings.HasPrefix(path, "sessions/") && path != "sessions/index.html"
		if !strings.HasSuffix(path, ".html") || path != "data/index.html" && !session {
			continue
		}
		described++
		d := linkedOf(t, path, page)
		creators, _ := d["creator"].([]any)
		if d["@context"] != "https://schema.org" || d["@type"] != "Dataset" || d["name"] == "" ||
			d["description"] == "" ||
			d["license"] != "https://creativecommons.org/publicdomain/zero/1.0/" || d["version"] != "1.2.0" ||
			len(d["keywords"].([]any)) != 2 || len(creators) != 2 ||
			creators[0].(map[string]any)["@id"] != "https://orcid.org/0000-0002-1825-0097" {
			t.Errorf("%s: %v", path, d)
		}
		files, _ := d["distribution"].([]any)
		for _, file := range files {
			address := file.(map[string]any)["contentUrl"].(string)
			if _, published := site[strings.TrimPrefix(address, facts.SiteURL)]; !published {
				t.Errorf("%s: no file at %s", path, address)
			}
		}
		whole, _ := d["isPartOf"].(map[string]any)
		if len(files) == 0 || session != (whole != nil) || session && whole["url"] != facts.SiteURL ||
			!session && d["identifier"] != "https://doi.org/10.1000/182" {
			t.Errorf("%s: %d files, part of %v, identified by %v", path, len(files), whole, d["identifier"])
		}
	}
	if described != 1+len(f.ds.Sessions) {
		t.Errorf("%d pages for %d sessions", described, len(f.ds.Sessions))
	}
}
