package plaintext_test

import (
	"testing"
	"testing/fstest"

	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
)

// A folder with nothing but its name and its shoes has a overview; what is wrong with
// these is said with its place, and sessions are not examined.
func TestReadOverview(t *testing.T) {
	files := fstest.MapFS{
		"dataset.yaml":              {Data: []byte("title: T\nlicence: CC0-1.0\nmethod:\n  reference: b\n")},
		"shoes.csv":                 {Data: []byte("id,label,mass_g\nb,B,210.0\na,A,\n")},
		"sessions/x/session.yaml":   {Data: []byte("no: such key\n")},
		"derived/comparisons.csv":   {Data: []byte("x\n")},
		"anything that is not ours": {Data: []byte("x\n")},
	}
	overview, problems := plaintext.ReadOverview(files, yamltext.Read)
	if len(problems) > 0 || overview.Facts.Licence != "CC0-1.0" || len(overview.Shoes) != 2 ||
		overview.Shoes[0].ID != "a" ||
		overview.Reference() != "b" || len(overview.Sessions) != 0 {
		t.Fatalf("%+v %v", overview, problems)
	}
	files["dataset.yaml"].Data = []byte("title: T\nmethod:\n  reference: c\n")
	files["shoes.csv"].Data = []byte("id,label,mass_g\na,A,heavy\n")
	if _, problems = plaintext.ReadOverview(files, yamltext.Read); len(problems) != 2 ||
		problems[0].At.String() != "dataset.yaml:3:14" || problems[1].At.String() != "shoes.csv:2:5" {
		t.Errorf("%v", problems)
	}
	delete(files, "shoes.csv")
	if _, problems = plaintext.ReadOverview(files, yamltext.Read); len(problems) != 1 ||
		problems[0].At.File != "shoes.csv" {
		t.Errorf("%v", problems)
	}
}
