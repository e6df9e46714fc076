package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// theRest is a guide that goes on for too long.
var theRest = strings.Repeat("The rest.\n", 200)

// spoilt is a repository in which every rule is broken.
var spoilt = map[string]string{
	"go.mod":       "module " + strings.TrimSuffix(module, "/") + "\n\ngo 1.26\n\nrequire example.org/unused v1.0.0\n",
	"misc/misc.go": "// Package misc is on no map.\npackage misc\n",
	mapFile: `# Spoilt.
pipeline/units: pure, exact, explorer
	decimals
	imports pipeline/stats
pipeline/stats: pure, exact
	numbers
	imports pipeline/units
pipeline/trial: pure
	nouns
pipeline/gone: pure
	nothing
viewer:
	the explorer
viewer/convert/worker: converter
	the converter
scripts/long:
	long
scripts/ugly:
	ugly
`,
	guide: "# For developers\n" + mapStart + "| an old table |\n" + mapEnd + theRest,
	"pipeline/units/units.go": `// Package units is spoilt.
package units

import (
	"os"

	"soletrial/pipeline/trial"
)

// Args is said.
var Args = os.Args

type Bare struct{}

func Silent() int { return trial.N }

// Said is said.
func Said() {}

func (Bare) Mute() {}

func (Bare) String() string { return "" }
`,
	"pipeline/trial/trial.go": "// Package trial is sound.\npackage trial\n\n// N is said.\nconst N = 1\n",
	"pipeline/stats/stats.go": `// Package stats fuses.
package stats

import "math"

// Fused may be fused in two places, and is not in the others.
func Fused(a, b, c float64) float64 {
	t := a * b
	t *= c
	ok := float64(a*b) + a*b/c
	if a*b < c {
		return math.Exp(ok)
	}
	return t + math.Sqrt(a)
}
`,
	"viewer/main_js.go": `// Command viewer links too much.
package main

import "net/http"

func main() { http.Get("") }
`,
	"viewer/convert/worker/main.go": `// Command worker links too much.
package main

import "net/netip"

func main() { netip.IPv6Unspecified() }
`,
	"viewer/other.go": "//go:build !js\n\n// Command viewer is elsewhere.\npackage main\n\nfunc main() {}\n",
	"cmd/soletrial/main.go": "// Command soletrial uses templates.\npackage main\n\nimport _ \"html/template\"\n\n" +
		"func main() {}\n",
	"scripts/long/long.go": "// Command long is long.\npackage main\n\nfunc main() {\n" +
		strings.Repeat("\tprintln()\n", 400) + "}\n",
	"scripts/ugly/ugly.go": "// Command ugly is not formatted.\npackage main\nfunc main( ) {}\n// " +
		strings.Repeat("é", 113) + "\n\t// " + strings.Repeat("é", 114) + "\n",
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
		{"top level", topLevel, []string{
			"misc: not part of the top level", "data: missing", "go.sum: missing", "README.md: missing",
			"CHANGELOG.md: missing", "LICENSE: missing", "Makefile: missing",
		}},
		{"arrows", arrows, []string{
			"misc: not on the map", "cmd/soletrial: not on the map",
			"pipeline/units imports pipeline/trial, which the map does not allow",
			"pipeline/units: the map allows pipeline/stats, which it does not import",
			"pipeline/units: the map allows pipeline/stats, which does not stand above it",
			"pipeline/stats: the map allows pipeline/units, which it does not import",
			"pipeline/gone: on the map in scripts/rules/packages.txt, but there is no such package",
		}},
		{"map", shownMap, []string{
			"DEVELOPERS.md: the table of packages is not that of", "DEVELOPERS.md: 211 lines, at most 200",
		}},
		{"purity", purity, []string{"pipeline/units imports os, but is pure"}},
		{"program", programLinks, []string{"the program links html/template"}},
		{"viewer", viewerLinks, []string{
			"the explorer links net/http", "the converter links net/netip",
			"pipeline/units: linked into the explorer: false; the map says true",
			"viewer: linked into the explorer: true; the map says false",
		}},
		{"fused", inStats, []string{
			"stats.go:8:7: product not rounded", "stats.go:9:2: *= leaves the product unrounded",
			"stats.go:12:10: math.Exp differs between processors",
		}},
		{"documented", documented, []string{
			"units.go:13:6: Bare has no comment", "units.go:15:1: Silent has no comment",
			"units.go:20:1: Mute has no comment",
		}},
		{"small", small, []string{"scripts/long/long.go: 405 lines"}},
		{"narrow", narrow, []string{"scripts/ugly/ugly.go:5: 1 lines over 120 columns"}},
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

func TestTheMapIsWrittenIntoTheGuide(t *testing.T) {
	inSpoilt(t)
	if err := writeMap(); err != nil {
		t.Fatal(err)
	}
	if said, err := shownMap(); err != nil || len(said) != 1 || !strings.Contains(said[0], "lines") {
		t.Errorf("after writing: %v %v", said, err)
	}
	text, err := os.ReadFile(guide)
	if err != nil {
		t.Fatal(err)
	}
	afterwards := "| `viewer` | `viewer` the explorer; `convert/worker` the converter | |\n" +
		"| `scripts` | `long` long; `ugly` ugly | |\n" + mapEnd + theRest
	const want = "# For developers\n" + mapStart + "| package | does | |\n|---|---|---|\n" +
		"| `pipeline/units` | decimals | pure, exact, explorer |\n"
	if !strings.HasPrefix(string(text), want) || !strings.HasSuffix(string(text), afterwards) {
		t.Errorf("the guide is\n%s", text)
	}
}

func TestAMapThatCannotBeReadIsNamedByLine(t *testing.T) {
	for text, want := range map[string]string{
		"\tdecimals\n":                      "packages.txt:1: belongs to no package",
		"# said\npipeline/units\n":          "packages.txt:2: not a new PATH: TRAITS",
		"pipeline/units: pure, clean\n":     "packages.txt:1: not a new PATH: TRAITS",
		"pipeline/units: pure,\n":           "packages.txt:1: not a new PATH: TRAITS",
		"a:\n\tone\nb:\n\tone\na:\n\tone\n": "packages.txt:5: not a new PATH: TRAITS",
		"a:\n\tone\n\ttwo\n":                "packages.txt:3: a second line",
	} {
		dir := t.TempDir()
		t.Chdir(dir)
		if err := os.MkdirAll(filepath.Dir(mapFile), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(mapFile, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		if _, err := readMap(); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %q", text, err, want)
		}
	}
}
