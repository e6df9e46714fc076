package main_test

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// counter is a server that packs what it sends as serve does, and counts it.
type counter struct {
	*httptest.Server
	mu    sync.Mutex
	paths []string       // as they were asked for
	sizes map[string]int // bytes sent for a path, all its requests together
	slow  atomic.Int64   // how long every recording waits, ms
}

func counted(t testing.TB, site string) *counter {
	t.Helper()
	c := &counter{sizes: map[string]int{}}
	c.Server = httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		path := strings.TrimPrefix(r.URL.Path, below)
		file := filepath.Join(site, filepath.FromSlash(path))
		if strings.HasSuffix(path, "/") {
			file = filepath.Join(file, "index.html")
		}
		body, err := os.ReadFile(file)
		if err != nil {
			http.NotFound(w, r)
			return
		}
		if strings.HasSuffix(path, "foot_sensor.csv") {
			time.Sleep(time.Duration(c.slow.Load()) * time.Millisecond)
		}
		if !strings.HasSuffix(path, ".gz") {
			var packed bytes.Buffer
			z := gzip.NewWriter(&packed)
			z.Write(body)
			z.Close()
			body = packed.Bytes()
			w.Header().Set("Content-Encoding", "gzip")
		}
		c.mu.Lock()
		c.paths = append(c.paths, path)
		c.sizes[path] += len(body)
		c.mu.Unlock()
		http.ServeContent(w, r, filepath.Base(file), time.Time{}, bytes.NewReader(body))
	}))
	t.Cleanup(c.Close)
	return c
}

// all lists what was asked for, in that order, and counts the bytes sent.
func (c *counter) all() (paths []string, bytes int) {
	c.mu.Lock()
	defer c.mu.Unlock()
	for _, n := range c.sizes {
		bytes += n
	}
	return slices.Clone(c.paths), bytes
}

// needed lists what the page had asked for when its controls could be used, and counts the
// bytes that were sent for it. The page itself says when that was, see [tab.notesWhenUsable].
func (c *counter) needed(p *tab) (paths []string, bytes int) {
	p.t.Helper()
	p.until(`window.usableAt > 0`)
	for _, address := range value[[]string](p, `[location.href.replace(/#.*/, ""), ...performance
		.getEntriesByType("resource").filter((e) => e.startTime < usableAt).map((e) => e.name)]`) {
		paths = append(paths, strings.TrimPrefix(address, p.root))
	}
	paths = append(paths, "explorer/soletrial.wasm.gz") // a worker asks for it, which the page does not list
	slices.Sort(paths)
	paths = slices.Compact(paths)
	c.mu.Lock()
	defer c.mu.Unlock()
	for _, path := range paths {
		if c.sizes[path] == 0 {
			p.t.Errorf("%s was needed, and not sent", path)
		}
		bytes += c.sizes[path]
	}
	return paths, bytes
}

// notesWhenUsable makes pages note when the explorer's controls can be used.
func (p *tab) notesWhenUsable() {
	p.t.Helper()
	p.before(`window.usableAt = 0; new MutationObserver(() => {
		if (!usableAt && document.getElementById("explorer-status")?.dataset.state === "running")
			usableAt = performance.now();
	}).observe(document, {subtree: true, childList: true, attributes: true});`)
}

// savesData makes the browser say on the pages to come that its reader saves data, until the
// function returned is called.
func (p *tab) savesData() (end func()) {
	p.t.Helper()
	return p.before(`Object.defineProperty(Navigator.prototype, "connection", {value: {saveData: true}})`)
}

// bulk publishes a hundred made sessions of a quarter of an hour.
func bulk(t testing.TB) string {
	t.Helper()
	dataset, site := filepath.Join(t.TempDir(), "data"), filepath.Join(t.TempDir(), "public")
	if out, err := exec.Command("go", "run", "../../scripts/bulk", "-o", dataset, "-sessions", "100", "-minutes",
		"15", "-seed", "7").CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	run(t, "-d", dataset, "derive")
	run(t, "-d", dataset, "publish", "-o", site)
	return site
}

// recorded lists the sessions of which any file is among the paths, in the order in which
// they were asked for.
func recorded(paths []string) []string {
	var sessions []string
	for _, path := range paths {
		if rest, inside := strings.CutPrefix(path, "data/sessions/"); inside {
			if session, _, _ := strings.Cut(rest, "/"); !slices.Contains(sessions, session) {
				sessions = append(sessions, session)
			}
		}
	}
	return sessions
}

