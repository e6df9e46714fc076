package main

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// report tells of one invented vulnerability: strings.ToUpper, in every version of Go.
const report = `{"schema_version":"1.3.1","id":"GO-9999-0001","modified":"2026-01-01T00:00:00Z",
"published":"2026-01-01T00:00:00Z","summary":"an invented vulnerability",
"database_specific":{"url":"https://example.org/GO-9999-0001"},
		"affected":[{"package":{"name":"stdlib","ecosystem":"Go"},"ranges":[{"type":"SEMVER",
"events":[{"introduced":"0"},{"fixed":"9.0.0"}]}],
		"ecosystem_specific":{"imports":[{"path":"strings","symbols":["ToUpper"]}]}}]}`

// A database on disk in the form of https://go.dev/doc/security/vuln/database.
var indexed = map[string]string{
	"index/db.json": `{"modified":"2026-01-01T00:00:00Z"}`,
	"index/modules.json": `[{"path":"stdlib","vulns":[{"id":"GO-9999-0001","modified":"2026-01-01T00:00:00Z",
"fixed":"9.0.0"}]}]`,
	"index/vulns.json":     `[{"id":"GO-9999-0001","modified":"2026-01-01T00:00:00Z"}]`,
	"ID/GO-9999-0001.json": report,
}

var module = map[string]string{
	"go.mod":         "module example.org/caller\n\ngo 1.26\n",
	"holed/main.go":  "package main\n\nimport \"strings\"\n\nfunc main() { println(strings.ToUpper(\"a\")) }\n",
	"beside/main.go": "package main\n\nimport \"strings\"\n\nfunc main() { println(strings.Count(\"a\", \"b\")) }\n",
}

func write(t *testing.T, files map[string]string) string {
	t.Helper()
	dir := t.TempDir()
	for path, text := range files {
		path = filepath.Join(dir, filepath.FromSlash(path))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// The tool itself, against the invented database in both of its forms: a call of
// the vulnerability is found, a call beside it is not.
func TestInventedVulnerability(t *testing.T) {
	dir := write(t, module)
	for name, files := range map[string]map[string]string{"indexed": indexed, "flat": {"GO-9999-0001.json": report}} {
		t.Run(name, func(t *testing.T) {
			db := database{address: located(write(t, files))}
			got, err := ask(dir, db, "./holed")
			if errors.Is(err, errUnknown) {
				t.Skipf("the tool cannot be fetched here: %v", err)
			}
			want := "GO-9999-0001: an invented vulnerability\n\tstdlib v" + strings.TrimPrefix(got.toolchain, "go") +
				", fixed in v9.0.0; holed/main.go:5: holed.main calls strings.ToUpper\n" +
				"vulnerable: " + got.toolchain +
				": 1 reports on what is brought in, of any version; 1 on these versions are called, 0 are not\n"
			if err != nil || got.text() != want {
				t.Errorf("a call of the vulnerability: %v\n%s, want\n%s", err, got.text(), want)
			}
			if got, err := ask(dir, db, "./beside"); err != nil || got.known != 1 || len(got.vulnerabilities) != 0 ||
				got.notCalled != 1 {
				t.Errorf("a call beside it: %+v, %v", got, err)
			}
		})
	}
}

// What is no answer is not taken for a good one: govulncheck itself finds nothing
// in an empty database and is content.
func TestNoAnswer(t *testing.T) {
	dir, empty := write(t, module), located(t.TempDir())
	_, err := ask(dir, database{address: empty}, "./beside")
	if errors.Is(err, errUnknown) && !strings.Contains(err.Error(), "no report") {
		t.Skipf("the tool cannot be fetched here: %v", err)
	}
	if !errors.Is(err, errUnknown) {
		t.Errorf("an empty database: %v", err)
	}
	for name, c := range map[string]struct{ db, packages string }{
		"no such database": {empty + "/nowhere", "./beside"},
		"no such package":  {empty, "./nowhere"},
	} {
		if _, err := ask(dir, database{address: c.db}, c.packages); err == nil || errors.Is(err, errUnknown) {
			t.Errorf("%s: %v, want a failure", name, err)
		}
	}
}

// A called vulnerability fails, whatever is required. Where the tool cannot be fetched
// nothing is known, and that passes, unless an answer is required.
func TestRun(t *testing.T) {
	dir, db := write(t, module), located(write(t, indexed))
	if _, err := ask(dir, database{address: db}, "./beside"); errors.Is(err, errUnknown) {
		t.Skipf("the tool cannot be fetched here: %v", err)
	}
	if err := run(dir, db, false); err == nil || !strings.Contains(err.Error(), "a known vulnerability is called") {
		t.Errorf("a call of the vulnerability: %v", err)
	}
	newer := map[string]string{"go.mod": module["go.mod"] + "\ntoolchain go1.999.0\n",
		"holed/main.go": module["holed/main.go"]}
	t.Setenv("GOTOOLCHAIN", "local")
	held := write(t, newer)
	if err := run(held, db, false); err != nil {
		t.Errorf("a vulnerability of a Go older than the one that is meant: %v", err)
	}
	if err := run(held, db, true); err == nil || !strings.Contains(err.Error(), "go.mod names go1.999.0") {
		t.Errorf("the same, and clean is required: %v", err)
	}
	nothing(t)
	if err := run(dir, db, false); err != nil {
		t.Errorf("without the tool: %v", err)
	}
	for _, db := range []string{db, ""} {
		if err := run(dir, db, true); !errors.Is(err, errUnknown) {
			t.Errorf("without the tool, database %q, an answer required: %v", db, err)
		}
	}
}

// nothing takes module cache and proxy away.
func nothing(t *testing.T) {
	t.Helper()
	t.Setenv("GOPROXY", "off")
	t.Setenv("GOMODCACHE", t.TempDir())
	t.Setenv("GOFLAGS", "-modcacherw") // so that the folder can be removed
}

// The newest database is asked when it is another than the pinned one, and came from
// where the newest is.
func TestNewer(t *testing.T) {
	pin, next := database{description: "of May"}, database{description: "of June"}
	for name, c := range map[string]struct {
		newest database
		err    error
		more   bool
		fails  bool
	}{
		"another":             {newest: next, more: true},
		"the same":            {newest: pin},
		"from the cache":      {newest: database{description: "of June", proxy: "GOPROXY=file:///cache"}, fails: true},
		"the same, but cache": {newest: database{description: "of May", proxy: "GOPROXY=file:///cache"}, fails: true},
		"not to be had":       {err: errors.New("no way out"), fails: true},
	} {
		if more, err := newer(pin, c.newest, c.err); more != c.more || (err != nil) != c.fails {
			t.Errorf("%s: %v, %v", name, more, err)
		}
	}
}
