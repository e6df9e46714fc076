package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestJudge(t *testing.T) {
	for _, c := range []struct {
		fine bool
		out  string
		want verdict
	}{
		{true, "No vulnerabilities found.\n", clean},
		{false, "=== Symbol Results ===\n\nVulnerability #1: GO-2021-0113\n\nexit status 3\n", found},
		{false, "govulncheck: fetching vulnerabilities: Get \"https://example.org/index/modules.json.gz\": dial tcp: lookup example.org: no such host\nexit status 1\n", unknown},
		{false, "go: golang.org/x/vuln/cmd/govulncheck@v1.9.0: Get \"https://example.org\": dial tcp 192.0.2.1:443: connect: connection refused\n", unknown},
		{false, "govulncheck: loading packages: there are errors with the provided package patterns\nexit status 1\n", broken},
	} {
		if got := judge(c.fine, c.out); got != c.want {
			t.Errorf("%q: %q, want %q", c.out, got, c.want)
		}
	}
}

// A database on disk in the form of https://go.dev/doc/security/vuln/database that
// knows one invented hole: strings.ToUpper, in every version of Go.
var invented = map[string]string{
	"index/db.json":      `{"modified":"2026-01-01T00:00:00Z"}`,
	"index/modules.json": `[{"path":"stdlib","vulns":[{"id":"GO-9999-0001","modified":"2026-01-01T00:00:00Z","fixed":"9.0.0"}]}]`,
	"index/vulns.json":   `[{"id":"GO-9999-0001","modified":"2026-01-01T00:00:00Z"}]`,
	"ID/GO-9999-0001.json": `{"schema_version":"1.3.1","id":"GO-9999-0001","modified":"2026-01-01T00:00:00Z","published":"2026-01-01T00:00:00Z","summary":"an invented hole","database_specific":{"url":"https://example.org/GO-9999-0001"},
		"affected":[{"package":{"name":"stdlib","ecosystem":"Go"},"ranges":[{"type":"SEMVER","events":[{"introduced":"0"},{"fixed":"9.0.0"}]}],
		"ecosystem_specific":{"imports":[{"path":"strings","symbols":["ToUpper"]}]}}]}`,
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

// The tool itself, against the invented database: a call of the hole is found, a
// call beside it is not.
func TestInventedHole(t *testing.T) {
	db, dir := "file://"+filepath.ToSlash(write(t, invented)), write(t, module)
	verdict, out := ask(dir, db, "./holed")
	if verdict == unknown {
		t.Skipf("the tool cannot be fetched here: %s", out)
	}
	if verdict != found || !strings.Contains(out, "GO-9999-0001") {
		t.Errorf("a call of the hole: %q\n%s", verdict, out)
	}
	if verdict, out := ask(dir, db, "./beside"); verdict != clean {
		t.Errorf("a call beside it: %q\n%s", verdict, out)
	}
}
