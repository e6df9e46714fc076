package main_test

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"soletrial/cmd/internal/cli"
	"soletrial/pipeline/quality"
	"soletrial/pipeline/trial"
)

// consoleBlock is an example in the README: a command after "$ " and what it
// prints.
var consoleBlock = regexp.MustCompile("(?ms)^```console\n\\$ soletrial ([^\n]*)\n(.*?)^```$")

// TestReadmeExamples runs every example of the README over the demonstration
// dataset and compares what it prints; -update writes it into the README. They run
// on a copy outside any repository: what its history shows of plans is not the same
// in every clone.
func TestReadmeExamples(t *testing.T) {
	readme := read(t, "../../README.md")
	outside := t.TempDir()
	if err := os.CopyFS(filepath.Join(outside, "data"), os.DirFS("../../data")); err != nil {
		t.Fatal(err)
	}
	day := read(t, "../../pipeline/recording/testdata/days/abba.fit")
	if err := os.WriteFile(filepath.Join(outside, "abba.fit"), []byte(day), 0o666); err != nil {
		t.Fatal(err)
	}
	t.Setenv("GIT_CEILING_DIRECTORIES", outside)
	path, err := filepath.Abs("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(outside)
	examples := 0
	mended := consoleBlock.ReplaceAllStringFunc(readme, func(block string) string {
		examples++
		parts := consoleBlock.FindStringSubmatch(block)
		var stdout, stderr bytes.Buffer
		if code := cli.Main(strings.Fields(parts[1]), strings.NewReader(""), &stdout, &stderr); code != 0 {
			t.Errorf("soletrial %s exits with %d: %s", parts[1], code, stderr.String())
		}
		if got := stdout.String(); got != parts[2] && !*update {
			t.Errorf("soletrial %s prints\n%s\nthe README has\n%s", parts[1], got, parts[2])
		}
		for _, line := range strings.Split(stdout.String(), "\n") {
			if n := len([]rune(line)); n > 80 && strings.HasPrefix(parts[1], "compare") {
				t.Errorf("compare prints a line of %d letters: %q", n, line)
			}
		}
		return "```console\n$ soletrial " + parts[1] + "\n" + stdout.String() + "```"
	})
	if examples < 3 {
		t.Fatalf("found %d examples in the README, want at least 3", examples)
	}
	if *update {
		if err := os.WriteFile(path, []byte(mended), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// ruleTable is the table of rules in the README.
var ruleTable = regexp.MustCompile("(?m)^\\| rule \\| what it looks for \\|\n\\|---\\|---\\|\n(\\| `.*\n)+")

// TestReadmeListsTheRules holds the README's table against the rules; -update
// writes it.
func TestReadmeListsTheRules(t *testing.T) {
	want := "| rule | what it looks for |\n|---|---|\n"
	for _, r := range quality.Rules() {
		want += "| `" + string(r.Slug) + "` | " + r.Brief + " |\n"
	}
	readme := read(t, "../../README.md")
	got := ruleTable.FindString(readme)
	switch {
	case got == "":
		t.Fatal("the README has no table of rules")
	case got == want:
	case *update:
		if err := os.WriteFile("../../README.md", []byte(strings.Replace(readme, got, want, 1)), 0o644); err != nil {
			t.Fatal(err)
		}
	default:
		t.Errorf("the README lists\n%s\nwant\n%s", got, want)
	}
}

// TestReadmeNamesEverything fails when a column, a command or a flag is
// not in the README.
func TestReadmeNamesEverything(t *testing.T) {
	readme := read(t, "../../README.md")
	want := func(kind, name string) {
		t.Helper()
		if !strings.Contains(readme, "`"+name) {
			t.Errorf("the README does not name the %s %q", kind, name)
		}
	}
	for c := range trial.ChannelCount {
		want("channel", c.Info().Column)
	}
	for m := range trial.MeasureCount {
		want("measured column", m.Column())
	}
	var stdout bytes.Buffer
	if code := cli.Main([]string{"--help"}, strings.NewReader(""), &stdout, &stdout); code != 0 {
		t.Fatalf("--help exits with %d", code)
	}
	_, commands, _ := strings.Cut(stdout.String(), "Available Commands:\n")
	commands, _, _ = strings.Cut(commands, "\n\n")
	names := 0
	for _, line := range strings.Split(commands, "\n") {
		if name, _, ok := strings.Cut(strings.TrimSpace(line), " "); ok && name != "help" {
			names++
			want("command", name)
		}
	}
	if names < 8 {
		t.Fatalf("read %d commands from --help, want more:\n%s", names, commands)
	}
}

// shellLine is a call of the program in a shell example that is not run as it
// stands, because a person edits files in between.
var shellLine = regexp.MustCompile(`(?m)^soletrial ([a-z]+)([^#\n&]*)`)

// TestReadmeFlagsExist fails when a shell example uses a command or a flag that
// the program does not have.
func TestReadmeFlagsExist(t *testing.T) {
	calls := shellLine.FindAllStringSubmatch(read(t, "../../README.md"), -1)
	if len(calls) < 4 {
		t.Fatalf("found %d calls in shell examples, want at least 4", len(calls))
	}
	for _, call := range calls {
		var help bytes.Buffer
		if code := cli.Main([]string{call[1], "--help"}, strings.NewReader(""), &help, &help); code != 0 {
			t.Errorf("the README calls %q, which the program does not know", call[1])
		}
		for _, word := range strings.Fields(call[2]) {
			if strings.HasPrefix(word, "-") && !strings.Contains(help.String(), word) {
				t.Errorf("the README gives %s the flag %s, which it does not have", call[1], word)
			}
		}
	}
}

func read(t *testing.T, path string) string {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}
