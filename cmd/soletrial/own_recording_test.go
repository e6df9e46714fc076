package main_test

import (
	"encoding/base64"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/recording"
	"soletrial/pipeline/recording/fittest"
)

func TestExplorerKeepsViews(t *testing.T) {
	t.Parallel()
	server := serve(t, publish(t))
	for _, width := range widths {
		p := open(t, server, width)
		p.visit("#session=2026-03-07-power&head_s=90&drift=none")
		p.changesMore()
		p.set("#view-name", "Späte Fenster <b>")
		p.do(chromedp.KeyEvent(kb.Tab), chromedp.KeyEvent(kb.Enter))
		p.until(`document.getElementById("open-1")`)
		p.do(chromedp.Click(chromedp.CSS("#do-reset")))
		p.until(`location.hash === "#session=2026-03-07-power"`)
		p.again()
		if name := p.text("#open-1"); name != "Späte Fenster <b>" {
			t.Errorf("after a reload the view is called %q", name)
		}
		p.changesMore()
		p.do(chromedp.Click(chromedp.CSS("#open-1")))
		p.until(`location.hash.startsWith("#session=2026-03-07-power&head_s=90&drift=none&title=Sp")`)
		p.do(chromedp.Click(chromedp.CSS("#drop-1")))
		p.until(`!document.getElementById("open-1")`)
		p.until(`/is deleted/.test(document.getElementById("explorer-status").textContent)`)
		p.again()
		if value[bool](p, `document.getElementById("open-1") !== null`) {
			t.Error("a deleted view comes back")
		}
		p.unfaulted()
	}
}

// again leaves the explorer and comes back.
func (p *tab) again() {
	p.t.Helper()
	p.do(chromedp.Navigate(p.root + "index.html"))
	p.visit("")
}

func TestExplorerViewsWithoutStorage(t *testing.T) {
	t.Parallel()
	p := open(t, serve(t, publish(t)), 1280)
	p.lacks("indexedDB")
	p.visit("")
	p.set("#view-name", "x")
	p.do(chromedp.Click(chromedp.CSS("#do-keep")))
	p.until(`document.getElementById("open-1")`)
	p.until(`/until this page is closed/.test(document.getElementById("explorer-status").textContent)`)
	if strings.Contains(p.status(), "saved in this browser") {
		t.Errorf("the status line reads %q", p.status())
	}
	p.unfaulted()
}

// witness is a static server that notes every request: what a browser sends comes
// here or, the tests' browser knowing no other host, nowhere.
type witness struct {
	*httptest.Server
	mu   sync.Mutex
	seen []string
}

func witnessed(t testing.TB, site string) *witness {
	w := &witness{}
	files := http.StripPrefix(below, http.FileServer(http.Dir(site)))
	w.Server = httptest.NewServer(http.HandlerFunc(func(out http.ResponseWriter, r *http.Request) {
		w.mu.Lock()
		w.seen = append(w.seen, fmt.Sprintf("%s %s %d", r.Method, r.URL.RequestURI(), r.ContentLength))
		w.mu.Unlock()
		files.ServeHTTP(out, r)
	}))
	t.Cleanup(w.Close)
	return w
}

// since lists the requests after the first n, each once.
func (w *witness) since(n int) []string {
	w.mu.Lock()
	defer w.mu.Unlock()
	list := slices.Clone(w.seen[n:])
	slices.Sort(list)
	return slices.Compact(list)
}

// onlyConverter checks that nothing but the converter was asked for since there were n requests.
func (w *witness) onlyConverter(t *testing.T, n int, what string) {
	t.Helper()
	for _, request := range w.since(n) {
		path := strings.TrimSuffix(strings.TrimPrefix(request, "GET "+below+"explorer/"), " 0")
		// A browser asks by itself, some time after a visit, whether there is a newer service worker.
		if !slices.Contains([]string{"convert.js", "convert.wasm.gz", "wasm_exec.js", "sw.js",
			"GET " + below + "sw.js"}, path) {
			t.Errorf("%s costs the request %q", what, request)
		}
	}
}

func (w *witness) count() int {
	w.mu.Lock()
	defer w.mu.Unlock()
	return len(w.seen)
}

// give chooses a file in the file input, as a person would, or drops it on the page.
func (p *tab) give(name, content string, drop bool) {
	p.t.Helper()
	value[bool](p, fmt.Sprintf(`(() => {
		const give = new DataTransfer();
		give.items.add(new File([Uint8Array.from(atob(%q), (c) => c.charCodeAt(0))], %q));
		if (%v) return document.querySelector("h1").dispatchEvent(new DragEvent("drop", {bubbles: true,
			cancelable: true, dataTransfer: give})) || true;
		const input = document.getElementById("own-file");
		input.files = give.files;
		return input.dispatchEvent(new Event("change", {bubbles: true}));
	})()`, base64.StdEncoding.EncodeToString([]byte(content)), name, drop))
}

