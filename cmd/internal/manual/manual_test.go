package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"soletrial/cmd/internal/cli"
)

// Every command has a page, dated by SOURCE_DATE_EPOCH, whose options are tagged paragraphs
// (man(7), macro TP) and not lines that begin with a tab.
func TestEveryCommandHasAPage(t *testing.T) {
	t.Setenv("SOURCE_DATE_EPOCH", "1796040000") // 2026-11-30 12:00 UTC, by date -u -d @1796040000
	folder := t.TempDir()
	if err := write(folder); err != nil {
		t.Fatal(err)
	}
	names := []string{"soletrial", "soletrial-export"}
	for _, c := range cli.Command().Commands() {
		if c.IsAvailableCommand() {
			names = append(names, "soletrial-"+c.Name())
		}
	}
	if len(names) < 20 {
		t.Errorf("only %d pages: %q", len(names), names)
	}
	for _, name := range names {
		text, err := os.ReadFile(filepath.Join(folder, "man/man1", name+".1"))
		if err != nil {
			t.Error(err)
			continue
		}
		page := string(text)
		if !strings.Contains(page, `.TH "`+strings.ToUpper(name)+`" "1" "2026-11-30" "soletrial `+cli.Version+`"`) {
			t.Errorf("%s has another heading: %.200s", name, page)
		}
		if !strings.Contains(page, ".TP\n\\fB") || strings.Contains(page, "\n\t") {
			t.Errorf("%s: an option is no tagged paragraph", name)
		}
	}
}

func TestEveryShellHasAScript(t *testing.T) {
	folder := t.TempDir()
	if err := write(folder); err != nil {
		t.Fatal(err)
	}
	for name, part := range map[string]string{"soletrial.bash": "# bash completion V2 for soletrial",
		"_soletrial": "#compdef soletrial", "soletrial.fish": "# fish completion for soletrial",
		"soletrial.ps1": "Register-ArgumentCompleter"} {
		text, err := os.ReadFile(filepath.Join(folder, "completions", name))
		if err != nil || !strings.Contains(string(text), part) {
			t.Errorf("%s lacks %q (%v)", name, part, err)
		}
	}
}

func TestDateThatIsNoNumberIsRefused(t *testing.T) {
	t.Setenv("SOURCE_DATE_EPOCH", "today")
	if err := write(t.TempDir()); err == nil || !strings.Contains(err.Error(), `"today"`) {
		t.Errorf("says %v", err)
	}
}

// cmd/README.md says of every command what the command says of itself.
func TestReadmeListsTheCommandsAsTheyAre(t *testing.T) {
	text, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	wanted, err := withList(string(text))
	if err != nil {
		t.Fatal(err)
	}
	if wanted != string(text) {
		t.Error("cmd/README.md is not what the commands say: run `make commands`")
	}
	for _, part := range []string{"\n### `import`\n", "      --shoes ", "\nsoletrial derive --verify\n"} {
		if !strings.Contains(wanted, part) {
			t.Errorf("the list lacks %q", part)
		}
	}
	if _, err := withList("no marks"); err == nil {
		t.Error("a text without marks passes")
	}
}
