package datapackage

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"soletrial/pipeline/trial"
)

// published compiles one of the published schemas under testdata.
func published(t testing.TB, name string) *jsonschema.Schema {
	t.Helper()
	text, err := os.ReadFile("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	document, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	compiler := jsonschema.NewCompiler()
	compiler.AssertFormat()
	if err := compiler.AddResource(name, document); err != nil {
		t.Fatal(err)
	}
	compiled, err := compiler.Compile(name)
	if err != nil {
		t.Fatal(err)
	}
	return compiled
}

func descriptorOf(t testing.TB, ds *trial.Dataset, files []File, address string) any {
	t.Helper()
	text, err := Package(ds, files, someHash, address)
	if err != nil {
		t.Fatal(err)
	}
	document, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return document
}

// resolve puts the schemas that stand in files of their own into the descriptor, as programs do
// that read it; each must be used by two tables or more.
func resolve(t testing.TB, document any, files []File) any {
	t.Helper()
	schemas, err := Schemas(files)
	if err != nil {
		t.Fatal(err)
	}
	used := map[string]int{}
	for _, r := range document.(map[string]any)["resources"].([]any) {
		resource := r.(map[string]any)
		path, refers := resource["schema"].(string)
		if !refers {
			continue
		}
		at := slices.IndexFunc(schemas, func(f File) bool { return f.Path == path })
		if at < 0 {
			t.Fatalf("%v refers to %s, which is not there", resource["path"], path)
		}
		used[path]++
		if resource["schema"], err = jsonschema.UnmarshalJSON(bytes.NewReader(schemas[at].Text)); err != nil {
			t.Fatal(err)
		}
	}
	for _, f := range schemas {
		if used[f.Path] < 2 {
			t.Errorf("%s is used by %d tables", f.Path, used[f.Path])
		}
	}
	return document
}

// The profiles are those that Frictionless published, byte for byte.
func TestProfilesAreTheOriginals(t *testing.T) {
	listed, err := os.ReadFile("testdata/README.md")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"data-package.json", "tabular-data-resource.json"} {
		text, err := os.ReadFile("testdata/" + name)
		sum := sha256.Sum256(text)
		if err != nil || !bytes.Contains(listed, []byte(hex.EncodeToString(sum[:]))) {
			t.Errorf("%s is not the file that README.md names: %v", name, err)
		}
	}
}

// Oracle: the text of Data Package 2.0 as a JSON Schema, and the JSON Schemas of the
// Frictionless profiles, version 1, which version 2 extends: all that version 2 renamed is the
// word for a table. See testdata/README.md.
func TestPackageIsValid(t *testing.T) {
	second := published(t, "datapackage-2.0-part.json")
	whole, table := published(t, "data-package.json"), published(t, "tabular-data-resource.json")
	ds, files := demo(t)
	cited := *ds
	cited.Facts.Version, cited.Facts.DOI, cited.Facts.Keywords = "1.2.0", "10.1000/182", []string{"track"}
	cited.Facts.Contributors = []trial.Contributor{{Name: "Josiah Carberry", ORCID: "0000-0002-1825-0097"}}
	strange := []File{{Path: "shoes.csv", Text: []byte("id,\"odd \"\"name\"\n")},
		{Path: "sessions/É/b c.csv", Text: []byte("x\n")}}
	hostile := &trial.Dataset{Facts: trial.DatasetFacts{Title: "\u202e<b>", Licence: "CC-BY-4.0 OR MIT",
		Contributors: []trial.Contributor{{Name: "x", Role: "everything"}}}}
	for name, of := range map[string]struct {
		ds      *trial.Dataset
		files   []File
		address string
	}{
		"demo": {ds, files, ""}, "cited": {&cited, files, ""},
		"with an address": {ds, files, "https://example.org/shoes/"},
		"bare":            {&trial.Dataset{}, files[:1], ""}, "hostile": {hostile, strange, ""},
	} {
		document := descriptorOf(t, of.ds, of.files, of.address)
		if err := second.Validate(document); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		// Version 1 wants every schema in its place.
		resolve(t, document, of.files)
		for _, schema := range []*jsonschema.Schema{second, whole} {
			if err := schema.Validate(document); err != nil {
				t.Errorf("%s with its schemas: %v", name, err)
			}
		}
		tables := 0
		for _, r := range document.(map[string]any)["resources"].([]any) {
			if r := r.(map[string]any); r["type"] == "table" {
				tables++
				r["profile"] = "tabular-data-resource"
				if err := table.Validate(r); err != nil {
					t.Errorf("%s: %v: %v", name, r["path"], err)
				}
			}
		}
		if tables == 0 && name != "bare" {
			t.Errorf("%s: no tables", name)
		}
	}
}

