package main_test

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"encoding/xml"
	"html"
	"io"
	"io/fs"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// crawl follows every link of a served site from its home page, as a browser
// would, and keeps what it got by address.
type crawl struct {
	t      testing.TB
	root   *url.URL
	got    map[string]string // body by address without fragment
	wanted map[string]bool   // addresses with fragments
	links  int
}

var (
	linked = regexp.MustCompile(`<([a-z]+)[^<>]*?\s(?:href|src|data-bundle)="([^"]*)"`)
	marked = regexp.MustCompile(`\sid="([^"]*)"`)
)

func crawled(t testing.TB, server *httptest.Server) *crawl {
	root, err := url.Parse(server.URL + below)
	if err != nil {
		t.Fatal(err)
	}
	c := &crawl{t: t, root: root, got: map[string]string{}, wanted: map[string]bool{}}
	c.follow(root.JoinPath("index.html"))
	return c
}

func (c *crawl) follow(at *url.URL) {
	if at.Fragment != "" && !strings.Contains(at.Fragment, "=") { // which the explorer reads
		c.wanted[at.String()] = true
	}
	page := *at
	page.Fragment = ""
	if _, been := c.got[page.String()]; been {
		return
	}
	if page.Host != c.root.Host || !strings.HasPrefix(page.Path, c.root.Path) {
		c.t.Errorf("a link leads out of the site: %s", at)
		return
	}
	response, err := http.Get(page.String())
	if err != nil {
		c.t.Fatal(err)
	}
	defer response.Body.Close()
	body, err := io.ReadAll(response.Body)
	c.got[page.String()] = string(body)
	if err != nil || response.StatusCode != http.StatusOK {
		c.t.Errorf("%s: %s %v", page.Path, response.Status, err)
		return
	}
	switch {
	case strings.HasSuffix(page.Path, ".html"):
		for _, m := range linked.FindAllStringSubmatch(string(body), -1) {
			target := html.UnescapeString(m[2])
			if strings.HasSuffix(target, "/") { // where the explorer finds its list of files
				target += "index.json"
			}
			c.link(&page, target)
		}
	case strings.HasSuffix(page.Path, ".xml"):
		for _, m := range linked.FindAllStringSubmatch(string(body), -1) {
			c.link(&page, html.UnescapeString(m[2]))
		}
	}
}

func (c *crawl) link(from *url.URL, target string) {
	c.links++
	to, err := from.Parse(target)
	if err != nil {
		c.t.Errorf("%s: %v", from.Path, err)
		return
	}
	c.follow(to)
}

// byProgram are the files that scripts and the programs of the explorer and of the track page
// ask for themselves.
var byProgram = []string{"sw.js", "explorer/sw.js", "explorer/soletrial.wasm.gz", "explorer/convert.js",
	"explorer/convert.wasm.gz", "track/sw.js", "track/track.wasm.gz", "track/plans.json",
	"track/licences.txt"}

