package main_test

import (
	"bytes"
	"context"
	"crypto/sha256"
	"fmt"
	"io/fs"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"runtime/pprof"
	"strings"
	"sync"
	"testing"
	"testing/fstest"
	"time"

	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"

	"soletrial/cmd/internal/cli"
	"soletrial/viewer/bundle"
)

// The browser tests publish the demonstration dataset with the program itself,
// serve it from a folder below the root of a plain static server, and drive a
// real Chromium over it. SOLETRIAL_BROWSER=required makes a missing Chromium or
// a missing viewer a failure; otherwise they are skipped, saying so. They are
// skipped with -short too.
//
// A browser mostly waits, so tests that hold to no time on the clock run beside each other
// (t.Parallel), each in a browser of its own, after those that do.

// below is the path that the site is served under: it must work under any.
const below = "/some/where/"

// plainHost is a name for this machine that browsers do not trust as they trust
// 127.0.0.1: over plain http it is like an address in a local network.
const plainHost = "plain.example"

// patience is how long a page may take for anything.
const patience = 30 * time.Second

func lacking(t testing.TB, what string) {
	t.Helper()
	if os.Getenv("SOLETRIAL_BROWSER") == "required" {
		t.Fatal(what)
	}
	t.Skip(what)
}

// longestBrowserTest is how long a test with a browser may take. Where nothing else runs, none takes a tenth of it.
const longestBrowserTest = 15 * time.Minute

// needsBrowser skips a test with -short, and ends the whole run where the test stands still:
// a browser that never answers is then a failure with a name after some minutes.
func needsBrowser(t testing.TB) {
	t.Helper()
	if testing.Short() {
		t.Skip("no browsers with -short")
	}
	name, longest := t.Name(), longestBrowserTest
	if *browserFaults > 0 {
		longest = time.Hour // a campaign is long by itself
	}
	watch := time.AfterFunc(longest, func() {
		pprof.Lookup("goroutine").WriteTo(os.Stderr, 1)
		fmt.Fprintf(os.Stderr, "%s has not ended after %s\n", name, longest)
		os.Exit(1)
	})
	t.Cleanup(func() { watch.Stop() })
}

