package main

import (
	"os"
	"path/filepath"
	"slices"
	"testing"
)

// A guide that names what the code lacks is broken, name by name; what the code declares
// in any way is found.
func TestNamesInTheGuideExist(t *testing.T) {
	t.Chdir(t.TempDir())
	for name, text := range map[string]string{
		"pipeline/units/units.go": `package units

type Root struct{ choice int }

func (r *Root) listen() { refresh := 1; _ = refresh }

const largest = 1

func Format() {}
`,
		"pipeline/units/units_test.go": "package units\n\nfunc onlyInTests() {}\n",
		guide: "# Guide\n\n`elsewhere` is not read.\n\n" + guidedWays[0] + "\n\n`Format(x)`, `units.Format`, " +
			"`Root.listen`, `Root.choice`, `refresh`, `largest`, `units/units.go`, `pipeline/units`, `two words`, " +
			"`Root.gone`, `gone.go`, `onlyInTests`, `units.largest(1)`\n\n## Next\n\n`gone`\n",
	} {
		if err := os.MkdirAll(filepath.Dir(name), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(name, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	got, err := namesExist()
	want := []string{
		"DEVELOPERS.md: there is no Root.gone in the code", "DEVELOPERS.md: there is no gone.go in the code",
		"DEVELOPERS.md: there is no onlyInTests in the code",
		`DEVELOPERS.md: no part "## A dragged slider, step by step"`,
	}
	if err != nil || !slices.Equal(got, want) {
		t.Errorf("%q (%v), want %q", got, err, want)
	}
}