// Every link of the published demonstration leads somewhere, under a path below
// the root too; every fragment is there; every file of the site is linked.
func TestEveryLinkLeadsSomewhere(t *testing.T) {
	site := publish(t)
	c := crawled(t, serve(t, site))
	for address := range c.wanted {
		page, fragment, _ := strings.Cut(address, "#")
		if !slices.ContainsFunc(marked.FindAllStringSubmatch(c.got[page], -1),
			func(m []string) bool { return m[1] == fragment }) {
			t.Errorf("%s has no such place", address)
		}
	}
	if c.links < 1000 || len(c.wanted) < 30 || len(c.got) < 70 {
		t.Errorf("%d links, %d fragments, %d files", c.links, len(c.wanted), len(c.got))
	}
	err := fs.WalkDir(os.DirFS(site), ".", func(path string, entry fs.DirEntry, err error) error {
		if _, reached := c.got[c.root.JoinPath(path).String()]; err == nil && !entry.IsDir() && !reached &&
			!slices.Contains(byProgram, path) {
			t.Errorf("nothing links to %s", path)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}

// A broken link and a missing fragment are found.
func TestBrokenLinksAreFound(t *testing.T) {
	mux := http.NewServeMux()
	mux.HandleFunc(below+"index.html", func(w http.ResponseWriter, _ *http.Request) {
		io.WriteString(w, `<a href="gone.html">x</a><a href="#nowhere">y</a><a href="../out.html">z</a>`)
	})
	server := httptest.NewServer(mux)
	defer server.Close()
	var seen recorder
	c := crawled(&seen, server)
	if seen.n != 2 || !c.wanted[server.URL+below+"index.html#nowhere"] {
		t.Errorf("%d faults, wanted %v", seen.n, c.wanted)
	}
}

// recorder counts the faults that a check finds.
type recorder struct {
	testing.TB
	n int
}

func (r *recorder) Errorf(string, ...any) { r.n++ }

// Every size and hash that the site lists is that of the file it names: in the
// explorer's list, in all.sha256, in the data package, and on the page. Every file of the data is
// under one of them, but for the page itself.
func TestEveryHashHolds(t *testing.T) {
	site := publish(t)
	data := func(path string) []byte {
		text, err := os.ReadFile(site + "/data/" + path)
		if err != nil {
			t.Error(err)
		}
		return text
	}
	sum := func(text []byte) string {
		hash := sha256.Sum256(text)
		return hex.EncodeToString(hash[:])
	}
	var index struct {
		Files, Derived, Sums []struct {
			Path, Sha256 string
			Bytes        int
		}
	}
	var pack struct {
		Resources []struct {
			Path, Hash string
			Bytes      int
		}
	}
	for path, into := range map[string]any{"index.json": &index, "datapackage.json": &pack} {
		if err := json.Unmarshal(data(path), into); err != nil {
			t.Fatal(err)
		}
	}
	checked := map[string][]string{} // the lists by file
	check := func(list, path, hash string, size int) {
		checked[path] = append(checked[path], list)
		if text := data(path); sum(text) != hash || size >= 0 && len(text) != size {
			t.Errorf("%s says of %s: %d bytes, %s", list, path, size, hash)
		}
	}
	for _, f := range slices.Concat(index.Files, index.Derived, index.Sums) {
		check("index.json", f.Path, f.Sha256, f.Bytes)
	}
	for _, r := range pack.Resources {
		check("datapackage.json", r.Path, strings.TrimPrefix(r.Hash, "sha256:"), r.Bytes)
	}
	for line := range strings.Lines(string(data("all.sha256"))) {
		hash, path, _ := strings.Cut(strings.TrimSuffix(line, "\n"), "  ")
		check("all.sha256", path, hash, -1)
	}
	row := regexp.MustCompile(`<th scope="row"[^>]*><a href="([^"]*)">.*?<code>([0-9a-f]{64})</code>`)
	for _, m := range row.FindAllStringSubmatch(string(data("index.html")), -1) {
		path, err := url.PathUnescape(m[1])
		if err != nil {
			t.Error(err)
		}
		check("the page", path, m[2], -1)
	}
	// What stands in the folder, and the lists that each must be in.
	err := fs.WalkDir(os.DirFS(site+"/data"), ".", func(path string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() || path == "index.html" {
			return err
		}
		lists := []string{"index.json", "all.sha256"}
		switch folder, _, _ := strings.Cut(path, "/"); folder {
		case "schemas":
			lists = []string{"all.sha256", "the page"}
		case "sums":
			lists = []string{"index.json", "the page"}
		case "CITATION.cff", "all.sha256", "datapackage.json", "dataset.zip", "index.json":
			lists = []string{"the page"}
		}
		if strings.HasSuffix(path, ".csv") && !strings.HasPrefix(path, "sums/") {
			lists = append(lists, "datapackage.json")
		}
		for _, list := range lists {
			if !slices.Contains(checked[path], list) {
				t.Errorf("%s is not in %s", path, list)
			}
		}
		delete(checked, path)
		return nil
	})
	if err != nil || len(checked) > 0 {
		t.Errorf("%v; not published: %v", err, checked)
	}
}

// The archive holds every listed file and what describes them, and a second one
// made from what it holds is the same.
func TestArchiveIsWhole(t *testing.T) {
	site := publish(t)
	archive, err := os.ReadFile(site + "/data/dataset.zip")
	if err != nil {
		t.Fatal(err)
	}
	r, err := zip.NewReader(bytes.NewReader(archive), int64(len(archive)))
	if err != nil {
		t.Fatal(err)
	}
	dataset := t.TempDir()
	if err := os.CopyFS(dataset, r); err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(readText(t, site+"/data/all.sha256")) {
		_, path, _ := strings.Cut(strings.TrimSpace(line), "  ")
		if readText(t, dataset+"/dataset/"+path) != readText(t, site+"/data/"+path) {
			t.Errorf("%s is not what was published", path)
		}
	}
	run(t, "-d", dataset+"/dataset", "derive", "--verify")
	again := t.TempDir() + "/site"
	run(t, "-d", dataset+"/dataset", "publish", "-o", again)
	if readText(t, again+"/data/dataset.zip") != string(archive) {
		t.Error("the archive of what the archive holds is another")
	}
}

func readText(t testing.TB, path string) string {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// The feed names every session once and leads to its page.
func TestFeedOfTheDemonstration(t *testing.T) {
	site := publish(t)
	var feed struct {
		Entries []struct {
			ID   string `xml:"id"`
			Link struct {
				Href string `xml:"href,attr"`
			} `xml:"link"`
		} `xml:"entry"`
	}
	if err := xml.Unmarshal([]byte(readText(t, site+"/feed.xml")), &feed); err != nil {
		t.Fatal(err)
	}
	sessions, err := os.ReadDir("../../data/sessions")
	if err != nil || len(feed.Entries) != len(sessions) {
		t.Fatalf("%d entries, %d sessions: %v", len(feed.Entries), len(sessions), err)
	}
	ids := map[string]bool{}
	for _, e := range feed.Entries {
		ids[e.ID] = true
		readText(t, site+"/"+e.Link.Href)
	}
	if len(ids) != len(sessions) {
		t.Errorf("%d ids", len(ids))
	}
}