// A dataset of 100 sessions can be used once its index, the registers, the two tables that are
// shown and the sums are there: no session is among them. The session shown comes next, then,
// in idle time and without a button, everything else, and proves every table.
func TestExplorerOpensAHundredSessions(t *testing.T) {
	t.Parallel()
	server := counted(t, bulk(t))
	p := open(t, server.Server, 1280)
	p.notesWhenUsable()
	p.do(chromedp.Navigate(p.root + "explorer/"))
	paths, opened := server.needed(p)
	if len(recorded(paths)) > 0 || len(paths) > 20 {
		t.Errorf("opening needs %q", paths)
	}
	for _, path := range paths {
		if strings.HasPrefix(path, "data/derived/") && path != "data/derived/ranking.csv" &&
			path != "data/derived/blocks.csv" {
			t.Errorf("opening needs %s", path)
		}
	}
	p.arrived()
	published := p.text(yours)
	if options := value[int](p, `document.querySelectorAll("#choose-session option").length`); options != 100 {
		t.Errorf("%d sessions can be chosen", options)
	}
	if value[bool](p, `document.getElementById("do-derive") !== null`) {
		t.Error("there is a button for what is done by itself")
	}
	p.untilWithin(10*patience, // a hundred sessions are much to recompute
		`/^Recomputed here/.test(document.getElementById("explorer-status").textContent)`)
	if status := p.status(); !strings.Contains(status, "identical to the published tables (11 tables") {
		t.Errorf("the status line reads %q", status)
	}
	if derived := p.text(yours); derived != published {
		t.Errorf("derived the answer reads\n%.2000s\nas published\n%.2000s", derived, published)
	}
	if dots := value[int](p, painted); dots < 100 {
		t.Errorf("the traces have %d dots", dots)
	}
	paths, all := server.all()
	sessions := recorded(paths)
	if len(sessions) != 100 || sessions[0] != value[string](p, `document.getElementById("choose-session").value`) {
		t.Errorf("%d sessions were fetched, %q first", len(sessions), sessions[0])
	}
	once := slices.DeleteFunc(paths, func(path string) bool { return !strings.HasPrefix(path, "data/sessions/") })
	slices.Sort(once)
	if n := len(once); len(slices.Compact(once)) != n {
		t.Errorf("files of sessions were fetched more than once in %d requests", n)
	}
	t.Logf("opened with %d bytes, %d with everything", opened, all)
	p.unfaulted()
}

// A reader who saves data is asked first: without the button nothing is fetched but the
// sessions shown.
func TestExplorerSavesDataWhenAsked(t *testing.T) {
	t.Parallel()
	server := counted(t, publish(t))
	p := open(t, server.Server, 390)
	p.savesData()
	p.do(chromedp.Navigate(p.root + "explorer/"))
	p.until(`/: 1 of 8 sessions/.test(document.getElementById("explorer-status").textContent)`)
	if status := p.status(); !strings.HasPrefix(status, "Published numbers, checked. The tables shown have the "+
		"SHA-256 that the index gives. Recomputed here from the samples: 1 of 8 sessions, whose rows in blocks.csv "+
		"are the published ones; the rest as published.") {
		t.Errorf("the status line reads %q", status)
	}
	value[bool](p, `(() => { const s = document.getElementById("choose-session"); s.selectedIndex = 3;
		return s.dispatchEvent(new Event("change", {bubbles: true})); })()`)
	p.until(`/: 2 of 8 sessions/.test(document.getElementById("explorer-status").textContent)`)
	p.set("#trim-head_s", "90")
	p.until(`/From 5-second sums, close to/.test(document.getElementById("explorer-status").textContent)`)
	if paths, _ := server.all(); len(recorded(paths)) != 2 {
		t.Errorf("unasked it fetches %q", recorded(paths))
	}
	if label := p.text("#do-derive"); !strings.HasPrefix(label, "Fetch all 8 sessions and recompute them here (up") {
		t.Errorf("the button reads %q", label)
	}
	server.slow.Store(500)
	value[bool](p, `document.getElementById("do-derive").click() === undefined`)
	p.until(`/Loading file [0-9]+ of [0-9]+/.test(document.getElementById("explorer-status").textContent)`)
	server.slow.Store(0)
	p.until(`document.getElementById("proof-table")`)
	p.unfaulted()
}