// The check above can fail.
func TestSchemasRefuse(t *testing.T) {
	whole := published(t, "datapackage-2.0-part.json")
	ds, files := demo(t)
	for name, spoil := range map[string]func(d, r map[string]any){
		"no resources":       func(d, r map[string]any) { delete(d, "resources") },
		"a name with blanks": func(d, r map[string]any) { d["name"] = "Shoe trial" },
		"a role of version 1": func(d, r map[string]any) {
			d["contributors"].([]any)[0].(map[string]any)["role"] = "author"
		},
		"a profile of version 1": func(d, r map[string]any) { r["profile"] = "tabular-data-resource" },
		"a day that is no time":  func(d, r map[string]any) { d["created"] = "2026-04-25" },
		"no keywords":            func(d, r map[string]any) { d["keywords"] = []any{} },
		"a path that leads out":  func(d, r map[string]any) { r["path"] = "../shoes.csv" },
		"a bare hash":            func(d, r map[string]any) { r["hash"] = "sha256 of it" },
		"an unknown type":        func(d, r map[string]any) { firstField(r)["type"] = "text" },
		"a wrong bound": func(d, r map[string]any) {
			firstField(r)["constraints"] = map[string]any{
				"required": "yes"}
		},
		"a schema outside": func(d, r map[string]any) { r["schema"] = "../schemas/tables/shoes.json" },
		"no fields":        func(d, r map[string]any) { delete(r["schema"].(map[string]any), "fields") },
	} {
		document := descriptorOf(t, ds, files, "").(map[string]any)
		resource := resourceAt(t, document, "shoes.csv")
		spoil(document, resource)
		if whole.Validate(document) == nil {
			t.Errorf("%s is taken for valid", name)
		}
	}
}

func firstField(r map[string]any) map[string]any {
	return r["schema"].(map[string]any)["fields"].([]any)[0].(map[string]any)
}

func resourceAt(t testing.TB, document map[string]any, path string) map[string]any {
	t.Helper()
	for _, r := range document["resources"].([]any) {
		if r := r.(map[string]any); r["path"] == path {
			return r
		}
	}
	t.Fatalf("no resource %q", path)
	return nil
}

// Every file is there with its size and hash, and every column is described, with
// a unit where it is a measured number.
func TestPackageIsWhole(t *testing.T) {
	ds, files := demo(t)
	document := resolve(t, descriptorOf(t, ds, files, ""), files).(map[string]any)
	if n := len(document["resources"].([]any)); n != len(files) {
		t.Fatalf("%d resources for %d files", n, len(files))
	}
	unitless := regexp.MustCompile(`(?i)degrees of freedom|p value|ratio|lane`)
	fields := 0
	for _, f := range files {
		r := resourceAt(t, document, f.Path)
		sum := sha256.Sum256(f.Text)
		if r["hash"] != "sha256:"+hex.EncodeToString(sum[:]) || r["bytes"] != json.Number(itoa(len(f.Text))) {
			t.Errorf("%s: %v of %v bytes", f.Path, r["hash"], r["bytes"])
		}
		if licence := r["licenses"].([]any)[0].(map[string]any); licence["name"] != "CC0-1.0" || licence["path"] == "" {
			t.Errorf("%s: licence %v", f.Path, licence)
		}
		if (r["schema"] != nil) != strings.HasSuffix(f.Path, ".csv") {
			t.Errorf("%s: schema %v", f.Path, r["schema"])
			continue
		}
		if r["schema"] == nil {
			continue
		}
		for _, field := range r["schema"].(map[string]any)["fields"].([]any) {
			fields++
			field := field.(map[string]any)
			text := field["description"].(string)
			if text == "Not described." || len(text) < 5 {
				t.Errorf("%s: column %v is not described", f.Path, field["name"])
			}
			if field["type"] == "number" && !strings.Contains(text, "Unit: ") && !unitless.MatchString(text) {
				t.Errorf("%s: column %v has no unit: %q", f.Path, field["name"], text)
			}
		}
	}
	if fields < 250 {
		t.Errorf("only %d columns", fields)
	}
}

