package main_test

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"soletrial/cmd/internal/cli"
	"soletrial/pipeline/datapackage"
	"soletrial/pipeline/trial"
)

// guides are the README files that tell people how to use the program, from the top
// of the repository.
var guides = []string{"README.md", "cmd/README.md", "data/README.md", "pipeline/README.md", "viewer/README.md"}

// longestReadme is how many lines README.md may have: who comes here for the first
// time should get through it.
const longestReadme = 130

func TestReadmeIsShort(t *testing.T) {
	if n := strings.Count(read(t, "../../README.md"), "\n"); n > longestReadme {
		t.Errorf("README.md has %d lines, at most %d: the rest belongs into the README of a folder", n, longestReadme)
	}
}

// readmeFolder returns a folder with what the examples are run on: a copy of the
// demonstration outside any repository, for what a history shows of plans is not the
// same in every clone, and a reader's own recording, which is an invented one.
func readmeFolder(t *testing.T) string {
	t.Helper()
	outside := t.TempDir()
	if err := os.CopyFS(filepath.Join(outside, "data"), os.DirFS("../../data")); err != nil {
		t.Fatal(err)
	}
	day := read(t, "../../pipeline/recording/testdata/days/abba.fit")
	if err := os.WriteFile(filepath.Join(outside, "morning.fit"), []byte(day), 0o666); err != nil {
		t.Fatal(err)
	}
	t.Setenv("GIT_CEILING_DIRECTORIES", outside)
	return outside
}

// consoleBlock is an example: a command after "$ " and what it prints.
var consoleBlock = regexp.MustCompile("(?ms)^```console\n\\$ soletrial ([^\n]*)\n(.*?)^```$")

// TestReadmeExamples runs every example over the demonstration and compares what it
// prints; -update writes it into the file.
func TestReadmeExamples(t *testing.T) {
	examples := 0
	for _, guide := range guides {
		t.Run(guide, func(t *testing.T) {
			text := read(t, "../../"+guide)
			path, err := filepath.Abs("../../" + guide)
			if err != nil {
				t.Fatal(err)
			}
			t.Chdir(readmeFolder(t))
			mended := consoleBlock.ReplaceAllStringFunc(text, func(block string) string {
				examples++
				parts := consoleBlock.FindStringSubmatch(block)
				return "```console\n$ soletrial " + parts[1] + "\n" + printed(t, parts[1], parts[2]) + "```"
			})
			save(t, path, text, mended)
		})
	}
	if examples < 7 {
		t.Errorf("found %d examples, want at least 7", examples)
	}
}

// printed runs an example and returns what it prints, which should be want.
func printed(t *testing.T, command, want string) string {
	t.Helper()
	var stdout, stderr bytes.Buffer
	if code := cli.Main(strings.Fields(command), strings.NewReader(""), &stdout, &stderr); code != 0 {
		t.Errorf("soletrial %s exits with %d: %s", command, code, stderr.String())
	}
	if got := stdout.String(); got != want && !*update {
		t.Errorf("soletrial %s prints\n%s\nthe README has\n%s", command, got, want)
	}
	for _, line := range strings.Split(stdout.String(), "\n") {
		if n := len([]rune(line)); n > 80 && strings.HasPrefix(command, "compare") {
			t.Errorf("compare prints a line of %d letters: %q", n, line)
		}
	}
	return stdout.String()
}

// save writes a file anew under -update, where it is to change.
func save(t *testing.T, path, was, is string) {
	t.Helper()
	if !*update || is == was {
		return
	}
	if err := os.WriteFile(path, []byte(is), 0o644); err != nil {
		t.Fatal(err)
	}
}

// shellBlock is a list of commands that is run as it stands.
var shellBlock = regexp.MustCompile("(?ms)^```sh\n(.*?)^```$")