// What a first visit costs on the demonstration dataset, counted where it is sent: the program
// and what the controls need to be usable, and the rest, which comes in idle time.
func TestExplorerFirstVisitIsSmall(t *testing.T) {
	const (
		forControls = 1_767_000 // the program has a budget of its own, see scripts/viewer
		forData     = 60_000    // index, registers, two tables, sums
		inIdleTime  = 1_000_000 // the samples of all sessions
	)
	server := counted(t, publish(t))
	p := open(t, server.Server, 390)
	p.notesWhenUsable()
	p.do(chromedp.Navigate(p.root + "explorer/"))
	paths, needed := server.needed(p)
	if len(recorded(paths)) > 0 || !slices.Contains(paths, "data/sums/2026.csv") ||
		!slices.Contains(paths, "explorer/soletrial.wasm.gz") {
		t.Errorf("before its controls can be used it fetches %q", paths)
	}
	p.until(`document.getElementById("proof-table")`)
	p.until(`navigator.serviceWorker.controller`)
	p.until(`(await caches.keys()).length === 1`)
	asked, all := server.all()
	data := 0
	for _, path := range paths {
		if strings.HasPrefix(path, "data/") {
			data += server.sizes[path]
		}
	}
	if len(recorded(asked)) != 8 {
		t.Errorf("in idle time it fetches %q", recorded(asked))
	}
	if needed > forControls || data > forData || data < 10_000 || all-needed > inIdleTime || all-needed < 100_000 {
		t.Errorf("the controls cost %d bytes, %d of data among them, and the idle time %d: %q", needed, data,
			all-needed, asked)
	}
	t.Logf("usable with %d bytes, %d of them data; %d in idle time", needed, data, all-needed)
	p.unfaulted()
}

// A change is answered from the sums at once, and exact when the samples are there; the
// control stays where it was left. So is a link that carries a change.
func TestExplorerFetchesWhatAChangeNeeds(t *testing.T) {
	t.Parallel()
	server := counted(t, publish(t))
	server.slow.Store(4000) // from the first request for a session on
	p := open(t, server.Server, 390)
	p.do(chromedp.Navigate(p.root + "explorer/"))
	p.arrived()
	if found := p.text(yours); strings.Contains(found, "→") {
		t.Errorf("the answer reads %.300q", found)
	}
	p.set("#trim-head_s", "140")
	p.until(`location.hash.includes("head_s=140")`)
	if status := p.status(); !strings.Contains(status, "From 5-second sums; exact in a moment.") {
		t.Errorf("before the samples are there the status line reads %q", status)
	}
	server.slow.Store(0)
	p.until(`document.getElementById("proof-table")`)
	p.until(`!/5-second sums/.test(document.getElementById("explorer-status").textContent)`)
	if value := value[string](p, `document.getElementById("trim-head_s-slider").value`); value != "140" {
		t.Errorf("once the samples are there the slider stands at %s", value)
	}
	changed := p.text(yours)
	p.unfaulted()

	other := open(t, server.Server, 390)
	other.do(chromedp.Navigate(other.root + "explorer/#head_s=140"))
	other.until(
		`document.querySelector("#proof-table") &&
			/^Your version/.test(document.getElementById("explorer-status").textContent)`,
	)
	other.until(`!/5-second sums/.test(document.getElementById("explorer-status").textContent)`)
	if linked := other.text(yours); linked != changed {
		t.Errorf("the link reads\n%.1000s\nthe change\n%.1000s", linked, changed)
	}
	other.do(chromedp.Navigate(other.root+"index.html"), chromedp.Navigate(other.root+"explorer/"))
	other.settled()
	if status := other.status(); !strings.HasPrefix(status, "Recomputed here, identical") {
		t.Errorf("with everything kept the status line reads %q", status)
	}
	other.unfaulted()
}

// A link to a session shows that one, with those laid over it, before all others.
func TestExplorerLinkFetchesItsSessions(t *testing.T) {
	t.Parallel()
	server := counted(t, publish(t))
	p := open(t, server.Server, 390)
	p.do(chromedp.Navigate(p.root + "explorer/#session=2026-03-07-power&beside=2026-03-14-power"))
	p.arrived()
	p.until(`document.querySelector("#blocks-table")`)
	if legend := p.text("section[aria-labelledby=session-title]"); !strings.Contains(legend, "2026-03-14-power") {
		t.Errorf("the session reads %.300q", legend)
	}
	paths, _ := server.all()
	first := recorded(paths)[:2]
	slices.Sort(first)
	if got := fmt.Sprint(first); got != "[2026-03-07-power 2026-03-14-power]" {
		t.Errorf("fetched are %s first", got)
	}
	p.unfaulted()
}
