package main

import (
	"errors"
	"strings"
	"testing"
)

// stream is what govulncheck -format json writes, shortened: a vulnerability that is called
// in four ways and fixed, one that is called and not fixed, one in a package that
// is imported, one in a module that is required, and a report on another version.
const stream = `{"config":{"protocol_version":"v1.0.0","scanner_name":"govulncheck","go_version":"go1.26.8",
"scan_level":"symbol"}}
{"SBOM":{"go_version":"go1.26.8","modules":[{"path":"example.org/ours"},{"path":"stdlib","version":"v1.26.8"}],
"roots":["example.org/ours"]}}
{"progress":{"message":"Checking the code against the vulnerabilities..."}}
{"osv":{"id":"GO-9999-0002","summary":"a vulnerability with a way out"}}
{"osv":{"id":"GO-9999-0001","summary":"a vulnerability without"}}
{"osv":{"id":"GO-9999-0003","summary":"imported only"}}
{"osv":{"id":"GO-9999-0004","summary":"required only"}}
{"osv":{"id":"GO-9999-0005","summary":"another version's"}}
{"osv":{"id":"GO-9999-0005","summary":"another version's"}}
{"finding":{"osv":"GO-9999-0002","fixed_version":"v1.26.9","trace":[{"module":"stdlib","version":"v1.26.8"}]}}
{"finding":{"osv":"GO-9999-0002","fixed_version":"v1.26.9","trace":[{"module":"stdlib","version":"v1.26.8",
"package":"net/http","function":"ServeContent"},
	{"module":"stdlib","version":"v1.26.8","package":"net/http","function":"ServeHTTP","receiver":"*fileHandler",
"position":{"filename":"src/net/http/fs.go","line":9}},
	{"module":"example.org/ours","package":"example.org/ours/cmd/serve","function":"answer","receiver":"*server",
"position":{"filename":"cmd/serve/answer.go","line":81,"column":8}},
	{"module":"example.org/ours","package":"example.org/ours/cmd","function":"main",
"position":{"filename":"cmd/main.go","line":5}}]}}
{"finding":{"osv":"GO-9999-0002","fixed_version":"v1.26.9","trace":[{"module":"stdlib","version":"v1.26.8",
"package":"net/http","function":"ServeContent"},
	{"module":"stdlib","version":"v1.26.8","package":"net/http","function":"serve",
"position":{"filename":"src/net/http/fs.go","line":7}},
	{"module":"example.org/ours","package":"example.org/ours/cmd","function":"main",
"position":{"filename":"cmd/main.go","line":6,"column":8}}]}}
{"finding":{"osv":"GO-9999-0002","fixed_version":"v1.26.9","trace":[{"module":"stdlib","version":"v1.26.8",
"package":"net/http","function":"ServeContent"},
	{"module":"stdlib","version":"v1.26.8","package":"net/http","function":"serve",
"position":{"filename":"src/net/http/fs.go","line":7}},
	{"module":"example.org/ours","package":"example.org/ours/cmd","function":"more",
"position":{"filename":"cmd/more.go","line":2,"column":8}}]}}
{"finding":{"osv":"GO-9999-0002","fixed_version":"v1.26.9","trace":[{"module":"stdlib","version":"v1.26.8",
"package":"net/http"}]}}
{"finding":{"osv":"GO-9999-0001","trace":[{"module":"example.org/other","version":"v1.0.0",
"package":"example.org/other/zip","function":"Open","receiver":"Reader"},
	{"module":"example.org/ours","package":"example.org/ours/cmd","function":"main",
"position":{"filename":"cmd/main.go","line":7,"column":8}}]}}
{"finding":{"osv":"GO-9999-0003","trace":[{"module":"stdlib","version":"v1.26.8","package":"net/mail"}]}}
{"finding":{"osv":"GO-9999-0004","trace":[{"module":"stdlib","version":"v1.26.8"}]}}
`

func TestAnswerText(t *testing.T) {
	got, err := parse(strings.NewReader(stream))
	if err != nil {
		t.Fatal(err)
	}
	const want = `GO-9999-0001: a vulnerability without
	example.org/other v1.0.0, not fixed yet; cmd/main.go:7: cmd.main calls zip.Reader.Open
GO-9999-0002: a vulnerability with a way out
	stdlib v1.26.8, fixed in v1.26.9; cmd/main.go:6: cmd.main calls http.serve, which leads to http.ServeContent
vulnerable: go1.26.8: 5 reports on what is brought in, of any version; 2 on these versions are called, 2 are not
`
	if got.text() != want {
		t.Errorf("got\n%s, want\n%s", got.text(), want)
	}
}

func TestNotAnAnswer(t *testing.T) {
	config, rest, _ := strings.Cut(stream, "}}\n")
	config += "}}"
	for name, c := range map[string]struct {
		stream  string
		unknown bool
	}{
		"nothing":                {"", false},
		"no configuration":       {rest, false},
		"broken off":             {stream[:len(stream)/2], false},
		"a database of nothing":  {config, true},
		"a message in the wrong": {`{"finding":[]}`, false},
	} {
		if _, err := parse(strings.NewReader(c.stream)); err == nil || errors.Is(err, errUnknown) != c.unknown {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestHeldBackByTheToolchain(t *testing.T) {
	for _, c := range []struct {
		used, named string
		said        bool
	}{
		{"go1.26.8", "go1.26.11", true},
		{"go1.26.11", "go1.26.11", false},
		{"go1.27.0", "go1.26.11", false},
		{"go1.26.8", "", false},
		{"devel go1.28-abcdef", "go1.26.11", false},
	} {
		if got := heldBack(c.used, c.named); (got != "") != c.said {
			t.Errorf("%s beside %s: %q", c.used, c.named, got)
		}
	}
}

// The Go that go.mod names is read from it as the go command reads it.
func TestNamed(t *testing.T) {
	dir := write(t,
		map[string]string{"go.mod": "module example.org/ours\n\ngo 1.26.8\n\ntoolchain go1.26.11 // a comment\n"})
	if got := named(dir); got != "go1.26.11" {
		t.Errorf("named: %q", got)
	}
	if got := named(t.TempDir()); got != "" {
		t.Errorf("no go.mod: %q", got)
	}
}

// A vulnerability that a newer Go fixes is distinguished from one in a module.
func TestInGoAlone(t *testing.T) {
	in := func(module string) vulnerability {
		return vulnerability{finding: finding{Trace: []frame{{Module: module}}}}
	}
	for _, c := range []struct {
		vulnerabilities []vulnerability
		want            bool
	}{
		{[]vulnerability{in("stdlib"), in("stdlib")}, true},
		{[]vulnerability{in("stdlib"), in("example.org/reader")}, false},
		{[]vulnerability{in("example.org/reader")}, false},
	} {
		if got := (answer{vulnerabilities: c.vulnerabilities}).inGoAlone(); got != c.want {
			t.Errorf("%+v: %v, want %v", c.vulnerabilities, got, c.want)
		}
	}
}