func itoa(n int) string {
	text, _ := json.Marshal(n)
	return string(text)
}

func TestSameBytesTwice(t *testing.T) {
	ds, files := demo(t)
	first, _ := Package(ds, files, someHash, "")
	second, _ := Package(ds, files, someHash, "")
	if !bytes.Equal(first, second) || !bytes.HasSuffix(first, []byte("}\n")) {
		t.Error("two descriptors of one dataset differ")
	}
}

func TestNames(t *testing.T) {
	names := namesOf([]File{{Path: "shoes.csv"}, {Path: "sessions/a/B.csv"}, {Path: "sessions/a/b.csv"},
		{Path: "dataset.yaml"}, {Path: "sessions/a/é x.csv"}})
	for path, want := range map[string]string{
		"shoes.csv":          "shoes",
		"sessions/a/B.csv":   "sessions.a.b",
		"sessions/a/b.csv":   "sessions.a.b-2",
		"dataset.yaml":       "dataset.yaml",
		"sessions/a/é x.csv": "sessions.a.___x",
	} {
		if names[path] != want {
			t.Errorf("%s is named %q, want %q", path, names[path], want)
		}
	}
	for title, want := range map[string]string{"Which of four shoes? (invented)": "which-of-four-shoes-invented",
		"": "", "Größe": "gr-e", strings.Repeat("abcdefghi ",
			9): "abcdefghi-abcdefghi-abcdefghi-abcdefghi-abcdefghi-abcdefghi"} {
		if got := slug(title); got != want {
			t.Errorf("%q: %q, want %q", title, got, want)
		}
	}
}

// What the dataset says of itself stands where the standard has it.
func TestPackageSaysWhatTheDatasetSays(t *testing.T) {
	ds, files := demo(t)
	plain := descriptorOf(t, ds, files, "").(map[string]any)
	if plain["version"] != "sha256-0123456789ab" || plain["created"] != "2026-04-25T09:00:00+02:00" ||
		plain["id"] != nil {
		t.Errorf("version %v, created %v, id %v", plain["version"], plain["created"], plain["id"])
	}
	said := *ds
	said.Facts.Version, said.Facts.DOI, said.Facts.Keywords = "1.2.0", "10.1000/182", []string{"track"}
	said.Facts.Contributors = []trial.Contributor{{Name: "Josiah Carberry", Role: "runner",
		ORCID: "0000-0002-1825-0097"}}
	d := descriptorOf(t, &said, files, "").(map[string]any)
	who := d["contributors"].([]any)[0].(map[string]any)
	if d["version"] != "1.2.0" || d["id"] != "https://doi.org/10.1000/182" || d["keywords"].([]any)[0] != "track" ||
		who["path"] != "https://orcid.org/0000-0002-1825-0097" || who["roles"].([]any)[0] != "runner" {
		t.Errorf("%v by %v", d["version"], who)
	}
	if line := CitationLine(&said); line != "Josiah Carberry: "+ds.Facts.Title+". Dataset, version 1.2.0, sessions "+
		"up to 2026-04-25, CC0-1.0, https://doi.org/10.1000/182." {
		t.Errorf("cited as %q", line)
	}
	// The start without a zone, and no session at all.
	said.Sessions = []trial.Session{{Facts: trial.SessionFacts{Date: "2026-05-01", Start: "09:00"},
		Blocks: []trial.Block{{ID: "1"}}}, {Facts: trial.SessionFacts{Date: "2026-05-08", Start: "09:00"}}}
	if got := created(&said); got != "2026-05-01T00:00:00Z" {
		t.Errorf("created %q", got)
	}
	if got := created(&trial.Dataset{}); got != "" {
		t.Errorf("created %q without sessions", got)
	}
}