func chromium(t testing.TB) string {
	t.Helper()
	needsBrowser(t)
	for _, name := range []string{os.Getenv("CHROMIUM"), "chromium", "chromium-browser", "google-chrome",
		"google-chrome-stable"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	lacking(t, "no Chromium found: run `sh scripts/need.sh chromium`")
	return ""
}

// run calls the program as a shell would.
func run(t testing.TB, args ...string) {
	t.Helper()
	var stdout, stderr bytes.Buffer
	if code := cli.Main(args, strings.NewReader(""), &stdout, &stderr); code != 0 {
		t.Fatalf("soletrial %s exits with %d: %s", strings.Join(args, " "), code, stderr.String())
	}
}

// publish returns a folder of its own with the published demonstration dataset, which is
// derived and published once.
func publish(t testing.TB) string {
	t.Helper()
	if !bundle.Built() {
		lacking(t, "the viewer is not built into this test: run make viewer")
	}
	demonstration.once.Do(func() { demonstration.site = publishDemonstration(t) })
	if demonstration.site == nil {
		t.Fatal("the demonstration could not be published")
	}
	site := filepath.Join(t.TempDir(), "public")
	if err := os.CopyFS(site, demonstration.site); err != nil {
		t.Fatal(err)
	}
	return site
}

// demonstration is the site of the demonstration dataset, in memory, so that it outlives the test
// that publishes it.
var demonstration struct {
	once sync.Once
	site fs.FS
}

func publishDemonstration(t testing.TB) fs.FS {
	t.Helper()
	dataset, site := filepath.Join(t.TempDir(), "data"), filepath.Join(t.TempDir(), "public")
	if err := os.CopyFS(dataset, os.DirFS("../../data")); err != nil {
		t.Fatal(err)
	}
	run(t, "-d", dataset, "derive")
	run(t, "-d", dataset, "publish", "-o", site)
	return readFolder(t, site)
}

// readFolder reads every file below a folder into memory.
func readFolder(t testing.TB, folder string) fs.FS {
	t.Helper()
	files := fstest.MapFS{}
	err := fs.WalkDir(os.DirFS(folder), ".", func(path string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		text, err := os.ReadFile(filepath.Join(folder, path))
		files[path] = &fstest.MapFile{Data: text, Mode: 0o644}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return files
}

// serve serves a folder as a bare static server does.
func serve(t testing.TB, site string) *httptest.Server {
	t.Helper()
	if _, err := fs.Stat(os.DirFS(site), "explorer/index.html"); err != nil {
		t.Fatal(err)
	}
	server := httptest.NewServer(http.StripPrefix(below, http.FileServer(http.Dir(site))))
	t.Cleanup(server.Close)
	return server
}

// tab is one page of a browser of its own, with everything that went wrong on it.
type tab struct {
	t    testing.TB
	ctx  context.Context
	root string // address of the site

	mu     sync.Mutex
	faults []string
	asked  int // requests so far, of any kind
}

// profileFolder returns an empty folder for what a browser keeps. Processes of a browser
// that was ended may write for a moment longer, so it is removed with patience.
func profileFolder(t testing.TB) string {
	t.Helper()
	folder, err := os.MkdirTemp("", "profile")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		for end := time.Now().Add(patience); os.RemoveAll(folder) != nil; time.Sleep(100 * time.Millisecond) {
			if time.Now().After(end) {
				t.Errorf("a browser that was ended still writes into %s", folder)
				return
			}
		}
	})
	return folder
}

// open starts a browser with a fresh profile, in a window of the given width.
func open(t testing.TB, server *httptest.Server, width int) *tab {
	t.Helper()
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(chromium(t)), chromedp.NoSandbox, chromedp.DisableGPU, chromedp.WindowSize(width,
			900), chromedp.UserDataDir(profileFolder(t)),
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true),
		chromedp.Flag("host-resolver-rules", "MAP "+plainHost+" 127.0.0.1 , MAP * ~NOTFOUND , EXCLUDE 127.0.0.1"))
	allocator, stop := chromedp.NewExecAllocator(context.Background(), options...)
	t.Cleanup(stop)
	ctx, stop := chromedp.NewContext(allocator)
	t.Cleanup(stop)
	p := &tab{t: t, ctx: ctx, root: server.URL + below}
	host, _ := url.Parse(server.URL)
	if err := chromedp.Listen(ctx, func(event any) { p.note(event, host.Host) }); err != nil {
		t.Fatal(err)
	}
	if _, err := chromedp.Call(ctx, network.Enable, network.EnableParams{}); err != nil {
		t.Fatal(err)
	}
	p.do(chromedp.EmulateViewport(int64(width), 900))
	return p
}

// note keeps errors, exceptions and requests to other hosts.
func (p *tab) note(event any, host string) {
	fault := ""
	switch e := event.(type) {
	case *runtime.EventConsoleAPICalled:
		fault = "console: " // nothing is ever written there, and a Go panic would be
		for _, a := range e.Args {
			fault += string(a.Value) + a.Description
		}
	case *runtime.EventExceptionThrown:
		fault = "exception: " + e.ExceptionDetails.Text
		if e.ExceptionDetails.Exception != nil {
			fault += " " + e.ExceptionDetails.Exception.Description
		}
	case *log.EventEntryAdded:
		if e.Entry.Level == "error" || e.Entry.Level == "warning" {
			fault = "log: " + e.Entry.Text + " " + e.Entry.URL
		}
	case *network.EventRequestWillBeSent:
		p.mu.Lock()
		p.asked++
		p.mu.Unlock()
		if address, err := url.Parse(e.Request.URL); err != nil || address.Scheme != "data" &&
			address.Scheme != "blob" && address.Host != host {
			fault = "request to another host: " + e.Request.URL
		}
	}
	if fault != "" {
		p.mu.Lock()
		p.faults = append(p.faults, fault)
		p.mu.Unlock()
	}
}

// unfaulted fails the test for everything noted, except what may be expected.
func (p *tab) unfaulted(expected ...string) {
	p.t.Helper()
	p.mu.Lock()
	defer p.mu.Unlock()
fault:
	for _, fault := range p.faults {
		for _, part := range expected {
			if strings.Contains(fault, part) {
				continue fault
			}
		}
		p.t.Errorf("the browser reports %s", fault)
	}
}

