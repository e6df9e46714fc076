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
	paths []string
	bytes int
	slow  atomic.Int64 // how long every recording waits, ms
}

func counted(t testing.TB, site string) *counter {
	t.Helper()
	c := &counter{}
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
		if strings.HasSuffix(path, "pod.csv") {
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
		c.paths, c.bytes = append(c.paths, path), c.bytes+len(body)
		c.mu.Unlock()
		http.ServeContent(w, r, filepath.Base(file), time.Time{}, bytes.NewReader(body))
	}))
	t.Cleanup(c.Close)
	return c
}

// data lists what was asked for below data/, and counts all bytes sent.
func (c *counter) data() (paths []string, bytes int) {
	c.mu.Lock()
	defer c.mu.Unlock()
	for _, path := range c.paths {
		if rest, inside := strings.CutPrefix(path, "data/"); inside {
			paths = append(paths, rest)
		}
	}
	slices.Sort(paths)
	return paths, c.bytes
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

// recorded lists the sessions of which any file is among the paths.
func recorded(paths []string) []string {
	var sessions []string
	for _, path := range paths {
		if rest, inside := strings.CutPrefix(path, "sessions/"); inside {
			session, _, _ := strings.Cut(rest, "/")
			sessions = append(sessions, session)
		}
	}
	return slices.Compact(sessions)
}

// A dataset of 100 sessions opens with its index, the two tables that are shown and
// one session. The button brings the rest and proves every table.
func TestExplorerOpensAHundredSessions(t *testing.T) {
	server := counted(t, bulk(t))
	p := open(t, server.Server, 1280)
	p.do(chromedp.Navigate(p.root + "explorer/"))
	p.arrived()
	paths, opened := server.data()
	if len(recorded(paths)) != 1 || len(paths) > 20 {
		t.Errorf("opening asks for %q", paths)
	}
	for _, path := range paths {
		if inside := strings.HasPrefix(path, "derived/"); inside && path != "derived/ranking.csv" &&
			path != "derived/blocks.csv" {
			t.Errorf("opening asks for %s", path)
		}
	}
	if dots := value[int](p, painted); dots < 100 {
		t.Errorf("the traces have %d dots", dots)
	}
	if status := p.status(); !strings.Contains(status,
		"Published numbers, checked. The tables shown have the SHA-256 that the index gives. Recomputed here from "+
			"the samples: 1 of 100 sessions, whose rows in blocks.csv are the published ones; the rest as published.") {
		t.Errorf("the status line reads %q", status)
	}
	published := p.text(yours)
	if options := value[int](p, `document.querySelectorAll("#choose-session option").length`); options != 100 {
		t.Errorf("%d sessions can be chosen", options)
	}
	if !strings.Contains(p.text("#do-derive"), "Fetch all 100 sessions and recompute them here (up to ") {
		t.Errorf("the button reads %q", p.text("#do-derive"))
	}

	value[bool](p, `(() => { const s = document.getElementById("choose-session"); s.selectedIndex = 3;
		return s.dispatchEvent(new Event("change", {bubbles: true})); })()`)
	p.until(`/2 of 100 sessions/.test(document.getElementById("explorer-status").textContent)`)
	if paths, _ = server.data(); len(recorded(paths)) != 2 {
		t.Errorf("another session leads to those of %q", recorded(paths))
	}

	value[bool](p, `document.getElementById("do-derive").click() === undefined`)
	p.until(
		`/Loading file [0-9]+ of [0-9]+|Running the analysis again/
			.test(document.getElementById("explorer-status").textContent)`,
	)
	p.until(`/^Recomputed here/.test(document.getElementById("explorer-status").textContent)`)
	if status := p.status(); !strings.Contains(status, "identical to the published tables (11 tables") {
		t.Errorf("the status line reads %q", status)
	}
	if derived := p.text(yours); derived != published {
		t.Errorf("derived the comparisons read\n%.2000s\nas published\n%.2000s", derived, published)
	}
	paths, all := server.data()
	if len(recorded(paths)) != 100 || len(slices.Compact(paths)) != len(paths) {
		t.Errorf("%d sessions were fetched, in %d requests", len(recorded(paths)), len(paths))
	}
	t.Logf("opened with %d bytes, %d with everything", opened, all)
	p.unfaulted()
}

// A first visit to the explorer on the demonstration dataset costs at most 1.95 MB,
// counted where it is sent.
func TestExplorerFirstVisitIsSmall(t *testing.T) {
	server := counted(t, publish(t))
	p := open(t, server.Server, 390)
	p.do(chromedp.Navigate(p.root + "explorer/"))
	p.arrived()
	p.until(`navigator.serviceWorker.controller`)
	p.until(`(await caches.keys()).length === 1`)
	paths, bytes := server.data()
	if bytes > 1_950_000 || bytes < 500_000 {
		t.Errorf("a first visit costs %d bytes: %q", bytes, paths)
	}
	t.Logf("a first visit costs %d bytes", bytes)
	p.unfaulted()
}

// A change is answered from the sums at once, and exact when the samples are there; the
// control stays where it was left. So is a link that carries a change.
func TestExplorerFetchesWhatAChangeNeeds(t *testing.T) {
	server := counted(t, publish(t))
	p := open(t, server.Server, 390)
	p.do(chromedp.Navigate(p.root + "explorer/"))
	p.arrived()
	if found := p.text(yours); strings.Contains(found, "→") {
		t.Errorf("the answer reads %.300q", found)
	}
	server.slow.Store(4000)
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

// A link to a session shows that one, with those laid over it, and fetches no other.
func TestExplorerLinkFetchesItsSessions(t *testing.T) {
	server := counted(t, publish(t))
	p := open(t, server.Server, 390)
	p.do(chromedp.Navigate(p.root + "explorer/#session=2026-03-07-power&beside=2026-03-14-power"))
	p.arrived()
	paths, _ := server.data()
	if got := fmt.Sprint(recorded(paths)); got != "[2026-03-07-power 2026-03-14-power]" {
		t.Errorf("fetched are %s", got)
	}
	if legend := p.text("section[aria-labelledby=session-title]"); !strings.Contains(legend, "2026-03-14-power") {
		t.Errorf("the session reads %.300q", legend)
	}
	p.unfaulted()
}
