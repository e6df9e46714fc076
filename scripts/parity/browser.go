package main

import (
	"bytes"
	"context"
	_ "embed"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"time"
)

// browser is an engine that runs the chain in a page. The page fetches the
// program and the dataset from a server here and sends the tables back, so no
// protocol for steering a browser is needed.
type browser struct {
	name, variable string
	names          []string
	args           func(profile string) []string
	preferences    string // what the profile's user.js holds, if anything
}

var browsers = []browser{
	{
		name:     "Chromium",
		variable: "CHROMIUM",
		names:    []string{"chromium", "chromium-browser", "google-chrome", "google-chrome-stable"},
		args: func(profile string) []string {
			return []string{"--headless=new", "--no-sandbox", "--disable-gpu", "--no-first-run",
				"--disable-component-update", "--disable-background-networking",
				"--disable-dev-shm-usage", "--host-resolver-rules=MAP * ~NOTFOUND , EXCLUDE 127.0.0.1",
				"--user-data-dir=" + profile}
		},
	},
	{name: "Firefox", variable: "FIREFOX", names: []string{"firefox-esr", "firefox"},
		args: func(profile string) []string {
			return []string{"--headless", "--no-remote", "--profile", profile}
		}, preferences: `user_pref("network.proxy.type", 1);
user_pref("network.proxy.http", "127.0.0.1");
user_pref("network.proxy.http_port", 9);
user_pref("network.proxy.ssl", "127.0.0.1");
user_pref("network.proxy.ssl_port", 9);
user_pref("app.update.enabled", false);
user_pref("datareporting.policy.dataSubmissionEnabled", false);
user_pref("browser.aboutwelcome.enabled", false);
`}, // no other host is reached
}

//go:embed page.html
var page []byte

// timeout is how long a browser may take over one dataset.
const timeout = 5 * time.Minute

// derive serves the page with the dataset, opens it, and waits for the tables.
func (b browser) derive(path, glue, program string, s set) (tables, error) {
	archive, err := s.archive()
	if err != nil {
		return nil, err
	}
	answers := make(chan answer, 1)
	server := httptest.NewServer(b.routes(glue, program, archive, answers))
	defer server.Close()

	// A new profile, so that nothing is left of an earlier run.
	profile, err := os.MkdirTemp("", "parity-profile")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(profile)
	if err := os.WriteFile(filepath.Join(profile, "user.js"), []byte(b.preferences), 0o600); err != nil {
		return nil, err
	}

	// Start the browser, and wait for the page or for its end.
	ctx, cancel := context.WithTimeout(context.Background(), timeout)
	defer cancel()
	command := exec.CommandContext(ctx, path, append(b.args(profile), server.URL+"/")...)
	command.Cancel = func() error { return command.Process.Signal(os.Interrupt) } // so that it ends its own helpers
	command.WaitDelay = 10 * time.Second
	var stderr bytes.Buffer
	command.Stderr = &stderr
	if err := command.Start(); err != nil {
		return nil, err
	}
	ended := make(chan error, 1)
	go func() { ended <- command.Wait() }()
	select {
	case a := <-answers:
		cancel()
		<-ended
		if a.failed {
			return nil, fmt.Errorf("the page says %s", a.text)
		}
		return parse(a.text)
	case err := <-ended:
		return nil, fmt.Errorf("%s ended without an answer (%v): %.2000s", b.name, err, stderr.String())
	}
}

// answer is what the page sends back.
type answer struct {
	text   []byte
	failed bool
}

func (b browser) routes(glue, program string, archive []byte, answers chan<- answer) http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("GET /{$}", func(w http.ResponseWriter, _ *http.Request) { w.Write(page) })
	mux.HandleFunc("GET /wasm_exec.js", func(w http.ResponseWriter, r *http.Request) { http.ServeFile(w, r, glue) })
	mux.HandleFunc("GET /inwasm.wasm", func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Type", "application/wasm")
		http.ServeFile(w, r, program)
	})
	mux.HandleFunc("GET /dataset.zip", func(w http.ResponseWriter, _ *http.Request) { w.Write(archive) })
	mux.HandleFunc("POST /{outcome}", func(_ http.ResponseWriter, r *http.Request) {
		text, err := io.ReadAll(r.Body)
		if err != nil {
			text = []byte(err.Error())
		}
		answers <- answer{text, err != nil || r.PathValue("outcome") != "tables"}
	})
	return mux
}
