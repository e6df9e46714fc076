package site

import (
	"bytes"
	"encoding/xml"
	"html"
	"io"
	"io/fs"
	"path"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"

	"soletrial/pipeline/derive"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// made is the site with every text.
func made(in Input) ([]File, error) {
	files, err := Pages(in)
	if err != nil {
		return nil, err
	}
	return InMemory(files)
}

func publish(t testing.TB, in Input) map[string]string {
	t.Helper()
	files, err := made(in)
	if err != nil {
		t.Fatal(err)
	}
	byPath := map[string]string{}
	for i, f := range files {
		if !fs.ValidPath(f.Path) || i > 0 && files[i-1].Path >= f.Path {
			t.Errorf("%q is out of place", f.Path)
		}
		byPath[f.Path] = string(f.Text)
	}
	return byPath
}

func pages(site map[string]string) map[string]string {
	found := map[string]string{}
	for p, text := range site {
		if strings.HasSuffix(p, ".html") {
			found[p] = text
		}
	}
	return found
}

// emptied is a dataset of which only the title is known.
func emptied() Input {
	ds := &trial.Dataset{Facts: trial.DatasetFacts{Method: trial.DefaultMethod(), Limits: trial.DefaultLimits()}}
	return Input{Result: derive.FromSessions(ds, nil, nil, 1)}
}

// built is every build as published.
var built = sync.OnceValue(func() map[string]map[string]string {
	sites := map[string]map[string]string{}
	for name, in := range builds() {
		files, err := made(in)
		if err != nil {
			panic(name + ": " + err.Error())
		}
		sites[name] = map[string]string{}
		for _, f := range files {
			sites[name][f.Path] = string(f.Text)
		}
	}
	return sites
})

// builds are the datasets that every page must be sound for.
func builds() map[string]Input {
	full := newFixture().input()
	explored := newFixture().input()
	explored.Explorer = []File{{Path: "boot.js", Text: []byte("//")}, {Path: "wasm_exec.js", Text: []byte("//")},
		{Path: "explorer.css", Text: []byte("p{}")}, {Path: "soletrial.wasm.gz", Text: []byte("x")}}
	narrowOnly := newFixture()
	narrowOnly.ds.Shoes, narrowOnly.ds.Sessions = narrowOnly.ds.Shoes[:1], nil
	unread := newFixture().input()
	unread.Recordings = func(*trial.Session) ([]trial.Recording, []trial.Problem) {
		return nil, []trial.Problem{{At: trial.Position{File: "foot_sensor.csv", Line: 3}, Message: "torn"}}
	}
	return map[string]Input{"full": full, "with explorer": explored, "empty": emptied(), "one shoe": narrowOnly.input(),
		"hostile": hostile(), "unread": unread}
}

const (
	script  = `<script>alert("x")</script>`
	twisted = "\u202egnp.exe\u2066"
	control = "\x00\x1b[31m"
)

// hostile has text in every place that tries to be more than text.
func hostile() Input {
	f := newFixture()
	text := script + twisted + control + `"'><img src=x onerror=alert(1)>` + strings.Repeat("wide", 40)
	facts := &f.ds.Facts
	facts.Title, facts.Description, facts.Disclosure, facts.Licence = text, text, text, text
	facts.Contributors = []trial.Contributor{{Name: text, Role: text}}
	for i := range f.ds.Shoes {
		s := &f.ds.Shoes[i]
		s.Label, s.Plate, s.Obtained, s.Notes = text, text, text, text
	}
	f.ds.Runners[0].Label, f.ds.Venues[0].Label = text, text
	for i := range f.ds.Sessions {
		s := &f.ds.Sessions[i]
		recordings := f.recordings[s.ID]
		s.Facts.Notes, s.Facts.Deviations, s.Facts.Protocol.Sensor, s.Facts.Conditions.Sky = text, []string{text}, text,
			text
		s.Facts.Recordings = []trial.RecordingFact{{File: script + ".csv", Device: text, Mount: text,
			SourceSha256: text, OffsetS: units.Missing}}
		s.ID = "../.." + script + string(rune('a'+i)) // no reader lets such an id in; the pages must hold all the same
		f.recordings[s.ID] = recordings
		for j := range s.Blocks {
			s.Blocks[j].ID, s.Blocks[j].Excluded, s.Blocks[j].Reason = text, j == 0, text
		}
	}
	in := f.input()
	in.Files = []File{{Path: "a b%2e#?:" + script + ".csv", Text: []byte("x")},
		{Path: "sub dir/javascript:alert(1)", Text: []byte("y")}}
	in.Twins = nil
	in.Program.Version = text
	return in
}

var (
	idPattern   = regexp.MustCompile(`\sid="([^"]*)"`)
	linkPattern = regexp.MustCompile(`\s(?:href|src|data-bundle)="([^"]*)"`)
	tagPattern  = regexp.MustCompile(`<(/?)([a-zA-Z][a-zA-Z0-9]*)((?:\s+[a-zA-Z0-9:-]+(?:="[^"]*")?)*)\s*(/?)>`)
)

func TestPagesAreSound(t *testing.T) {
	for build, site := range built() {
		for p, text := range pages(site) {
			name := build + ": " + p
			if n := strings.Count(text, "<h1"); n != 1 {
				t.Errorf("%s has %d main headings", name, n)
			}
			for _, need := range []string{"<!DOCTYPE html>\n<html lang=\"en\">", `<a class="skip" href="#main">`,
				`<main id="main">`, `<meta name="viewport"`, "default-src &#39;none&#39;", "</footer>"} {
				if !strings.Contains(text, need) {
					t.Errorf("%s lacks %s", name, need)
				}
			}
			seen := map[string]bool{}
			for _, id := range idPattern.FindAllStringSubmatch(text, -1) {
				if seen[id[1]] {
					t.Errorf("%s has the id %q twice", name, id[1])
				}
				seen[id[1]] = true
			}
			for _, label := range regexp.MustCompile(`aria-labelledby="([^"]*)"`).FindAllStringSubmatch(text, -1) {
				for id := range strings.FieldsSeq(label[1]) {
					if !seen[id] {
						t.Errorf("%s is labelled by %q, which is not there", name, id)
					}
				}
			}
			balanced(t, name, text)
		}
	}
}

// balanced checks that every element is closed in order. The void elements are
// those of the HTML Living Standard, section 13.1.2.
func balanced(t *testing.T, name, text string) {
	t.Helper()
	void := []string{"meta", "link", "br", "img", "input"}
	var open []string
	for _, tag := range tagPattern.FindAllStringSubmatch(strings.TrimPrefix(text, "<!DOCTYPE html>"), -1) {
		element := strings.ToLower(tag[2])
		switch {
		case slices.Contains(void, element) || tag[4] == "/":
		case tag[1] == "":
			open = append(open, element)
		case len(open) == 0 || open[len(open)-1] != element:
			t.Fatalf("%s closes <%s> while %v is open", name, element, open)
		default:
			open = open[:len(open)-1]
		}
	}
	if len(open) > 0 {
		t.Errorf("%s leaves %v open", name, open)
	}
	if stray := strings.Count(text, "<") - len(tagPattern.FindAllString(text, -1)) - 1; stray != 0 {
		t.Errorf("%s has %d stray angle brackets", name, stray)
	}
}

func TestFiguresInPagesAreXML(t *testing.T) {
	drawable := 0
	for build, site := range built() {
		for p, text := range pages(site) {
			for _, svg := range outer(text) {
				drawable++
				decoder := xml.NewDecoder(strings.NewReader(svg))
				for {
					_, err := decoder.Token()
					if err == io.EOF {
						break
					}
					if err != nil {
						t.Fatalf("%s: %s: %v", build, p, err)
					}
				}
			}
		}
	}
	if drawable < 100 {
		t.Errorf("only %d figures were drawn", drawable)
	}
}

// outer returns the outermost svg elements of a page.
func outer(text string) []string {
	var found []string
	depth, start := 0, 0
	for _, m := range regexp.MustCompile(`<svg\b|</svg>`).FindAllStringIndex(text, -1) {
		if text[m[0]+1] != '/' {
			if depth == 0 {
				start = m[0]
			}
			depth++
			continue
		}
		if depth--; depth == 0 {
			found = append(found, text[start:m[1]])
		}
	}
	return found
}

func TestLinksLeadToFilesOfTheSite(t *testing.T) {
	for build, site := range built() {
		links := 0
		for p, text := range pages(site) {
			for _, m := range linkPattern.FindAllStringSubmatch(text, -1) {
				links++
				target, anchor, _ := strings.Cut(html.UnescapeString(m[1]), "#")
				if strings.Contains(target, ":") || strings.HasPrefix(target, "/") {
					t.Errorf("%s: %s links to %q", build, p, target)
					continue
				}
				file := path.Join(path.Dir(p), unescape(t, target))
				if target == "" {
					file = p
				}
				if strings.HasSuffix(target, "/") {
					file += "/index.json" // the explorer's bundle
				}
				if _, there := site[file]; !there {
					t.Errorf("%s: %s links to %q, which is no file of the site", build, p, m[1])
				}
				session, reading := strings.CutPrefix(anchor, "session=") // for the explorer to read
				chosen := strings.HasPrefix(file, "explorer/") && (anchor == "" || strings.Contains(anchor, "="))
				if reading && site["sessions/"+pageName(unescape(t, session))] == "" {
					t.Errorf("%s: %s links to the explorer at session %q", build, p, session)
				}
				if anchor != "" && !reading && !chosen && !strings.Contains(site[file], `id="`+anchor+`"`) {
					t.Errorf("%s: %s links to %q, which has no such place", build, p, m[1])
				}
			}
		}
		if links < 30 {
			t.Errorf("%s: only %d links", build, links)
		}
	}
}

// What a strict content security policy forbids, and links to other hosts.
func TestNothingInline(t *testing.T) {
	attribute := regexp.MustCompile(`\s([a-zA-Z0-9:-]+)(?:="([^"]*)")?`)
	checked := 0
	for build, site := range built() {
		for p, text := range pages(site) {
			for _, tag := range tagPattern.FindAllStringSubmatch(text, -1) {
				if tag[2] == "style" || tag[2] == "script" && tag[1] == "" && !strings.Contains(tag[3], ` src="`) &&
					!strings.Contains(tag[3], `type="application/ld+json"`) { // data, which nothing runs
					t.Errorf("%s: %s holds an inline %s", build, p, tag[2])
				}
				for _, a := range attribute.FindAllStringSubmatch(tag[3], -1) {
					checked++
					if a[1] == "style" || strings.HasPrefix(a[1], "on") || a[1] != "xmlns" && a[1] != "content" &&
						regexp.MustCompile(`^\s*(https?:|//|javascript:)`).MatchString(a[2]) {
						t.Errorf("%s: %s holds %s", build, p, a[0])
					}
				}
			}
		}
	}
	if checked < 10_000 {
		t.Errorf("only %d attributes were examined", checked)
	}
}

func TestHostileTextIsShownAsText(t *testing.T) {
	site := built()["hostile"]
	for p, text := range pages(site) {
		if strings.Contains(text, "<script>") || strings.Contains(text, "<img") {
			t.Errorf("%s: a label became an element", p)
		}
		if strings.ContainsAny(text, "\u202e\u2066\x00\x1b") {
			t.Errorf("%s: text that reorders or controls the page got through", p)
		}
	}
	if !strings.Contains(site["index.html"], "&lt;script&gt;alert(") ||
		!strings.Contains(site["index.html"], "\ufffdgnp.exe\ufffd") {
		t.Error("the hostile title is not shown on the home page")
	}
	for p := range site {
		if strings.Contains(p, "sessions/") && !strings.HasPrefix(p, "sessions/") {
			t.Errorf("a session's id led to %q", p)
		}
	}
}

func TestTwoRunsAreEqual(t *testing.T) {
	first, _ := made(newFixture().input())
	second, _ := made(newFixture().input())
	if len(first) != len(second) {
		t.Fatalf("%d and %d files", len(first), len(second))
	}
	for i := range first {
		if first[i].Path != second[i].Path || !bytes.Equal(first[i].Text, second[i].Text) {
			t.Errorf("%s differs from run to run", first[i].Path)
		}
	}
}

func TestPagesRefuse(t *testing.T) {
	for name, spoil := range map[string]func(*Input){
		"leaves the site":      func(in *Input) { in.Files = append(in.Files, File{Path: "../../etc/x"}) },
		"published twice":      func(in *Input) { in.Files = append(in.Files, File{Path: "index.html"}) },
		"lack wasm_exec.js":    func(in *Input) { in.Explorer = []File{{Path: "boot.js"}} },
		"twice: rename the da": func(in *Input) { in.Twins = append(in.Twins, File{Path: "dataset.yaml"}) },
	} {
		in := newFixture().input()
		spoil(&in)
		if files, err := Pages(in); err == nil || files != nil || !strings.Contains(err.Error(), name) {
			t.Errorf("%s: %v", name, err)
		}
	}
}