func (p *tab) do(steps ...chromedp.Action[chromedp.Void]) {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, patience)
	defer cancel()
	if err := chromedp.Do(ctx, steps...); err != nil {
		p.t.Fatal(err)
	}
}

// value evaluates an expression in the page.
func value[T any](p *tab, expression string) T {
	p.t.Helper()
	return valueWithin[T](p, patience, expression)
}

// valueWithin evaluates an expression in a page that may be busy for so long.
func valueWithin[T any](p *tab, longest time.Duration, expression string) T {
	p.t.Helper()
	v, err := evaluate[T](p, longest, expression)
	if err != nil {
		p.t.Fatalf("%s: %v", expression, err)
	}
	return v
}

func evaluate[T any](p *tab, longest time.Duration, expression string) (T, error) {
	ctx, cancel := context.WithTimeout(p.ctx, longest)
	defer cancel()
	return chromedp.Run(ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
}

// overtaken reports whether a question was cut off because another page came in its place.
func overtaken(err error) bool {
	return err != nil && (strings.Contains(err.Error(), "Inspected target navigated or closed") ||
		strings.Contains(err.Error(), "Execution context was destroyed") ||
		strings.Contains(err.Error(), "Cannot find context with specified id"))
}

// until waits for an expression to be true, across a change of page.
func (p *tab) until(expression string) {
	p.t.Helper()
	p.untilWithin(patience, expression)
}

// untilWithin waits for an expression to be true, for so long at most.
func (p *tab) untilWithin(longest time.Duration, expression string) {
	p.t.Helper()
	holds := "(async () => !!(" + expression + "))()"
	for end := time.Now().Add(longest); ; time.Sleep(20 * time.Millisecond) {
		held, err := evaluate[bool](p, longest, holds)
		switch {
		case err != nil && !overtaken(err):
			p.t.Fatalf("%s: %v", expression, err)
		case held:
			return
		case time.Now().After(end):
			p.unfaulted()
			p.t.Fatalf("%s stays false; the status line reads %q", expression, p.status())
		}
	}
}

func (p *tab) status() string {
	p.t.Helper()
	return value[string](p, `(document.getElementById("explorer-status") || document.body).textContent`)
}

// explore opens the explorer at a fragment and waits until it has settled.
func (p *tab) explore(fragment string) {
	p.t.Helper()
	p.do(chromedp.Navigate(p.root + "explorer/" + fragment))
	p.settled()
}

// visit opens the explorer at a fragment and waits until its session is shown. The rest is
// fetched and derived meanwhile, as for a reader who does not wait either.
func (p *tab) visit(fragment string) {
	p.t.Helper()
	p.do(chromedp.Navigate(p.root + "explorer/" + fragment))
	p.arrived()
	p.until(`document.getElementById("blocks-table")`)
}

// arrived is true once the explorer shows something that will not change by itself.
const arrived = `document.querySelector("#headline") &&
	/identical|checked|^Your version|^Not /.test(document.getElementById("explorer-status").textContent)`

// deriving is true once every session was fetched and derived and what is shown is exact, which
// the status says; until then it presses the button for that.
const deriving = `(document.getElementById("do-derive")?.click(), document.getElementById("proof-table") &&
	!/checked|exact in a moment|…$/.test(document.getElementById("explorer-status").textContent))`

// settled waits until everything is fetched and derived, as after the button for it.
func (p *tab) settled() {
	p.t.Helper()
	p.arrived()
	p.untilWithin(4*patience, deriving)
}

// arrived waits until the explorer shows what it shows by itself.
func (p *tab) arrived() {
	p.t.Helper()
	p.until(arrived)
}

// text returns the text of the first element that a selector names.
func (p *tab) text(selector string) string {
	p.t.Helper()
	return value[string](p, `document.querySelector(`+"`"+selector+"`"+`).textContent`)
}

// shoot writes a picture of the whole page, for people to look at.
func shoot(p *tab, path string) {
	p.t.Helper()
	picture, err := chromedp.Run(p.ctx, chromedp.FullScreenshot(100))
	if err == nil {
		err = os.WriteFile(path, picture, 0o644)
	}
	if err != nil {
		p.t.Error(err)
	}
}

func sha256Hex(text []byte) string { return fmt.Sprintf("%x", sha256.Sum256(text)) }
