package cli

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/spf13/cobra"
)

// known is one id of each kind that the demonstration has, by the flags that take it.
var known = map[string][]string{
	"fennock": {"shoe", "shoes", "pair", "reference"}, "fennock=": {"weight"}, "r1": {"runner"},
	"millmere-track": {"venue"}, "2026-03-07-power": {"session"}, "foot_sensor": {"device"}, "heart_rate": {"outcome",
		"effort"}, "268": {"target"}, "1=": {"note", "exclude"},
}

// completed asks the program what a shell would, in a copy of the demonstration.
func completed(t *testing.T, args ...string) []string {
	t.Helper()
	var out, said bytes.Buffer
	args = append([]string{cobra.ShellCompRequestCmd}, args...)
	if code := Main(args, strings.NewReader(""), &out, &said); code != 0 {
		t.Fatalf("%q exits %d", args, code)
	}
	var words []string
	for line := range strings.Lines(out.String()) {
		words = append(words, word(strings.TrimSuffix(line, "\n")))
	}
	return words
}

// Every flag of every command that takes an id completes from the dataset, also one that is
// added tomorrow under one of these names.
func TestEveryIDCompletes(t *testing.T) {
	t.Chdir(t.TempDir())
	data, err := filepath.Abs("data")
	if err != nil {
		t.Fatal(err)
	}
	if err := os.CopyFS(data, os.DirFS(repository+"/data")); err != nil {
		t.Fatal(err)
	}
	tried := 0
	for _, c := range Command().Commands() {
		for id, flags := range known {
			for _, flag := range flags {
				if c.Flags().Lookup(flag) == nil || c.Name() == "init" {
					continue
				}
				tried++
				args := []string{c.Name(), "--" + flag, ""}
				if c.Name() == "pool" {
					args = []string{c.Name(), "data", "--" + flag, ""}
				}
				if words := completed(t, args...); !slices.Contains(words, id) {
					t.Errorf("%q completes %q, not %q", args, words, id)
				}
			}
		}
	}
	if tried < 25 {
		t.Errorf("only %d flags take an id", tried)
	}
	for _, args := range [][]string{{"check", ""}, {"rename", "shoe", ""}, {"try", "a.fit="}, {"explain", ""}} {
		words := completed(t, args...)
		if !slices.ContainsFunc(words, func(w string) bool {
			return w == "2026-03-07-power" || strings.HasSuffix(w, "fennock") || w == "order-confounded"
		}) {
			t.Errorf("%q completes %q", args, words)
		}
	}
}

// A word that a flag takes is one that the program knows: each completes, and none else.
func TestWordsComplete(t *testing.T) {
	for want, args := range map[string][]string{
		"half": {"forecast", "--distance", ""}, "half=": {"compare", "--race", ""},
		"trail": {"forecast", "--surface", ""}, "wet": {"log", "--surface", ""},
		"markdown": {"summary", "--format", ""}, "ranking": {"pictures", "--figure", ""},
		"light,transparent": {"pictures", "--ground", "light,"}, "1200x630": {"pictures", "--size", ""},
		"power_w=": {"try", "--map", ""}, "github": {"init", "x", "--ci", ""},
	} {
		if words := completed(t, args...); !slices.Contains(words, want) {
			t.Errorf("%q completes %q, not %q", args, words, want)
		}
	}
	if words := completed(t, "init", "x", "--shoe", ""); slices.Contains(words, "fennock") {
		t.Errorf("init completes a shoe that is not there yet: %q", words)
	}
}
