package datapackage

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/santhosh-tekuri/jsonschema/v6"
	"pgregory.net/rapid"

	"soletrial/pipeline/trial"
)

const someHash = "0123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef"

// read reads a citation by the YAML library, as a JSON document.
func read(t interface{ Fatalf(string, ...any) }, text []byte) map[string]any {
	var content any
	if err := yaml.Unmarshal(text, &content); err != nil {
		t.Fatalf("%v in\n%s", err, text)
	}
	encoded, err := json.Marshal(content)
	if err != nil {
		t.Fatalf("%v", err)
	}
	document, err := jsonschema.UnmarshalJSON(bytes.NewReader(encoded))
	if err != nil {
		t.Fatalf("%v", err)
	}
	return document.(map[string]any)
}

// Oracle: the schema of the Citation File Format 1.2.0, see testdata/README.md.
func TestCitationIsValid(t *testing.T) {
	schema := published(t, "cff-1.2.0-part.json")
	ds, _ := demo(t)
	got := read(t, Citation(&ds.Facts, someHash, "https://example.org/shoes/"))
	if err := schema.Validate(got); err != nil {
		t.Error(err)
	}
	if got["title"] != ds.Facts.Title || got["license"] != "CC0-1.0" || got["version"] != "sha256-0123456789ab" ||
		got["url"] != "https://example.org/shoes/" {
		t.Errorf("%v", got)
	}
	if author := got["authors"].([]any)[0].(map[string]any); author["name"] != "Runner One (invented)" {
		t.Errorf("author %v", author)
	}
	unversioned := read(t, Citation(&trial.DatasetFacts{Title: trial.DefaultTitle}, "", "")) // as init writes it
	if err := schema.Validate(unversioned); err != nil || unversioned["version"] != nil {
		t.Errorf("without a version: %v, %v", unversioned["version"], err)
	}
	for name, spoil := range map[string]func(map[string]any){
		"no authors":  func(d map[string]any) { d["authors"] = []any{} },
		"another key": func(d map[string]any) { d["licence"] = "CC0-1.0" },
		"a version":   func(d map[string]any) { d["cff-version"] = "1.3.0" },
		"a licence":   func(d map[string]any) { d["license"] = "all mine" },
		"a doi":       func(d map[string]any) { d["doi"] = "https://doi.org/10.1000/182" },
		"an orcid": func(d map[string]any) {
			d["authors"].([]any)[0].(map[string]any)["orcid"] = "0000-0002-1825-0097"
		},
		"a keyword twice": func(d map[string]any) { d["keywords"] = []any{"a", "a"} },
		"no message":      func(d map[string]any) { delete(d, "message") },
	} {
		document := read(t, Citation(&ds.Facts, someHash, ""))
		if spoil(document); schema.Validate(document) == nil {
			t.Errorf("%s is taken for valid", name)
		}
	}
}

// Whatever a dataset states, the citation is valid and says the same.
func TestCitationOfAnything(t *testing.T) {
	schema := published(t, "cff-1.2.0-part.json")
	rapid.Check(t, func(t *rapid.T) {
		facts := trial.DatasetFacts{
			Title: rapid.String().Draw(t, "title"), Description: rapid.String().
				Draw(t, "description"), Licence: rapid.SampledFrom([]string{"", "CC-BY-4.0", "cc-by-4.0", "mine"}).
				Draw(t, "licence"),
		}
		for _, name := range rapid.SliceOfN(rapid.String(), 0, 3).Draw(t, "names") {
			facts.Contributors = append(facts.Contributors, trial.Contributor{Name: name,
				ORCID: rapid.SampledFrom([]string{"", "0000-0002-1694-233X"}).Draw(t, "orcid")})
		}
		facts.Keywords = rapid.SliceOfN(rapid.String(), 0, 3).Draw(t, "keywords")
		facts.DOI = rapid.SampledFrom([]string{"", "10.1000/182"}).Draw(t, "doi")
		facts.Version = rapid.SampledFrom([]string{"", "1.0", "1.0.0"}).Draw(t, "version")
		got := read(t, Citation(&facts, someHash, ""))
		if err := schema.Validate(got); err != nil {
			t.Fatalf("%v", err)
		}
		if facts.Title != "" && got["title"] != facts.Title {
			t.Fatalf("%q became %q", facts.Title, got["title"])
		}
		if len(got["authors"].([]any)) != len(authors(&facts)) {
			t.Fatalf("authors %v", got["authors"])
		}
	})
}

func TestLicences(t *testing.T) {
	for id, want := range map[string]string{"CC-BY-4.0": "CC-BY-4.0", " cc0-1.0 ": "CC0-1.0", "mine": "", "": ""} {
		if l, known := LicenceNamed(id); l.ID != want || known != (want != "") {
			t.Errorf("%q: %v", id, l)
		}
	}
	if got := licensed("EUPL-1.2"); len(got) != 1 || got[0].Name != "EUPL-1.2" || got[0].Path != "" {
		t.Errorf("a licence that is not listed here: %v", got)
	}
	if got := licensed("MIT OR CC-BY-4.0"); got != nil {
		t.Errorf("an expression: %v", got)
	}
	if !strings.Contains(string(Citation(&trial.DatasetFacts{Licence: "mine"}, someHash, "")), "cff-version") {
		t.Error("no citation without a listed licence")
	}
}