// TestReadmeCommandsRun runs the commands of every shell example, those of one file one
// after the other, as a person would type them. What only starts make is not run: it is
// a target of the Makefile.
func TestReadmeCommandsRun(t *testing.T) {
	makefile, ran := read(t, "../../Makefile"), 0
	for _, guide := range guides {
		t.Run(guide, func(t *testing.T) {
			text := read(t, "../../"+guide)
			folder := readmeFolder(t)
			for _, block := range shellBlock.FindAllStringSubmatch(text, -1) {
				if strings.HasPrefix(block[1], "make ") {
					for _, line := range strings.Split(strings.TrimSpace(block[1]), "\n") {
						if target := strings.Fields(line)[1]; !strings.Contains(makefile, "\n"+target+": ") {
							t.Errorf("the Makefile has no target %q", target)
						}
					}
					continue
				}
				ran++
				shell := exec.Command("sh", "-ec", block[1])
				shell.Dir = folder
				if out, err := shell.CombinedOutput(); err != nil {
					t.Errorf("%v: the commands\n%s\nprint\n%s", err, block[1], out)
				}
			}
		})
	}
	if ran < 3 {
		t.Errorf("ran %d shell examples, want at least 3", ran)
	}
}

// TestReadmeNamesEverything fails when a column, a command or a flag is in none of
// the guides.
func TestReadmeNamesEverything(t *testing.T) {
	var all string
	for _, guide := range guides {
		all += read(t, "../../"+guide)
	}
	want := func(kind, name string) {
		t.Helper()
		if !strings.Contains(all, "`"+name) {
			t.Errorf("no README names the %s %q", kind, name)
		}
	}
	for c := range trial.ChannelCount {
		want("channel", c.Info().Column)
	}
	for m := range trial.MeasureCount {
		want("measured column", m.Outcome().Info().Column)
	}
	for _, table := range datapackage.Tables() {
		for _, field := range table.Fields {
			want("column", field.Name)
		}
	}
	commands, names := read(t, "../../cmd/README.md"), commandNames(t)
	for _, name := range names {
		want("command", name)
		for _, flag := range longFlag.FindAllString(help(t, name), -1) {
			if !strings.Contains(commands, flag) {
				t.Errorf("cmd/README.md does not name the flag %s of %s", flag, name)
			}
		}
	}
	if len(names) < 8 {
		t.Fatalf("read %d commands from --help, want more: %q", len(names), names)
	}
}

// longFlag is a flag where --help lists it.
var longFlag = regexp.MustCompile(`(?m)--[a-z-]+`)

// commandNames are the commands that --help lists.
func commandNames(t *testing.T) (names []string) {
	t.Helper()
	_, commands, _ := strings.Cut(help(t), "Available Commands:\n")
	commands, _, _ = strings.Cut(commands, "\n\n")
	for _, line := range strings.Split(commands, "\n") {
		if name, _, ok := strings.Cut(strings.TrimSpace(line), " "); ok && name != "help" {
			names = append(names, name)
		}
	}
	return names
}

// help is what --help prints after the words of a command.
func help(t *testing.T, command ...string) string {
	t.Helper()
	var out bytes.Buffer
	if code := cli.Main(append(command, "--help"), strings.NewReader(""), &out, &out); code != 0 {
		t.Errorf("soletrial %q --help exits with %d", command, code)
	}
	return out.String()
}

// called is a call of the program, in an example that is not run or in a sentence.
var called = regexp.MustCompile("(?m)(?:^|`)soletrial ([a-z]+)([^#\n&`]*)")

// TestReadmeFlagsExist fails when a guide shows a command or a flag that the program
// does not have.
func TestReadmeFlagsExist(t *testing.T) {
	calls, names := 0, commandNames(t)
	for _, guide := range guides {
		for _, call := range called.FindAllStringSubmatch(read(t, "../../"+guide), -1) {
			calls++
			if !slices.Contains(names, call[1]) {
				t.Errorf("%s calls %q, which the program does not know", guide, call[1])
				continue
			}
			for _, word := range strings.Fields(call[2]) {
				flag, _, _ := strings.Cut(strings.Trim(word, "[]"), "=")
				if strings.HasPrefix(flag, "-") && !strings.Contains(help(t, call[1]), flag) {
					t.Errorf("%s gives %s the flag %s, which it does not have", guide, call[1], flag)
				}
			}
		}
	}
	if calls < 15 {
		t.Fatalf("found %d calls, want at least 15", calls)
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