// database opens the explorer's database and does work with it in JavaScript,
// which calls done with the answer; base64 turns bytes into text.
func database(work string) string {
	return `await new Promise(async (done, fail) => {
		const base64 = (bytes) => btoa(Array.from(bytes, (b) => String.fromCharCode(b)).join(""));
		const name = (await indexedDB.databases()).find((d) => d.name.startsWith("soletrial ")).name;
		const open = indexedDB.open(name);
		open.onerror = () => fail(open.error);
		open.onsuccess = () => { const db = open.result; const close = (v) => { db.close(); done(v); }; ` + work + ` };
	})`
}

// stored is true once what the browser keeps under a key ends in a text, or is
// empty where none is given.
func stored(key, ending string) string {
	return database(fmt.Sprintf(`const get = db.transaction("own").objectStore("own").get(%q);
		get.onsuccess = () => { const text = new TextDecoder().decode(get.result);
			close(%q === "" ? text === "" : text.endsWith(%q)); };`, key, ending, ending))
}

// keptBytes returns everything that the browser keeps of the reader's own, by key.
func (p *tab) keptBytes() map[string][]byte {
	p.t.Helper()
	texts := value[map[string]string](p,
		`(async () => (`+database(`const found = {}, cursor = db.transaction("own").objectStore("own").openCursor();
		cursor.onsuccess = () => { const at = cursor.result; if (!at) return close(found);
			found[at.key] = base64(at.value); at.continue(); };`)+`))()`)
	kept := map[string][]byte{}
	for key, text := range texts {
		var err error
		if kept[key], err = base64.StdEncoding.DecodeString(text); err != nil {
			p.t.Fatal(err)
		}
	}
	return kept
}

// wears types the shoes into the first blocks by keyboard, from the first shoe on.
func (p *tab) wears(shoes ...string) {
	p.t.Helper()
	p.do(chromedp.Focus(chromedp.CSS("#own-shoe-1")))
	for i, shoe := range shoes {
		for at := fmt.Sprintf("own-shoe-%d", i+1); value[string](p, `document.activeElement.id`) != at; {
			p.do(chromedp.KeyEvent(kb.Tab))
		}
		p.do(chromedp.KeyEvent(shoe))
	}
}

func TestExplorerOwnRecordingStaysHere(t *testing.T) {
	t.Parallel()
	site := publish(t)
	text, err := os.ReadFile(filepath.Join(site, "data/sessions/2026-03-07-power/foot_sensor.csv"))
	if err != nil {
		t.Fatal(err)
	}
	server := witnessed(t, site)
	for _, width := range widths {
		p := open(t, server.Server, width)
		p.explore("")
		p.until(`navigator.serviceWorker.controller`)
		before := server.count()
		p.give("bad.csv", "elapsed_s,power_w\n0,a lot\n", false)
		p.until(`/bad.csv:2/.test(document.getElementById("own-notice").textContent)`)
		p.give("<b>mine</b>.csv", string(text), width == 390)
		p.until(`document.getElementById("own-blocks")`)
		// The demonstration's blocks are found by their power.
		if rows := value[int](p, `document.querySelectorAll("#own-blocks tbody tr").length`); rows < 6 {
			t.Errorf("at %d px %d blocks are proposed", width, rows)
		}
		p.wears("Red", "Blue", "Blue", "Red")
		p.until(`document.querySelectorAll("#own-table tbody tr").length === 1 && // no longer one with half a name
			/Red against Blue|Blue against Red/.test(document.getElementById("own-table").textContent)`)
		if words := p.text("#own-table tbody"); !strings.Contains(words, "against") || !strings.Contains(words, "%") {
			t.Errorf("at %d px the comparison reads %q", width, words)
		}
		if across := value[int](p, `document.documentElement.scrollWidth`); across > width {
			t.Errorf("at %d px the page is %d px wide", width, across)
		}
		server.onlyConverter(t, before, "a recording of one's own")
		words := p.text("#own-table")
		p.until(database(`const get = db.transaction("own").objectStore("own").get("recording cut");
			get.onsuccess = () => close(/Red.*\nBlue.*\nBlue.*\nRed/.test(new TextDecoder().decode(get.result)));`))
		p.again()
		p.until(`document.getElementById("own-table")`)
		if again := p.text("#own-table"); again != words {
			t.Errorf("after a reload the comparison reads %q, before %q", again, words)
		}
		p.do(chromedp.Click(chromedp.CSS("#do-own-forget")))
		p.until(`!document.getElementById("own-blocks")`)
		p.until(stored("recording", ""))
		p.again()
		if value[bool](p, `document.getElementById("own-blocks") !== null`) {
			t.Error("a deleted recording comes back")
		}
		p.unfaulted()
	}
}

