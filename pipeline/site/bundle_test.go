package site

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"soletrial/pipeline/trial"
)

// The index of a large dataset stays under what the explorer reads of a JSON file, 1 MB: its
// files are in lists, each of them once.
func TestIndexOfManyFilesIsSplit(t *testing.T) {
	in := newFixture().input()
	for i := range 3 * perList {
		in.Files = append(in.Files, File{Path: fmt.Sprintf("sessions/%s-%05d/foot_sensor.csv",
			strings.Repeat("x", 40), i), Text: []byte("elapsed_s\n")})
	}
	files, err := made(in)
	if err != nil {
		t.Fatal(err)
	}
	var index Bundle
	texts, listed := map[string][]byte{}, map[string]bool{}
	for _, f := range files {
		texts[f.Path] = f.Text
	}
	if err := json.Unmarshal(texts["data/index.json"], &index); err != nil {
		t.Fatal(err)
	}
	for _, list := range index.Lists {
		text := texts["data/"+list.Path]
		var part Bundle
		if err := json.Unmarshal(text, &part); err != nil || len(text) > 1<<20 || part.Format != BundleFormat {
			t.Errorf("%s has %d bytes: %v", list.Path, len(text), err)
		}
		for _, f := range part.Files {
			listed[f.Path] = true
		}
	}
	if want := len(in.Files) + len(in.Twins); len(index.Files) > 0 || len(listed) != want ||
		len(texts["data/index.json"]) > 1<<20 {
		t.Errorf("%d files in the index, %d in lists, want %d", len(index.Files), len(listed), want)
	}
}

func TestBundle(t *testing.T) {
	site := built()["full"]
	var b Bundle
	if err := json.Unmarshal([]byte(site["data/index.json"]), &b); err != nil {
		t.Fatal(err)
	}
	if b.Format != "soletrial bundle 1" || len(b.Files) != 2+1+6*3 || len(b.Derived) != 11 {
		t.Fatalf("%q with %d files and %d tables", b.Format, len(b.Files), len(b.Derived))
	}
	if a := b.Answer; a.Headline == "" || !strings.HasPrefix(a.Evidence, "Evidence: ") || len(a.Sessions) != 6 {
		t.Errorf("the answer is %+v", a)
	}
	for _, e := range b.Sums {
		sum := sha256.Sum256([]byte(site["data/"+e.Path]))
		if !strings.HasPrefix(e.Path, "sums/") || hex.EncodeToString(sum[:]) != e.Sha256 {
			t.Errorf("%s is not what the index says", e.Path)
		}
	}
	if len(b.Sums) == 0 {
		t.Error("no sums")
	}
	twins := 0
	for _, e := range append(b.Files, b.Derived...) {
		text, there := site["data/"+e.Path]
		sum := sha256.Sum256([]byte(text))
		if !there || len(text) != e.Bytes || hex.EncodeToString(sum[:]) != e.Sha256 {
			t.Errorf("%s is not what the index says", e.Path)
		}
		if !strings.Contains(site["data/all.sha256"], e.Sha256+"  "+e.Path+"\n") {
			t.Errorf("%s is not in all.sha256", e.Path)
		}
		if e.TwinOf != "" {
			twins++
			if _, there := site["data/"+e.TwinOf]; !there {
				t.Errorf("%s is the twin of %q, which is not there", e.Path, e.TwinOf)
			}
		}
	}
	if twins != 7 {
		t.Errorf("%d twins, want 7", twins)
	}
	byPath := func(a, b BundleEntry) int { return strings.Compare(a.Path, b.Path) }
	if !slices.IsSortedFunc(b.Files, byPath) || !slices.IsSortedFunc(b.Derived, byPath) {
		t.Error("the index is not sorted")
	}
}

// With many shoes a shoe's page compares with the leading ones and the reference, and says so;
// no page grows with the square of the shoes.
func TestManyShoesStayOnAPage(t *testing.T) {
	f := newFixture()
	template := f.ds.Shoes[0]
	f.ds.Sessions, f.recordings = nil, map[string][]trial.Recording{}
	f.ds.Shoes = nil
	var ids []string
	for i := range 25 {
		id := "shoe-" + string(rune('a'+i))
		shoe := template
		shoe.ID, shoe.Label = id, "Number "+id
		gain[id] = 1 + 0.002*float64(i)
		f.ds.Shoes, ids = append(f.ds.Shoes, shoe), append(ids, id)
		defer delete(gain, id)
	}
	f.ds.Facts.Method.Reference = ids[0]
	for i := range 6 { // nine shoes a session at most: block ids are one digit
		f.session(i, append([]string{ids[0]}, ids[1+i*4:min(1+i*4+5, 25)]...))
	}
	site := publish(t, f.input())
	page := site["shoes/shoe-b.html"]
	if !strings.Contains(page, "The tables compare with the shoes that lead and with the reference") {
		t.Error("the page of a shoe does not say that it leaves comparisons out")
	}
	robust := site["robustness.html"]
	if !strings.Contains(robust, "against every other shoe; all 276 pairs are in") {
		t.Error("the page of every pair does not say where all are")
	}
	for path, text := range site {
		if strings.HasSuffix(path, ".html") && len(text) > 200_000 {
			t.Errorf("%s has %d bytes", path, len(text))
		}
	}
}
