package plaintext_test

import (
	"strings"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
)

func TestWriteJSON(t *testing.T) {
	text := "title: 4:30\nnumber: -12.50\nodd: [007, 1_0, 1e5, +1, .5, \"12\", '']\nwhen: 2026-05-02\nyes: " +
		"true\nblank:\nempty: {}\nnone: []\nnotes: |\n  two \"quoted\"\n  lines\n"
	want := `{
  "title": "4:30",
  "number": -12.50,
  "odd": [
    "007",
    "1_0",
    "1e5",
    "+1",
    ".5",
    "12",
    ""
  ],
  "when": "2026-05-02",
  "yes": true,
  "blank": null,
  "empty": {},
  "none": [],
  "notes": "two \"quoted\"\nlines\n"
}
`
	node, problems := yamltext.Parse([]byte(text), "a.yaml")
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	if diff := cmp.Diff(want, string(node.JSON())); diff != "" {
		t.Errorf("the twin (-want +got):\n%s", diff)
	}
}

// twins puts the JSON twin of every YAML file beside it, as publishing does,
// and takes the YAML away.
func asJSON(t *testing.T, fsys fstest.MapFS) fstest.MapFS {
	t.Helper()
	published := fstest.MapFS{}
	for path, file := range fsys {
		base, isYAML := strings.CutSuffix(path, ".yaml")
		if !isYAML {
			published[path] = file
			continue
		}
		node, problems := yamltext.Read(fsys, path)
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		published[base+".json"] = &fstest.MapFile{Data: node.JSON()}
	}
	return published
}

// The browser reads the twins and gets the same dataset, with the places of its
// sessions still named after the YAML.
func TestJSONReadsTheSameAsYAML(t *testing.T) {
	fsys := folder()
	want := read(t, fsys, yamltext.Read).Dataset
	got := read(t, asJSON(t, fsys), plaintext.ReadJSON).Dataset
	if diff := cmp.Diff(want, got, cmpopts.EquateNaNs()); diff != "" {
		t.Errorf("from the twins (-want +got):\n%s", diff)
	}
}

func TestReadJSONRefuses(t *testing.T) {
	for text, want := range map[string]string{
		"":                     `a.json:1:1: not readable as JSON (publish the dataset again)`,
		"{":                    `a.json:1:2: not readable as JSON (publish the dataset again)`,
		`{"a" 1}`:              `a.json:1:6: not readable as JSON (publish the dataset again)`,
		"{\n  \"a\": 1,\n  b}": `a.json:3:3: not readable as JSON (publish the dataset again)`,
		`{"a":1}{}`: `a.json:1:8: something follows the end of the document ` +
			`(keep one document in the file)`,
		strings.Repeat("[", 30):  `a.json:1:18: nested deeper than 16 levels (flatten the document)`,
		"\"\xff\"":               `a.json:1:2: byte 0xff is not UTF-8 text (save the file as UTF-8)`,
		`{"a": [1, }`:            `a.json:1:11: not readable as JSON (publish the dataset again)`,
		strings.Repeat(" ", 2e6): `a.json: has 2000000 bytes, more than the limit of 1048576 (is it the right file?)`,
	} {
		node, problems := plaintext.ReadJSON(mapFS(map[string]string{"a.json": text}), "a.yaml")
		if got := lines(problems); got != want || node != nil {
			t.Errorf("%.20q: told %q, want %q", text, got, want)
		}
	}
}

// The binder's complaints point into the JSON.
func TestPlacesInJSON(t *testing.T) {
	fsys := asJSON(t, folder())
	text := strings.Replace(string(fsys["dataset.json"].Data), `"invented": true`, `"invented": "true"`, 1)
	fsys["dataset.json"] = &fstest.MapFile{Data: []byte(text)}
	_, problems := plaintext.Read(fsys, plaintext.ReadJSON)
	want := `dataset.json:3:15: invented: "true" is neither true nor false (write true or false, without quotes)`
	if got := lines(problems); got != want {
		t.Errorf("told %q, want %q", got, want)
	}
}