// A FIT file with positions, the owner's name and the device's number: what is
// kept is what import writes, and nothing is sent but requests for the converter.
func TestExplorerOwnFIT(t *testing.T) {
	t.Parallel()
	server := witnessed(t, publish(t))
	fit := fittest.Run(fittest.Spec{Blocks: 4, BlockS: 300, NativePower: true, Positions: true,
		Owner: "Ulla Untold", Serial: 3141592653})
	wanted, err := recording.Read("morning.fit", fit, recording.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, width := range widths {
		p := open(t, server.Server, width)
		p.explore("")
		p.until(`navigator.serviceWorker.controller`)
		before := server.count()
		p.give("morning.fit", string(fit), width == 390)
		p.until(`document.querySelectorAll("#own-blocks tbody tr").length === 4`)
		server.onlyConverter(t, before, "a FIT file")
		before = server.count()
		if notice := p.text("#own-notice"); !strings.Contains(notice, "4 blocks proposed") ||
			!strings.Contains(notice, "stays in this browser") {
			t.Errorf("at %d px the notice reads %q", width, notice)
		}
		if notes := p.text("#own-notes"); !strings.Contains(notes, "positions") {
			t.Errorf("at %d px the notes do not name the positions: %q", width, notes)
		}
		if row := p.text("#own-blocks tbody tr"); !strings.Contains(row, "lap 1") {
			t.Errorf("at %d px the first block reads %q", width, row)
		}
		p.wears("Red", "Blue", "Blue", "Red")
		p.until(`document.getElementById("own-table")`)
		p.until(database(`const get = db.transaction("own").objectStore("own").get("recording");
			get.onsuccess = () => close(get.result?.byteLength > 0);`))
		p.until(database(`const get = db.transaction("own").objectStore("own").get("recording cut");
			get.onsuccess = () => close(/Red.*\nBlue.*\nBlue.*\nRed/.test(new TextDecoder().decode(get.result)));`))
		kept := p.keptBytes()
		if string(kept["recording"]) != string(plaintext.AppendSamples(nil, wanted.Samples)) {
			t.Errorf("at %d px %d bytes are kept, not what import writes", width, len(kept["recording"]))
		}
		for key, bytes := range kept {
			for _, secret := range []string{"Ulla", "Untold", "3141592653", ".FIT", "lat"} {
				if strings.Contains(strings.ReplaceAll(string(bytes), "oscillation", ""), secret) {
					t.Errorf("at %d px %q is kept under %q", width, secret, key)
				}
			}
		}
		server.onlyConverter(t, before, fmt.Sprintf("comparing at %d px", width))
		p.unfaulted()
	}
}

// The first block's end is dragged, with a finger on a phone, and the table and
// the comparison follow; a stretch is brought closer first.
func TestExplorerOwnBlocksAreDragged(t *testing.T) {
	t.Parallel()
	server := serve(t, publish(t))
	fit := fittest.Run(fittest.Spec{Blocks: 4, BlockS: 300, NativePower: true})
	for _, width := range widths {
		p := open(t, server, width)
		p.visit("")
		p.give("morning.fit", string(fit), false)
		p.until(`document.getElementById("own-plot")`)
		p.wears("Red", "Blue", "Blue", "Red")
		p.until(`document.getElementById("own-table")`)
		before := value[string](p, `document.getElementById("own-end-1").value`)
		p.do(chromedp.Click(chromedp.CSS("#own-zoom-in")), chromedp.Click(chromedp.CSS("#own-zoom-left")))
		p.until(
			`/ to /.test(document.querySelector("#own-trace .in-view").textContent) &&
				document.getElementById("own-edge-end-1")`,
		)
		p.drag("#own-edge-end-1", -30, width == 390)
		p.until(fmt.Sprintf(`document.getElementById("own-end-1").value !== %q`, before))
		p.do(chromedp.Focus(chromedp.CSS("#own-end-1")))
		p.set("#own-end-1", "4:00")
		p.until(`document.getElementById("own-edge-end-1")`)
		p.do(chromedp.Focus(chromedp.CSS("#own-zoom-all")), chromedp.KeyEvent(kb.Enter))
		p.until(`/^0:00 to /.test(document.querySelector("#own-trace .in-view").textContent)`)
		p.point("#own-plot", 7, "move@0.3")
		p.until(`/power \d+/.test(document.querySelector("#own-trace figcaption").textContent)`)
		if folder := os.Getenv("SOLETRIAL_SHOTS"); folder != "" {
			shoot(p, filepath.Join(folder, fmt.Sprintf("own-%d.png", width)))
		}
		if across := value[int](p, `document.documentElement.scrollWidth`); across > width {
			t.Errorf("at %d px the page is %d px wide", width, across)
		}
		p.unfaulted()
	}
}

func TestExplorerOwnForeignFiles(t *testing.T) {
	t.Parallel()
	p := open(t, serve(t, publish(t)), 390)
	p.visit("")
	p.give("cut.gpx", `<?xml version="1.0"?><gpx><trk>`, false)
	p.until(`/cut\.gpx:/.test(document.getElementById("own-notice").textContent)`)
	if notice := p.text("#own-notice"); !strings.Contains(notice, "cannot be read") || !strings.Contains(notice, "(") {
		t.Errorf("a GPX file that is cut off: %q", notice)
	}
	p.give("watch.csv", "Time (s);Power (W);Speed (km/h)\n0;250;14,4\n1;251;14,4\n", true)
	p.until(`/watch\.csv.*2 samples/.test(document.getElementById("own-notice").textContent)`)
	if notes := p.text("#own-notes"); !strings.Contains(notes, "km/h") {
		t.Errorf("the notes read %q", notes)
	}
	// While the next file is read, the blocks of this one are out of reach.
	value[bool](p, `(() => { window.inReach = false; return !!new MutationObserver(() => {
		window.inReach ||= /^(Fetching what reads|Reading) /.test(document.getElementById("own-notice").textContent) &&
			!!document.getElementById("own-blocks"); }).observe(document.body, {subtree: true, childList: true,
			characterData: true}) || true; })()`)
	p.give("morning.gpx",
		`<gpx><trk><trkseg><trkpt lat="61.123456" lon="5.654321"><time>2026-05-01T17:30:00Z</time>`+
			`<extensions><hr>150</hr></extensions></trkpt><trkpt lat="61.123556" lon="5.654421">`+
			`<time>2026-05-01T17:30:05Z</time><extensions><hr>151</hr></extensions></trkpt></trkseg></trk></gpx>`,
		false)
	p.until(`/morning\.gpx.*2 samples/.test(document.getElementById("own-notice").textContent)`)
	if value[bool](p, `window.inReach`) {
		t.Error("blocks can be typed that are lost once the next file is read")
	}
	p.until(database(`const get = db.transaction("own").objectStore("own").get("recording");
		get.onsuccess = () => close(/151/.test(new TextDecoder().decode(get.result)));`))
	for key, bytes := range p.keptBytes() {
		if strings.Contains(string(bytes), "61.12") || strings.Contains(string(bytes), "5.65") {
			t.Errorf("a position is kept under %q: %q", key, bytes)
		}
	}
	p.unfaulted()
}

// Once fetched the converter is there without a connection; before, the explorer
// says what to do, and reads CSV in the project's own form all the same.
func TestExplorerOwnOffline(t *testing.T) {
	t.Parallel()
	site := publish(t)
	fit := fittest.Run(fittest.Spec{Blocks: 4, NativePower: true})
	server := serve(t, site)
	p := open(t, server, 390)
	p.explore("")
	p.until(`navigator.serviceWorker.controller`)
	p.give("one.fit", string(fit), false)
	p.until(`document.getElementById("own-blocks")`)
	other := open(t, server, 390)
	other.explore("")
	other.until(`navigator.serviceWorker.controller`)
	server.Close()
	p.do(chromedp.Reload())
	p.settled()
	p.give("two.fit", string(fit), false)
	p.until(`/two\.fit.*4 blocks/.test(document.getElementById("own-notice").textContent)`)
	p.unfaulted("data/index.json")

	other.do(chromedp.Reload())
	other.settled()
	other.give("two.fit", string(fit), false)
	other.until(`/could not be fetched.*Check the connection/.test(document.getElementById("own-notice").textContent)`)
	other.give("mine.csv", ("elapsed_s,power_w\n0,250\n1,251\n"), false)
	other.until(`/mine\.csv.*2 samples.*write them/.test(document.getElementById("own-notice").textContent)`)
	other.unfaulted("data/index.json", "convert.js")
}
