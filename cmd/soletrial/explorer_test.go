package main_test

import (
	"bytes"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// yours is the answer in numbers under the reader's choice, with what it was where that differs.
const yours = ".answer-table tbody"

// set types a value into a field as a person would.
func (p *tab) set(selector, text string) {
	p.t.Helper()
	p.do(chromedp.Focus(chromedp.CSS(selector)), chromedp.KeyEvent("a", chromedp.KeyModifiers(kb.ModifierCtrl)),
		chromedp.KeyEvent(text))
}

// changesMore opens the controls that a narrow window folds away.
func (p *tab) changesMore() {
	p.t.Helper()
	if value[bool](p, `!document.getElementById("more").open`) {
		p.do(chromedp.Click(chromedp.CSS("#more > summary")))
		p.until(`document.getElementById("more").open`)
	}
}

func TestExplorerProvesThePublishedTables(t *testing.T) {
	t.Parallel()
	p := open(t, serve(t, publish(t)), 1280)
	p.explore("")
	if status := p.status(); !strings.Contains(status, "identical to the published tables (11 tables") {
		t.Errorf("the status line reads %q", status)
	}
	if states := value[[]string](p,
		`[...document.querySelectorAll("#proof-table tbody td:nth-child(2)")].map(e => e.textContent)`); len(
		states) < 6 || strings.Trim(strings.Join(states, ""), "identcal") != "" {
		t.Errorf("the tables are %q", states)
	}
	if dots := value[int](p, painted); dots < 500 {
		t.Errorf("the traces have %d dots", dots)
	}
	if fragment := value[string](p, `location.hash`); fragment != "" {
		t.Errorf("the address of the published reading ends in %q", fragment)
	}
	p.unfaulted()
}

func TestExplorerTrimMovesNumbersAndAddress(t *testing.T) {
	t.Parallel()
	server := serve(t, publish(t))
	for _, width := range widths {
		t.Run(fmt.Sprint(width), func(t *testing.T) { testExplorerTrimMovesNumbersAndAddress(t, server, width) })
	}
}

func testExplorerTrimMovesNumbersAndAddress(t *testing.T, server *httptest.Server, width int) {
	p := open(t, server, width)
	p.explore("")
	if before := p.text(yours); strings.Contains(before, "→") {
		t.Errorf("before any change yours reads %q", before)
	}
	p.set("#trim-head_s", "150")
	p.until(`location.hash.includes("head_s=150")`)
	moved := p.text(yours)
	if !strings.Contains(moved, " → ") {
		t.Errorf("with 150 s trimmed, yours reads %q", moved)
	}
	if status := p.status(); !strings.Contains(status, "trim at the start 150 s instead of") {
		t.Errorf("the status line reads %q", status)
	}
	address := value[string](p, `location.href`)
	p.do(chromedp.Click(chromedp.CSS("#do-reset")))
	p.until(`location.hash === ""`)
	if after := p.text(yours); strings.Contains(after, "→") {
		t.Errorf("after going back yours reads %q", after)
	}
	p.do(chromedp.Click(chromedp.CSS("#do-undo")))
	p.until(`location.hash.includes("head_s=150")`)

	other := open(t, server, width)
	other.explore(address[strings.Index(address, "#"):])
	if linked := other.text(yours); linked != moved {
		t.Errorf("the linked reading gives %q, the one it was copied from %q", linked, moved)
	}
	p.unfaulted()
	other.unfaulted()
}

func TestExplorerBlocksAndReference(t *testing.T) {
	t.Parallel()
	server := serve(t, publish(t))
	for _, width := range widths {
		t.Run(fmt.Sprint(width), func(t *testing.T) { testExplorerBlocksAndReference(t, server, width) })
	}
}

func testExplorerBlocksAndReference(t *testing.T, server *httptest.Server, width int) {
	p := open(t, server, width)
	p.explore("#session=2026-03-07-power")
	p.do(chromedp.Click(chromedp.CSS("#block-2")))
	p.until(`location.hash.includes("out=2026-03-07-power/")`)
	if row := p.text("#blocks-table tbody tr:nth-child(2)"); !strings.Contains(row, "Why exclude it?") {
		t.Errorf("the excluded block reads %q", row)
	}
	p.do(chromedp.Click(chromedp.CSS("#plain")))
	p.until(`document.querySelector("#comparison-table td.blocks")`)
	if blocks := value[string](p, `[...document.querySelectorAll("#comparison-table td.blocks")]
		.map((cell) => cell.textContent).join(" ")`); !strings.Contains(blocks, "→") {
		t.Errorf("the numbers of blocks read %q", blocks)
	}
	before := p.text("#comparison-table tbody")
	chosen := value[string](p, `(() => { const s = document.getElementById("choose-reference");
		s.selectedIndex = (s.selectedIndex + 1) % s.options.length;
		s.dispatchEvent(new Event("change", {bubbles: true})); return s.value; })()`)
	p.until(`location.hash.includes("reference=` + chosen + `")`)
	if after := p.text("#comparison-table tbody"); after == before {
		t.Errorf("with another reference shoe the first rows still read %q", after)
	}
	p.unfaulted()
}

func TestExplorerKeyboard(t *testing.T) {
	t.Parallel()
	server := serve(t, publish(t))
	for _, width := range widths {
		t.Run(fmt.Sprint(width), func(t *testing.T) { testExplorerKeyboard(t, server, width) })
	}
}

func testExplorerKeyboard(t *testing.T, server *httptest.Server, width int) {
	p := open(t, server, width)
	p.visit("")
	value[chromedp.Void](p, `document.body.focus()`)
	for range 40 {
		p.do(chromedp.KeyEvent(kb.Tab))
		if value[string](p, `document.activeElement.id`) == "trim-head_s" {
			break
		}
	}
	if at := value[string](p, `document.activeElement.id`); at != "trim-head_s" {
		t.Fatalf("forty tabs lead to %q, not to the trim", at)
	}
	p.do(chromedp.KeyEvent("a", chromedp.KeyModifiers(kb.ModifierCtrl)), chromedp.KeyEvent("90"))
	p.until(`location.hash.includes("head_s=90")`)
	p.do(chromedp.KeyEvent(kb.Tab))
	if at := value[string](p, `document.activeElement.id`); at != "trim-head_s-slider" {
		t.Fatalf("the next tab leads to %q, not to the slider", at)
	}
	for range 5 {
		p.do(chromedp.KeyEvent(kb.ArrowRight))
	}
	p.until(`location.hash.includes("head_s=95")`)
	if field := value[string](p, `document.getElementById("trim-head_s").value`); field != "95" {
		t.Errorf("the field beside the slider reads %q", field)
	}
	if at := value[string](p, `document.activeElement.id`); at != "trim-head_s-slider" {
		t.Errorf("the slider lost the focus to %q", at)
	}
	p.unfaulted()
}

func TestExplorerOffline(t *testing.T) {
	t.Parallel()
	server := serve(t, publish(t))
	p := open(t, server, 1280)
	p.explore("#head_s=100")
	p.until(`navigator.serviceWorker.controller`)
	before := p.text(yours)
	server.Close()
	p.do(chromedp.Reload())
	p.settled()
	if after := p.text(yours); after != before {
		t.Errorf("without a connection yours reads %q, with one %q", after, before)
	}
	p.do(chromedp.Click(chromedp.CSS("#do-reset")))
	p.until(`/identical/.test(document.getElementById("explorer-status").textContent)`)
	if status := p.status(); !strings.Contains(status, "the copy that your browser kept") {
		t.Errorf("the status line reads %q", status)
	}
	p.unfaulted("data/index.json") // the browser itself notes that the newest index cannot be had
}

// change replaces bytes in a published file.
func change(t testing.TB, path string, edit func([]byte) []byte) {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	changed := edit(bytes.Clone(text))
	if bytes.Equal(changed, text) {
		t.Fatalf("nothing changed in %s", path)
	}
	if err := os.WriteFile(path, changed, 0o644); err != nil {
		t.Fatal(err)
	}
}

func TestExplorerTamperedTable(t *testing.T) {
	t.Parallel()
	site := publish(t)
	change(t, filepath.Join(site, "data/derived/comparisons.csv"), func(text []byte) []byte {
		return bytes.Replace(text, []byte("speed"), []byte("spead"), 1)
	})
	p := open(t, serve(t, site), 1280)
	p.explore("")
	if status := p.status(); !strings.Contains(status, "1 of 11 tables differ") || !strings.Contains(status,
		"comparisons.csv") {
		t.Errorf("the status line reads %q", status)
	}
	if row := p.text("#proof-table tr.differs"); !strings.Contains(row, "not the one its index names") ||
		!strings.Contains(row, "spead") {
		t.Errorf("the proof reads %q", row)
	}
	p.unfaulted()
}

func TestExplorerOtherTableInIndex(t *testing.T) {
	t.Parallel()
	site := publish(t)
	text, err := os.ReadFile(filepath.Join(site, "data/derived/blocks.csv"))
	if err != nil {
		t.Fatal(err)
	}
	other := bytes.Replace(text, []byte(",yes,"), []byte(",no,"), 1)
	change(t, filepath.Join(site, "data/derived/blocks.csv"), func([]byte) []byte { return other })
	change(t, filepath.Join(site, "data/index.json"), func(index []byte) []byte {
		return bytes.ReplaceAll(index, []byte(sha256Hex(text)), []byte(sha256Hex(other)))
	})
	p := open(t, serve(t, site), 1280)
	p.explore("")
	if status := p.status(); !strings.Contains(status, "1 of 11 tables differ from the published ones: blocks.csv") {
		t.Errorf("the status line reads %q", status)
	}
	if row := p.text("#proof-table tr.differs"); !strings.Contains(row, "differs from the published table") ||
		!strings.Contains(row, "Line 2") {
		t.Errorf("the proof reads %q", row)
	}
	p.unfaulted()
}

func TestExplorerDamagedRecording(t *testing.T) {
	t.Parallel()
	site := publish(t)
	recordings, err := filepath.Glob(filepath.Join(site, "data/sessions/2026-03-07-power/foot_sensor.csv"))
	if err != nil || len(recordings) != 1 {
		t.Fatalf("recordings %q, %v", recordings, err)
	}
	change(t, recordings[0], func(text []byte) []byte { text[len(text)/2] ^= 1; return text })
	p := open(t, serve(t, site), 1280)
	p.do(chromedp.Navigate(p.root + "explorer/"))
	p.arrived()
	p.until(`/could be fetched/.test(document.getElementById("explorer-status").textContent)`)
	if status := p.status(); !strings.Contains(status,
		"sessions/2026-03-07-power/foot_sensor.csv is not the file that was published") ||
		!strings.Contains(status, "reload the page") {
		t.Errorf("the status line reads %q", status)
	}
	if !value[bool](p, `document.getElementById("do-retry") !== null`) {
		t.Error("there is no way to try again")
	}
	p.set("#trim-head_s", "90") // the rest works
	p.until(`location.hash.includes("head_s=90")`)
	if moved := p.text(yours); !strings.Contains(moved, "→") {
		t.Errorf("with a damaged recording a change reads %q", moved)
	}
	p.unfaulted()
}

func TestExplorerFitsNarrowScreens(t *testing.T) {
	t.Parallel()
	p := open(t, serve(t, publish(t)), 320)
	p.visit("#head_s=90")
	for _, width := range []int{320, 390, 1280} {
		p.do(chromedp.EmulateViewport(int64(width), 900))
		p.until(fmt.Sprintf(`innerWidth === %d`, width))
		if across := value[int](p, `document.documentElement.scrollWidth`); across > width {
			t.Errorf("at %d px the page is %d px wide: %s", width, across,
				value[string](p, `[...document.querySelectorAll("main *")]
					.filter((e) => e.getBoundingClientRect().right > innerWidth && !e.closest(".scroll"))
				.map((e) => e.tagName + "#" + e.id + "." + e.className).join(" ")`))
		}
		if folder := os.Getenv("SOLETRIAL_SHOTS"); folder != "" {
			shoot(p, filepath.Join(folder, fmt.Sprintf("explorer-%d.png", width)))
		}
		p.unfaulted()
	}
}

// lacks makes the browser lack a global before any script runs.
func (p *tab) lacks(name string) {
	p.t.Helper()
	p.before(fmt.Sprintf("Object.defineProperty(globalThis, %q, {value: undefined})", name))
}

// before runs a script ahead of every page's own, until the function returned is called.
func (p *tab) before(text string) (end func()) {
	p.t.Helper()
	script := page.AddScriptToEvaluateOnNewDocumentParams{Source: text}
	added, err := chromedp.Call(p.ctx, page.AddScriptToEvaluateOnNewDocument, script)
	if err != nil {
		p.t.Fatal(err)
	}
	return func() {
		p.t.Helper()
		if _, err := chromedp.Call(p.ctx, page.RemoveScriptToEvaluateOnNewDocument,
			page.RemoveScriptToEvaluateOnNewDocumentParams{Identifier: added.Identifier}); err != nil {
			p.t.Fatal(err)
		}
	}
}

func TestExplorerWithoutStorage(t *testing.T) {
	t.Parallel()
	p := open(t, serve(t, publish(t)), 1280)
	p.lacks("indexedDB")
	p.explore("")
	if status := p.status(); !strings.Contains(status, "identical") || !strings.Contains(status,
		"Your browser keeps nothing for this site") {
		t.Errorf("without IndexedDB the status line reads %q", status)
	}
	p.unfaulted()
}

func TestExplorerInAnOldBrowser(t *testing.T) {
	t.Parallel()
	p := open(t, serve(t, publish(t)), 1280)
	p.lacks("DecompressionStream")
	p.do(chromedp.Navigate(p.root + "explorer/"))
	p.until(`/no DecompressionStream/.test(document.getElementById("explorer-status").textContent)`)
	if status := p.status(); !strings.Contains(status, "and every table are on the other pages of this site") {
		t.Errorf("without DecompressionStream the status line reads %q", status)
	}
	p.unfaulted()
}

// A host may declare the packed program as compressed, so that the browser
// unpacks it before the explorer sees it.
func TestExplorerUnpackedByTheHost(t *testing.T) {
	t.Parallel()
	files := http.StripPrefix(below, http.FileServer(http.Dir(publish(t))))
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if strings.HasSuffix(r.URL.Path, ".wasm.gz") {
			w.Header().Set("Content-Encoding", "gzip")
		}
		files.ServeHTTP(w, r)
	}))
	t.Cleanup(server.Close)
	p := open(t, server, 1280)
	p.explore("")
	if status := p.status(); !strings.Contains(status, "identical") {
		t.Errorf("the status line reads %q", status)
	}
	p.unfaulted()
}
