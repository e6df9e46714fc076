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
)

// fox is one page of a Firefox of its own, driven by WebDriver BiDi.
type fox struct {
	*steered
	page string
	host string // of the site
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
	needsBrowser(t)
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

func openFox(t testing.TB, server *httptest.Server) *foreign {
	t.Helper()
	program, profile := firefox(t), profileFolder(t)
	if err := os.WriteFile(filepath.Join(profile, "user.js"), []byte(firefoxPreferences), 0o600); err != nil {
		t.Fatal(err)
	}
	site, _ := url.Parse(server.URL)
	f := &fox{
		steered: steer(t, program, "--headless", "--no-remote", "--profile", profile, "--remote-debugging-port", "0"),
		host:    site.Host,
	}
	var tree struct{ Contexts []struct{ Context string } }
	f.ask("browsingContext.getTree", map[string]any{}, &tree)
	if len(tree.Contexts) == 0 {
		t.Fatal("Firefox has no page")
	}
	f.page = tree.Contexts[0].Context
	return &foreign{engine: f, t: t, name: "Firefox", root: server.URL + below}
}

func (f *fox) navigate(address string) {
	f.t.Helper()
	f.ask("browsingContext.navigate", map[string]any{"context": f.page, "url": address, "wait": "complete"}, nil)
}

func (f *fox) evaluate(expression string) string {
	f.t.Helper()
	var got struct {
		Type             string
		Result           struct{ Value string }
		ExceptionDetails struct{ Text string }
	}
	f.ask("script.evaluate", map[string]any{"expression": "(async () => String(await (" + expression + ")))()",
		"target": map[string]string{"context": f.page}, "awaitPromise": true}, &got)
	if got.Type != "success" {
		f.t.Fatalf("%s: %s", expression, got.ExceptionDetails.Text)
	}
	return got.Result.Value
}

func (f *fox) press(actions []map[string]string) {
	f.t.Helper()
	f.ask("input.performActions", map[string]any{"context": f.page,
		"actions": []any{map[string]any{"type": "key", "id": "keys", "actions": actions}}}, nil)
}

func (f *fox) unfaulted() {
	f.t.Helper()
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
			address.Host != f.host):
			f.t.Errorf("Firefox asks another host: %s", p.Request.URL)
		}
	}
}
