package main_test

import (
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// failing serves a site of which one file misbehaves.
func failing(t *testing.T, site, file string, misbehave http.HandlerFunc) *httptest.Server {
	t.Helper()
	files := http.StripPrefix(below, http.FileServer(http.Dir(site)))
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if strings.HasSuffix(r.URL.Path, file) {
			misbehave(w, r)
			return
		}
		files.ServeHTTP(w, r)
	}))
	t.Cleanup(server.CloseClientConnections)
	t.Cleanup(server.Close)
	return server
}

// hang keeps a request waiting until its browser is gone.
func hang(_ http.ResponseWriter, r *http.Request) { <-r.Context().Done() }

// cut answers with the first half of a file and breaks off.
func cut(site, file string) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		info, err := os.Stat(site + "/" + file)
		if err != nil {
			http.NotFound(w, r)
			return
		}
		http.ServeFile(&part{ResponseWriter: w, left: int(info.Size() / 2)}, r, site+"/"+file)
	}
}

// part lets through the first bytes of an answer.
type part struct {
	http.ResponseWriter
	left int
}

func (p *part) Write(text []byte) (int, error) {
	n := min(len(text), p.left)
	p.left -= n
	if _, err := p.ResponseWriter.Write(text[:n]); err != nil || n < len(text) {
		panic(http.ErrAbortHandler)
	}
	return n, nil
}

// portal answers with a page of the site in place of a file.
func portal(w http.ResponseWriter, _ *http.Request) {
	w.Header().Set("Content-Type", "text/html")
	w.Write([]byte("<!DOCTYPE html><title>Not this</title><p>A portal of the network, with status 200."))
}

// Whatever part of the explorer is missing, another file, cut off or does not come: the page
// says what to do, at the latest after ten seconds, and where the answer is.
func TestExplorerThatCannotStart(t *testing.T) {
	site := publish(t)
	const instead = "The answer, the sessions and every table are on the other pages of this site"
	for _, c := range []struct {
		name, file string
		misbehave  http.HandlerFunc
		says       string
	}{
		{"glue missing", "wasm_exec.js", http.NotFound, "wasm_exec.js is missing or damaged"},
		{"glue another page", "wasm_exec.js", portal, "wasm_exec.js is missing or damaged"},
		{"glue hangs", "wasm_exec.js", hang, "reload the page"},
		{"start missing", "boot.js", http.NotFound, "If this text is still here after 10 seconds, reload the page."},
		{"start cut off", "boot.js", cut(site, "explorer/boot.js"), "reload the page"},
		{"program missing", "soletrial.wasm.gz", http.NotFound, "the site answers 404"},
		{"program another page", "soletrial.wasm.gz", portal, "could not be loaded"},
		{"program cut off", "soletrial.wasm.gz", cut(site, "explorer/soletrial.wasm.gz"), "could not be loaded"},
		{"program hangs", "soletrial.wasm.gz", hang, "has not started after 10 seconds. Check the connection"},
		{"index missing", "data/index.json", http.NotFound, "check the connection and reload the page"},
		{"index another page", "data/index.json", portal, "The explorer stopped: "},
		{"register missing", "data/shoes.csv", http.NotFound, "shoes.csv"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			p := open(t, failing(t, site, c.file, c.misbehave), 390)
			value[bool](p, `(location.href = "`+p.root+`explorer/", true)`) // a page whose script hangs is never loaded
			p.until(`document.getElementById("explorer-status")?.textContent.includes("` + c.says + `")`)
			links := value[string](p, `document.querySelector("nav").textContent`)
			if said := p.status(); !strings.Contains(said, instead) && !strings.Contains(links, "Sessions") {
				t.Errorf("the page does not say where the answer is: %q", said)
			}
			if value[bool](p, `document.getElementById("trim-head_s-slider") !== null`) {
				t.Error("there are controls that cannot work")
			}
		})
	}
}

// A site that does not answer is asked once more after ten seconds.
func TestExplorerAsksAgain(t *testing.T) {
	t.Parallel()
	site := publish(t)
	var asked atomic.Int64
	p := open(t, failing(t, site, "data/derived/ranking.csv", func(w http.ResponseWriter, r *http.Request) {
		if asked.Add(1) == 1 {
			hang(w, r)
			return
		}
		http.ServeFile(w, r, site+"/data/derived/ranking.csv")
	}), 390)
	p.do(chromedp.Navigate(p.root + "explorer/"))
	p.arrived()
	if n := asked.Load(); n != 2 {
		t.Errorf("the file that did not come was asked for %d times", n)
	}
	p.unfaulted()
}

// A slow connection is no hanging one: as long as something comes, the file is waited for.
func TestExplorerWaitsForASlowFile(t *testing.T) {
	t.Parallel()
	site := publish(t)
	text, err := os.ReadFile(filepath.Join(site, "data/derived/ranking.csv"))
	if err != nil {
		t.Fatal(err)
	}
	var asked atomic.Int64
	p := open(t, failing(t, site, "data/derived/ranking.csv", func(w http.ResponseWriter, r *http.Request) {
		asked.Add(1)
		for i := range 4 { // together longer than nothing may come
			w.Write(text[i*len(text)/4 : (i+1)*len(text)/4])
			http.NewResponseController(w).Flush()
			time.Sleep(4 * time.Second)
		}
	}), 390)
	p.do(chromedp.Navigate(p.root + "explorer/"))
	p.arrived()
	if n := asked.Load(); n != 1 {
		t.Errorf("a file that comes slowly was asked for %d times", n)
	}
	p.unfaulted()
}

// A browser whose storage never answers, neither yes nor no: the explorer goes on without.
func TestExplorerWithSilentStorage(t *testing.T) {
	t.Parallel()
	p := open(t, serve(t, publish(t)), 390)
	p.before(`IDBFactory.prototype.open = () => new EventTarget();`)
	p.do(chromedp.Navigate(p.root + "explorer/"))
	p.arrived()
	p.set("#trim-head_s", "90")
	p.until(`document.querySelector(".answer-table").textContent.includes("→")`)
	if status := p.status(); strings.Contains(status, "stopped") {
		t.Errorf("the status line reads %q", status)
	}
	p.unfaulted()
}

// A program that stops leaves no controls that do nothing: they are disabled, the message
// stays in sight, and the address keeps what was chosen.
func TestExplorerThatStops(t *testing.T) {
	t.Parallel()
	p := open(t, serve(t, publish(t)), 390)
	p.visit("")
	p.set("#trim-head_s", "90")
	p.until(`location.hash.includes("head_s=90")`)
	// The browser refuses what the program takes for granted.
	value[bool](p, `(Element.prototype.setAttribute = () => { throw new Error("refused by the test"); }, true)`)
	p.do(chromedp.Focus(chromedp.CSS("#trim-head_s-slider")), chromedp.KeyEvent(kb.ArrowRight))
	p.until(`/has stopped\. Reload the page/.test(document.getElementById("explorer-status").textContent)`)
	if !value[bool](p, `document.getElementById("explorer-app").inert`) {
		t.Error("the controls can still be used")
	}
	if hash := value[string](p, `location.hash`); !strings.Contains(hash, "head_s=9") {
		t.Errorf("the address ends in %q", hash)
	}
	value[bool](p, `(scrollTo(0, 2000), true)`)
	if place := value[[]float64](p, `(() => { const b = document.getElementById("explorer-status")
		.getBoundingClientRect(); return [b.top, b.bottom, innerHeight]; })()`); place[0] < 0 || place[1] > place[2] {
		t.Errorf("after scrolling the message is from %v to %v px of %v", place[0], place[1], place[2])
	}
}
