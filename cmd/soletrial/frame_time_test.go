package main_test

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/performance"
	"github.com/chromedp/chromedp"
)

// working returns the seconds of processor time that the page's thread has used, and those of them
// in the program.
func working(b *testing.B, p *tab) (all, program float64) {
	b.Helper()
	answer, err := chromedp.Call(p.ctx, performance.GetMetrics, cdp.Empty{})
	if err != nil {
		b.Fatal(err)
	}
	of := func(name string) float64 {
		at := slices.IndexFunc(answer.Metrics, func(m *performance.Metric) bool { return m.Name == name })
		return answer.Metrics[at].Value
	}
	return of("TaskDuration"), of("ScriptDuration")
}

// frames reports what an action in the page takes: the time to the picture after
// it, of which a page at rest waits up to 17 ms for the screen, and the processor
// time of the page's thread, which other programs do not disturb. That of the program is what it
// computes and changes on the page; the browser takes the rest to lay the page out and to paint it.
func frames(b *testing.B, p *tab, action func(i int) string) {
	if _, err := chromedp.Call(p.ctx, performance.Enable,
		performance.EnableParams{TimeDomain: "threadTicks"}); err != nil {
		b.Fatal(err)
	}
	var times, work, program []float64
	for b.Loop() {
		before, scripts := working(b, p)
		times = append(times, value[float64](p, fmt.Sprintf(`new Promise((done) => { const from = performance.now(); %s;
			requestAnimationFrame(() => { const took = performance.now() - from;
				requestAnimationFrame(() => done(took)); }); })`, action(len(times)+1))))
		after, scriptsAfter := working(b, p)
		work, program = append(work, 1000*(after-before)), append(program, 1000*(scriptsAfter-scripts))
	}
	slices.Sort(times)
	slices.Sort(work)
	slices.Sort(program)
	b.ReportMetric(program[len(program)/2], "median-program-cpu-ms/change")
	b.ReportMetric(work[len(work)/2], "median-cpu-ms/change")
	b.ReportMetric(work[len(work)*95/100], "p95-cpu-ms/change")
	b.ReportMetric(times[len(times)/2], "median-ms/change")
	b.ReportMetric(times[len(times)*95/100], "p95-ms/change")
}

// BenchmarkExplorerTrim is a slider moved on the demonstration dataset.
func BenchmarkExplorerTrim(b *testing.B) {
	p := open(b, serve(b, publish(b)), 1280)
	p.explore("")
	frames(b, p, func(i int) string {
		return fmt.Sprintf(`const slider = document.getElementById("trim-head_s-slider"); slider.value = %d;
			slider.dispatchEvent(new Event("input", {bubbles: true}))`, 70+i%2*10)
	})
}

// BenchmarkExplorerVisit is a first visit to the explorer on the demonstration
// dataset: the bytes that come over the line from a host that packs nothing, those
// of the data among them. One visit is enough: the bytes are always the same.
func BenchmarkExplorerVisit(b *testing.B) {
	site := publish(b)
	program, err := os.Stat(filepath.Join(site, "explorer/soletrial.wasm.gz")) // a worker asks for it
	if err != nil {
		b.Fatal(err)
	}
	p := open(b, serve(b, site), 1280)
	p.do(chromedp.Navigate(p.root + "explorer/"))
	p.arrived()
	const sum = `performance.getEntries().filter((e) => "transferSize" in e && e.name.includes(%q))
		.reduce((sum, e) => sum + e.transferSize, 0)`
	b.ReportMetric(value[float64](p, fmt.Sprintf(sum, ""))+float64(program.Size()), "bytes/visit")
	b.ReportMetric(value[float64](p, fmt.Sprintf(sum, "/data/")), "data-bytes/visit")
}

// What a drag does not change is not painted again: the lines stand still while the
// window over them moves, and no figure is read anew.
func TestDragPaintsNoLines(t *testing.T) {
	p := open(t, serve(t, publish(t)), 1280)
	p.explore("#session=2026-03-07-power")
	value[bool](p, `(() => { window.strokes = window.parsed = 0;
		const stroke = CanvasRenderingContext2D.prototype.stroke, parse = DOMParser.prototype.parseFromString;
		CanvasRenderingContext2D.prototype.stroke = function (...all) {
			window.strokes++;
			return stroke.apply(this, all);
		};
		DOMParser.prototype.parseFromString = function (...all) { window.parsed++; return parse.apply(this, all); };
		return true; })()`)
	p.point(".plot .edge", 1, "down@0.2")
	for i := range 5 {
		p.point(".plot", 1, fmt.Sprintf("move@%v", 0.3+0.01*float64(i)))
	}
	p.point(".plot", 1, "up@0.34")
	p.until(`location.hash.includes("head_s=")`)
	if strokes := value[int](p, `window.strokes`); strokes != 0 {
		t.Errorf("a drag painted %d lines", strokes)
	}
	// The first change brings the published answer into each figure of an answer, as small hollow marks.
	figures := value[int](p, `document.querySelectorAll(".answer-figure figure, .answer-numbers figure").length`)
	if parsed := value[int](p, `window.parsed`); parsed > figures {
		t.Errorf("a drag read %d figures anew, of %d answers", parsed, figures)
	}
	p.do(chromedp.Click(chromedp.CSS("#zoom-in")))
	p.until(`window.strokes > 0`)
	p.unfaulted()
}

// While files come slowly the page says how far it is; one that does not come at all is
// named, with a way to try again, and the rest works.
func TestExplorerSlowAndFailedFetch(t *testing.T) {
	files := http.StripPrefix(below, http.FileServer(http.Dir(publish(t))))
	var failing, slow atomic.Bool
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if slow.Load() && strings.Contains(r.URL.Path, "/data/") {
			time.Sleep(200 * time.Millisecond)
		}
		if failing.Load() && strings.HasSuffix(r.URL.Path, "2026-04-25-power/foot_sensor.csv") {
			http.Error(w, "out of order", http.StatusServiceUnavailable)
			return
		}
		files.ServeHTTP(w, r)
	}))
	t.Cleanup(server.Close)
	slow.Store(true)
	failing.Store(true)
	p := open(t, server, 390)
	p.do(chromedp.Navigate(p.root + "explorer/"))
	p.until(
		`/Loading file [0-9]+ of [0-9]+, [0-9.]+ of [0-9.]+ MB/
			.test(document.getElementById("explorer-status").textContent)`,
	)
	slow.Store(false)
	p.until(`document.getElementById("do-retry")`)
	for _, part := range []string{"Not everything could be fetched; the rest works.",
		"2026-04-25-power/foot_sensor.csv cannot be fetched", "answers 503"} {
		if words := p.text("#failed"); !strings.Contains(words, part) {
			t.Errorf("the page reads %q, without %q", words, part)
		}
	}
	if words := p.text("section[aria-labelledby=session-title]"); !strings.Contains(words,
		"This session could not be fetched.") {
		t.Errorf("the session reads %.300q", words)
	}
	// Another session can be shown, and the answer changed.
	value[bool](p, `(() => { const s = document.getElementById("choose-session"); s.selectedIndex = 0;
		return s.dispatchEvent(new Event("change", {bubbles: true})); })()`)
	p.until(`document.getElementById("blocks-table")`)
	p.set("#trim-head_s", "90")
	p.until(`document.querySelector(".answer-table").textContent.includes("→")`)
	failing.Store(false)
	p.do(chromedp.Click(chromedp.CSS("#do-retry")))
	p.until(`document.getElementById("proof-table")`)
	p.unfaulted("503")
}
