package main_test

import (
	"encoding/json"
	"net/http/httptest"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// The second engine: what the explorer computes and shows must not depend on
// whose browser it is.

// fox is one page of a Firefox of its own.
type fox struct {
	*steered
	page string
	root string // address of the site
}

// firefoxPreferences keep Firefox from asking any other host.
const firefoxPreferences = `user_pref("network.proxy.type", 1);
user_pref("network.proxy.http", "127.0.0.1");
user_pref("network.proxy.http_port", 9);
user_pref("network.proxy.ssl", "127.0.0.1");
user_pref("network.proxy.ssl_port", 9);
user_pref("datareporting.policy.dataSubmissionEnabled", false);
`

func firefox(t testing.TB) string {
	t.Helper()
	if testing.Short() {
		t.Skip("no browsers with -short")
	}
	for _, name := range []string{os.Getenv("FIREFOX"), "firefox-esr", "firefox"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	if os.Getenv("SOLETRIAL_FIREFOX") == "required" {
		t.Fatal("no Firefox found")
	}
	t.Skip("no Firefox found: run `sh scripts/need.sh firefox`")
	return ""
}

func openFox(t testing.TB, server *httptest.Server) *fox {
	t.Helper()
	program, profile := firefox(t), t.TempDir()
	if err := os.WriteFile(filepath.Join(profile, "user.js"), []byte(firefoxPreferences), 0o600); err != nil {
		t.Fatal(err)
	}
	f := &fox{
		steered: steer(t, program, "--headless", "--no-remote", "--profile", profile, "--remote-debugging-port", "0"),
		root:    server.URL + below,
	}
	var tree struct{ Contexts []struct{ Context string } }
	f.ask("browsingContext.getTree", map[string]any{}, &tree)
	if len(tree.Contexts) == 0 {
		t.Fatal("Firefox has no page")
	}
	f.page = tree.Contexts[0].Context
	return f
}

// explore opens the explorer at a fragment and waits until it has settled.
func (f *fox) explore(fragment string) {
	f.t.Helper()
	f.ask("browsingContext.navigate",
		map[string]any{"context": f.page, "url": f.root + "explorer/" + fragment, "wait": "complete"},
		nil)
	f.until(arrived)
	f.until(deriving)
}

// text evaluates an expression in the page to a text.
func (f *fox) text(expression string) string {
	f.t.Helper()
	var got struct {
		Type             string
		Result           struct{ Value string }
		ExceptionDetails struct{ Text string }
	}
	f.ask("script.evaluate", map[string]any{"expression": "String(" + expression + ")",
		"target": map[string]string{"context": f.page}, "awaitPromise": true}, &got)
	if got.Type != "success" {
		f.t.Fatalf("%s: %s", expression, got.ExceptionDetails.Text)
	}
	return got.Result.Value
}

func (f *fox) until(expression string) {
	f.t.Helper()
	for end := time.Now().Add(patience); f.text("!!("+expression+")") != "true"; time.Sleep(20 * time.Millisecond) {
		if time.Now().After(end) {
			f.unfaulted()
			f.t.Fatalf("%s stays false; the page reads %q", expression,
				f.text(`(document.getElementById("explorer-status") || document.body).textContent`))
		}
	}
}

// typeOver replaces what the focused field holds, key by key.
func (f *fox) typeOver(keys string) {
	f.t.Helper()
	const control = "\uE009" // of the WebDriver standard's table of keys
	actions := []map[string]string{{"type": "keyDown", "value": control}, {"type": "keyDown", "value": "a"},
		{"type": "keyUp", "value": "a"}, {"type": "keyUp", "value": control}}
	for _, key := range keys {
		actions = append(actions, map[string]string{"type": "keyDown", "value": string(key)},
			map[string]string{"type": "keyUp", "value": string(key)})
	}
	f.ask("input.performActions", map[string]any{"context": f.page,
		"actions": []any{map[string]any{"type": "key", "id": "keys", "actions": actions}}}, nil)
}

// unfaulted fails the test for errors in the page and requests to other hosts.
func (f *fox) unfaulted() {
	f.t.Helper()
	site, _ := url.Parse(f.root)
	for _, e := range f.events {
		var p struct {
			Level, Text string
			Request     struct{ URL string }
		}
		if err := json.Unmarshal(e.Params, &p); err != nil {
			f.t.Fatal(err)
		}
		address, err := url.Parse(p.Request.URL)
		switch {
		case e.Method == "log.entryAdded" && (p.Level == "error" || p.Level == "warn"):
			f.t.Errorf("Firefox reports %s: %s", p.Level, p.Text)
		case e.Method == "network.beforeRequestSent" && (err != nil || strings.HasPrefix(address.Scheme, "http") &&
			address.Host != site.Host):
			f.t.Errorf("Firefox asks another host: %s", p.Request.URL)
		}
	}
}

// shown are the parts of the explorer that hold numbers.
var shown = []string{".answer-table", "#blocks-table", "#proof-table"}

func TestExplorerInFirefoxAsInChromium(t *testing.T) {
	server := serve(t, publish(t))
	f, p := openFox(t, server), open(t, server, 1280)
	f.explore("")
	p.explore("")
	if status := f.text(`document.getElementById("explorer-status").textContent`); !strings.Contains(status,
		"identical to the published tables (") || status != p.status() {
		t.Errorf("the status line reads %q in Firefox, %q in Chromium", status, p.status())
	}
	f.compare(p)
	published := f.text(`document.querySelector(".answer-table").textContent`)

	f.text(`document.querySelector("#trim-head_s").focus()`)
	f.typeOver("150")
	f.until(`location.hash.includes("head_s=150")`)
	moved := f.text(`document.querySelector(".answer-table").textContent`)
	if moved == published || !strings.Contains(f.text(`document.querySelector("`+yours+`").textContent`), "%") {
		t.Errorf("with 150 s cut off, the comparisons in Firefox still read %.200q", moved)
	}
	p.set("#trim-head_s", "150")
	p.until(`location.hash.includes("head_s=150")`)
	f.compare(p)

	const chosen = "#session=2026-03-07-power&out=2026-03-07-power/2&drift=none&head_s=90"
	f.explore("index.html" + chosen) // another address, so that the page is loaded anew
	p.explore("index.html" + chosen)
	f.compare(p)
	f.unfaulted()
	p.unfaulted()
}

// compare holds every table that Firefox shows against Chromium's.
func (f *fox) compare(p *tab) {
	f.t.Helper()
	for _, selector := range shown {
		content := `(document.querySelector("` + selector + `") || {textContent: "not there"}).textContent`
		here, there := f.text(content), value[string](p, content)
		if here != there || len(here) < 40 {
			f.t.Errorf("%s in Firefox reads\n%.2000s\nin Chromium\n%.2000s", selector, here, there)
		}
	}
}
