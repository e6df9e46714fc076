package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// spoilt is a repository in which every rule is broken.
var spoilt = map[string]string{
	"go.mod":                        "module soletrial\n\ngo 1.26\n\nrequire example.org/unused v1.0.0\n",
	"misc/misc.go":                  "// Package misc is on no map.\npackage misc\n",
	"pipeline/units/units.go":       "// Package units is spoilt.\npackage units\n\nimport (\n\t\"os\"\n\n\t\"soletrial/pipeline/trial\"\n)\n\n// Args is said.\nvar Args = os.Args\n\ntype Bare struct{}\n\nfunc Silent() int { return trial.N }\n\n// Said is said.\nfunc Said() {}\n\nfunc (Bare) Mute() {}\n\nfunc (Bare) String() string { return \"\" }\n",
	"pipeline/trial/trial.go":       "// Package trial is sound.\npackage trial\n\n// N is said.\nconst N = 1\n",
	"pipeline/stats/stats.go":       "// Package stats fuses.\npackage stats\n\nimport \"math\"\n\n// Fused may be fused in two places, and is not in the others.\nfunc Fused(a, b, c float64) float64 {\n\tt := a * b\n\tt *= c\n\tok := float64(a*b) + a*b/c\n\tif a*b < c {\n\t\treturn math.Exp(ok)\n\t}\n\treturn t + math.Sqrt(a)\n}\n",
	"viewer/main_js.go":             "// Command viewer links too much.\npackage main\n\nimport \"net/http\"\n\nfunc main() { http.Get(\"\") }\n",
	"viewer/convert/worker/main.go": "// Command worker links too much.\npackage main\n\nimport \"net/netip\"\n\nfunc main() { netip.IPv6Unspecified() }\n",
	"viewer/other.go":               "//go:build !js\n\n// Command viewer is elsewhere.\npackage main\n\nfunc main() {}\n",
	"scripts/long/long.go":          "// Command long is long.\npackage main\n\nfunc main() {\n" + strings.Repeat("\tprintln()\n", 400) + "}\n",
	"scripts/ugly/ugly.go":          "// Command ugly is not formatted.\npackage main\nfunc main( ) {}\n",
}

// inSpoilt goes to such a repository for the rest of the test.
func inSpoilt(t *testing.T) {
	t.Helper()
	dir := t.TempDir()
	for path, text := range spoilt {
		path = filepath.Join(dir, filepath.FromSlash(path))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	t.Chdir(dir)
	t.Setenv("GOFLAGS", "-mod=mod")
	t.Setenv("GOPROXY", "off")
	for _, args := range [][]string{{"init", "-q"}, {"add", "-A"}} {
		if out, err := exec.Command("git", args...).CombinedOutput(); err != nil {
			t.Fatalf("git %v: %v: %s", args, err, out)
		}
	}
}

// inStats applies the check of products to the one package, since the others are
// not there.
func inStats() ([]string, error) {
	exports, err := exportData()
	if err != nil {
		return nil, err
	}
	broken, products, err := inPackage("pipeline/stats", exports)
	if err == nil && products != 4 {
		err = fmt.Errorf("saw %d products, not 4", products)
	}
	return broken, err
}

func TestEveryRuleIsBrokenAndSaysSo(t *testing.T) {
	inSpoilt(t)
	for _, c := range []struct {
		name  string
		check func() ([]string, error)
		says  []string // all that is said, in any order
	}{
		{"top level", topLevel, []string{"misc: not part of the top level", "data: missing", "cmd: missing", "go.sum: missing", "README.md: missing", "DEVELOPERS.md: missing", "CHANGELOG.md: missing", "LICENSE: missing", "Makefile: missing"}},
		{"arrows", arrows, []string{"misc: not on the map", "pipeline/units imports pipeline/trial, against the arrows"}},
		{"purity", purity, []string{"pipeline/units imports os, but is pure"}},
		{"viewer", viewerLinks, []string{"the explorer links net/http", "the converter links net/netip"}},
		{"fused", inStats, []string{"stats.go:8:7: product not rounded", "stats.go:9:2: *= leaves the product unrounded", "stats.go:12:10: math.Exp differs between processors"}},
		{"documented", documented, []string{"units.go:13:6: Bare has no comment", "units.go:15:1: Silent has no comment", "units.go:20:1: Mute has no comment"}},
		{"small", small, []string{"scripts/long/long.go: 405 lines"}},
		{"tidy", tidy, []string{"scripts/ugly/ugly.go: gofmt would change it", "go.mod, go.sum: run go mod tidy"}},
	} {
		said, err := c.check()
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		text := strings.Join(said, "\n")
		for _, want := range c.says {
			if !strings.Contains(text, want) {
				t.Errorf("%s does not say %q but\n%s", c.name, want, text)
			}
		}
		if len(said) != len(c.says) {
			t.Errorf("%s says %d things, want %d:\n%s", c.name, len(said), len(c.says), text)
		}
	}
}
