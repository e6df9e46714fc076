package main_test

import (
	"compress/gzip"
	"io"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// packedWriter packs what a handler writes.
type packedWriter struct {
	http.ResponseWriter
	io.Writer
}

func (w packedWriter) Write(text []byte) (int, error) { return w.Writer.Write(text) }

func (w packedWriter) WriteHeader(status int) {
	w.Header().Del("Content-Length")
	w.ResponseWriter.WriteHeader(status)
}

// servePacked serves a folder as a static host does that packs text with gzip.
func servePacked(t testing.TB, site string) *httptest.Server {
	t.Helper()
	files := http.StripPrefix(below, http.FileServer(http.Dir(site)))
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !strings.Contains(r.Header.Get("Accept-Encoding"), "gzip") || strings.HasSuffix(r.URL.Path, ".gz") {
			files.ServeHTTP(w, r)
			return
		}
		w.Header().Set("Content-Encoding", "gzip")
		packed := gzip.NewWriter(w)
		defer packed.Close()
		files.ServeHTTP(packedWriter{w, packed}, r)
	}))
	t.Cleanup(server.Close)
	return server
}

// BenchmarkHome is a first visit to the page with the answer on a phone whose processor
// is four times slower, from a host that packs text: seconds to the first paint of its content,
// the median of five, and the packed bytes that come over the line until it is loaded, without
// the headers.
func BenchmarkHome(b *testing.B) {
	site := publish(b)
	var painted []float64
	bytes := 0.0
	for b.Loop() {
		for len(painted) < 5 {
			p := open(b, servePacked(b, site), 390)
			p.slowed(4)
			p.do(chromedp.Navigate(p.root))
			p.until(`document.readyState === "complete" &&
				performance.getEntriesByName("first-contentful-paint").length`)
			painted = append(painted,
				value[float64](p, `performance.getEntriesByName("first-contentful-paint")[0].startTime`)/1000)
			bytes = value[float64](p, `performance.getEntries().reduce((sum, e) => sum + (e.encodedBodySize || 0), 0)`)
			p.leave()
		}
	}
	slices.Sort(painted)
	b.ReportMetric(painted[2], "s/first-paint")
	b.ReportMetric(bytes, "bytes/home")
}

// BenchmarkTrackStart is what the track page takes from its address to its first screen on a phone
// whose processor is four times slower, in seconds, the median of five.
func BenchmarkTrackStart(b *testing.B) {
	site := publishPlanned(b)
	var started []float64
	for b.Loop() {
		for len(started) < 5 {
			p := open(b, servePacked(b, site), 360)
			p.before(`new MutationObserver(() => {
				if (!window.shownAt && document.getElementById("now")) window.shownAt = performance.now();
			}).observe(document, {childList: true, subtree: true})`)
			p.slowed(4)
			p.do(chromedp.Navigate(p.root + "track/"))
			p.until(`window.shownAt`)
			started = append(started, value[float64](p, `window.shownAt`)/1000)
			p.leave()
		}
	}
	slices.Sort(started)
	b.ReportMetric(started[2], "s/first-screen")
}
