package datapackage

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"os"
	"regexp"
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
	text, err := Package(ds, files, address)
	if err != nil {
		t.Fatal(err)
	}
	document, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
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

// Oracle: the JSON Schemas of the Frictionless profiles, version 1.
func TestPackageIsValid(t *testing.T) {
	whole, table := published(t, "data-package.json"), published(t, "tabular-data-resource.json")
	ds, files := demo(t)
	hostile := &trial.Dataset{Facts: trial.DatasetFacts{Title: "\u202e<b>", Licence: "CC-BY-4.0 OR MIT",
		Contributors: []trial.Contributor{{Name: "x", Role: "everything"}}}}
	for name, document := range map[string]any{
		"demo": descriptorOf(t, ds, files, ""), "with an address": descriptorOf(t, ds, files,
			"https://example.org/shoes/"),
		"bare": descriptorOf(t, &trial.Dataset{}, files[:1], ""), "hostile": descriptorOf(t, hostile,
			[]File{{Path: "shoes.csv", Text: []byte("id,\"odd \"\"name\"\n")},
				{Path: "sessions/É/b c.csv", Text: []byte("x\n")}}, ""),
	} {
		if err := whole.Validate(document); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		tables := 0
		for _, r := range document.(map[string]any)["resources"].([]any) {
			if r.(map[string]any)["profile"] == "tabular-data-resource" {
				tables++
				if err := table.Validate(r); err != nil {
					t.Errorf("%s: %v: %v", name, r.(map[string]any)["path"], err)
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
	whole, table := published(t, "data-package.json"), published(t, "tabular-data-resource.json")
	ds, files := demo(t)
	for name, spoil := range map[string]func(d, r map[string]any){
		"no resources":       func(d, r map[string]any) { delete(d, "resources") },
		"a name with blanks": func(d, r map[string]any) { d["name"] = "Shoe trial" },
		"a free role": func(d,
			r map[string]any) {
			d["contributors"].([]any)[0].(map[string]any)["role"] = "timekeeper"
		},
		"a bare hash":     func(d, r map[string]any) { r["hash"] = "sha256 of it" },
		"an unknown type": func(d, r map[string]any) { firstField(r)["type"] = "text" },
		"a wrong bound": func(d, r map[string]any) {
			firstField(r)["constraints"] = map[string]any{
				"required": "yes"}
		},
		"no fields": func(d, r map[string]any) { delete(r["schema"].(map[string]any), "fields") },
	} {
		document := descriptorOf(t, ds, files, "").(map[string]any)
		resource := resourceAt(t, document, "shoes.csv")
		spoil(document, resource)
		if whole.Validate(document) == nil && table.Validate(resource) == nil {
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
	document := descriptorOf(t, ds, files, "").(map[string]any)
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
	first, _ := Package(ds, files, "")
	second, _ := Package(ds, files, "")
	if !bytes.Equal(first, second) || !bytes.HasSuffix(first, []byte("}\n")) {
		t.Error("two descriptors of one dataset differ")
	}
}

func TestNames(t *testing.T) {
	names := namesOf([]File{{Path: "shoes.csv"}, {Path: "sessions/a/B.csv"}, {Path: "sessions/a/b.csv"},
		{Path: "dataset.yaml"}, {Path: "sessions/a/é x.csv"}})
	for path, want := range map[string]string{
		"shoes.csv":          "shoes",
		"sessions/a/B.csv":   "sessions/a/b",
		"sessions/a/b.csv":   "sessions/a/b-2",
		"dataset.yaml":       "dataset.yaml",
		"sessions/a/é x.csv": "sessions/a/___x",
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
