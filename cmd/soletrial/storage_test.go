package main_test

import (
	"encoding/base64"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// aRecording is a file of the demonstration that every visit to its session needs.
const aRecording = "data/sessions/2026-03-07-power/foot_sensor.csv"

// earlier makes the database as the first version of the explorer left it: one
// object store, with the given content under its hash.
func (p *tab) earlier(content []byte) {
	p.t.Helper()
	value[bool](p, fmt.Sprintf(`new Promise((done, fail) => {
		const open = indexedDB.open("soletrial " + new URL("data/", location.href).href, 1);
		open.onerror = () => fail(open.error);
		open.onupgradeneeded = () => open.result.createObjectStore("blobs");
		open.onsuccess = () => {
			const write = open.result.transaction("blobs", "readwrite");
			write.objectStore("blobs").put(Uint8Array.from(atob(%q), (c) => c.charCodeAt(0)), "sha256:" + %q);
			write.oncomplete = () => { open.result.close(); done(true); };
		};
	})`, base64.StdEncoding.EncodeToString(content), sha256Hex(content)))
}

// What the first version kept is still there and spares its request, and the
// second version's store is beside it.
func TestExplorerUpgradesTheDatabase(t *testing.T) {
	t.Parallel()
	site := publish(t)
	content, err := os.ReadFile(filepath.Join(site, aRecording))
	if err != nil {
		t.Fatal(err)
	}
	server := witnessed(t, site)
	p := open(t, server.Server, 390)
	p.do(chromedp.Navigate(p.root + "index.html"))
	p.earlier(content)
	before := server.count()
	p.explore("#session=2026-03-07-power")
	for _, request := range server.since(before) {
		if strings.Contains(request, aRecording) {
			t.Errorf("what was kept is fetched again: %q", request)
		}
	}
	if !value[bool](p, `(async () => (`+database(
		`const get = db.transaction("blobs").objectStore("blobs").get("sha256:`+sha256Hex(content)+`");
		get.onsuccess = () => close(db.version === 2 &&
			get.result?.byteLength === `+fmt.Sprint(len(content))+`);`)+`))()`) {
		t.Error("what the first version kept is gone, or the version is not 2")
	}
	p.changesMore()
	p.set("#view-name", "mine")
	p.do(chromedp.Click(chromedp.CSS("#do-keep")))
	p.until(stored("views", "#session=2026-03-07-power&title=mine\n"))
	p.again()
	p.changesMore()
	if name := p.text("#open-1"); name != "mine" {
		t.Errorf("in the new store the view is called %q", name)
	}
	p.unfaulted()
}

// Kept bytes that are not those of their hash are passed by, fetched again and
// replaced.
func TestExplorerMendsDamagedRecords(t *testing.T) {
	t.Parallel()
	site := publish(t)
	content, err := os.ReadFile(filepath.Join(site, aRecording))
	if err != nil {
		t.Fatal(err)
	}
	server := witnessed(t, site)
	p := open(t, server.Server, 390)
	p.explore("#session=2026-03-07-power&head_s=90")
	words, key := p.text(yours), "sha256:"+sha256Hex(content)
	flip := database(`const write = db.transaction("blobs", "readwrite"), blobs = write.objectStore("blobs"),
		get = blobs.get("` + key + `");
		get.onsuccess = () => { get.result[1000] ^= 1; blobs.put(get.result, "` + key + `"); };
		write.oncomplete = () => close(true);`)
	p.until(flip)
	before := server.count()
	p.do(chromedp.Navigate(p.root+"index.html"),
		chromedp.Navigate(p.root+"explorer/#session=2026-03-07-power&head_s=90"))
	p.settled()
	p.until(`/^Your version/.test(document.getElementById("explorer-status").textContent)`)
	if again := p.text(yours); again != words {
		t.Errorf("with a damaged record yours reads %q, before %q", again, words)
	}
	if requests := strings.Join(server.since(before), " "); !strings.Contains(requests, aRecording) {
		t.Errorf("the damaged record is not fetched again: %s", requests)
	}
	p.until(`(` + database(`const get = db.transaction("blobs").objectStore("blobs").get("`+key+`");
		get.onsuccess = async () => close([...new Uint8Array(await crypto.subtle.digest("SHA-256", get.result))]
			.map((b) => b.toString(16).padStart(2, "0")).join(""));`) + `) === "` + key[7:] + `"`)
	p.unfaulted()
}

// A browser without room says so, by refusing a write or by giving up the whole
// transaction later, and the explorer works on.
func TestExplorerWithoutRoom(t *testing.T) {
	t.Parallel()
	server := serve(t, publish(t))
	for _, refuse := range []string{
		`throw new DOMException("no room", "QuotaExceededError");`,
		`const request = real.call(this, value, key); this.transaction.abort(); return request;`,
	} {
		p := open(t, server, 390)
		p.before(`const real = IDBObjectStore.prototype.put;
			IDBObjectStore.prototype.put = function (value, key) { ` + refuse + ` };`)
		p.visit("")
		p.give("mine.csv", "elapsed_s,power_w\n0,250\n1,251\n", false)
		p.until(`/did not keep this.*free some space/.test(document.getElementById("explorer-status").textContent)`)
		if words := p.text("section[aria-labelledby=own-title]"); !strings.Contains(words, "mine.csv") {
			t.Errorf("with %s the recording is not there: %q", refuse, words)
		}
		p.set("#trim-head_s", "90")
		p.until(`/^Your version/.test(document.getElementById("explorer-status").textContent)`)
		p.unfaulted()
	}
}

// A browser that refuses storage, as in some private windows, by an error and not
// by lacking it.
func TestExplorerInAPrivateWindow(t *testing.T) {
	t.Parallel()
	p := open(t, serve(t, publish(t)), 390)
	p.before(
		`IDBFactory.prototype.open = () => { throw new DOMException("not in a private window", "SecurityError"); };`,
	)
	p.explore("")
	if status := p.status(); !strings.Contains(status, "identical") || !strings.Contains(status,
		"Your browser keeps nothing for this site") {
		t.Errorf("the status line reads %q", status)
	}
	p.give("mine.csv", "elapsed_s,power_w\n0,250\n1,251\n", false)
	p.until(`/mine\.csv.*2 samples/.test(document.getElementById("own-notice").textContent)`)
	p.unfaulted()
}

// A newer version of the site takes the place of the older one in the browser: the
// older cache goes, and without a connection the newer page is shown.
func TestExplorerUpdateReplacesTheCache(t *testing.T) {
	t.Parallel()
	older, newer := publish(t), publish(t)
	change(t, filepath.Join(newer, "explorer/sw.js"), func(text []byte) []byte {
		at := strings.Index(string(text), `cacheName = family + "`) + len(`cacheName = family + "`)
		return append(append([]byte(nil), text[:at]...), append([]byte("newer"), text[at:]...)...)
	})
	change(t, filepath.Join(newer, "explorer/index.html"), func(text []byte) []byte {
		return []byte(strings.Replace(string(text), "<h1>Explorer</h1>", "<h1>Explorer, newer</h1>", 1))
	})
	for _, name := range []string{"explorer/sw.js", "explorer/index.html"} {
		later := time.Now().Add(time.Hour) // HTTP tells times of change to the second only
		if err := os.Chtimes(filepath.Join(newer, name), later, later); err != nil {
			t.Fatal(err)
		}
	}
	var site atomic.Value
	site.Store(older)
	server := httptest.NewServer(http.StripPrefix(below, http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		http.FileServer(http.Dir(site.Load().(string))).ServeHTTP(w, r)
	})))
	t.Cleanup(server.Close)
	p := open(t, server, 390)
	p.explore("")
	p.until(`navigator.serviceWorker.controller`)
	p.until(`(await caches.keys()).length === 1`)
	first := value[[]string](p, `(async () => caches.keys())()`)
	p.give("small.csv", "Time (s);Power (W)\n0;250\n1;251\n", false) // fetches the converter
	p.until(`/small\.csv.*2 samples/.test(document.getElementById("own-notice").textContent)`)
	site.Store(newer)
	p.do(chromedp.Reload())
	p.settled()
	value[bool](p, `(async () => { await (await navigator.serviceWorker.getRegistration()).update(); return true; })()`)
	p.until(fmt.Sprintf(`(await caches.keys()).length === 1 && (await caches.keys())[0] !== %q`, first[0]))
	if kept := value[int](p, `(async () => (await (await caches.open((await caches.keys())[0])).keys())
		.filter((r) => /convert/.test(r.url)).length)()`); kept !=
		2 {
		t.Errorf("of the converter's two files %d are in the new cache", kept)
	}
	server.Close()
	p.do(chromedp.Reload())
	p.settled()
	if title := p.text("h1"); title != "Explorer, newer" {
		t.Errorf("without a connection the page is headed %q", title)
	}
	p.unfaulted("data/index.json")
}

// The pages answer where WebAssembly is missing, and the explorer says so plainly.
func TestExplorerWithoutWasm(t *testing.T) {
	t.Parallel()
	p := open(t, serve(t, publish(t)), 390)
	p.lacks("WebAssembly")
	p.do(chromedp.Navigate(p.root + "explorer/"))
	p.until(`/no WebAssembly/.test(document.getElementById("explorer-status").textContent)`)
	if status := p.status(); !strings.Contains(status, "are on the other pages of this site") {
		t.Errorf("the status line reads %q", status)
	}
	p.do(chromedp.Navigate(p.root + "index.html"))
	if words := p.text("main"); !strings.Contains(words, "Tarrow") {
		t.Errorf("without WebAssembly the answer reads %.200q", words)
	}
	p.unfaulted()
}
