package main_test

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"soletrial/cmd/internal/cli"
)

// runOf is one run of the program in a script and the lines up to the next.
type runOf struct {
	script, line string
	code         string
	after        []string
}

// scriptRuns reads every run of the program out of the scripts.
func scriptRuns(t *testing.T) []runOf {
	t.Helper()
	paths, err := filepath.Glob(filepath.Join(scriptFolder, "*.txtar"))
	if err != nil || len(paths) == 0 {
		t.Fatalf("no scripts in %s: %v", scriptFolder, err)
	}
	var runs []runOf
	for _, path := range paths {
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		commands, _, _ := strings.Cut(string(text), "\n-- ")
		if !strings.HasPrefix(commands, "# ") {
			t.Errorf("%s: begin with a comment that tells the story", path)
		}
		current := -1
		for _, line := range strings.Split(commands, "\n") {
			words := strings.Fields(line)
			switch {
			case len(words) > 2 && words[0] == "exits":
				runs = append(runs, runOf{script: filepath.Base(path), line: line, code: words[1]})
				current = len(runs) - 1
			case strings.Contains(line, "exec soletrial "):
				t.Errorf("%s: %s: use exits, which asserts the code", path, line)
			case current >= 0 && len(words) > 0 && words[0] != "#":
				runs[current].after = append(runs[current].after, line)
			}
		}
	}
	return runs
}

// Failures are as much a part of the program as successes: at least a third of
// the runs must fail, and of each the message and that nothing was written is
// asserted.
func TestScriptsAssertFailures(t *testing.T) {
	runs := scriptRuns(t)
	failures := 0
	for _, r := range runs {
		if r.code == "0" {
			continue
		}
		failures++
		said, kept := false, false
		for _, line := range r.after {
			said = said || strings.HasPrefix(line, "stderr ") || strings.HasPrefix(line, "cmp stderr ")
			kept = kept || line == "untouched" || strings.HasPrefix(line, "! exists ")
		}
		if !said {
			t.Errorf("%s: %s: assert what the program says on standard error", r.script, r.line)
		}
		if !kept {
			t.Errorf("%s: %s: assert that nothing was written", r.script, r.line)
		}
	}
	if 3*failures < len(runs) {
		t.Errorf("%d of %d runs are failures, want a third", failures, len(runs))
	}
	t.Logf("%d runs, %d of them failures", len(runs), failures)
}

// Every command that the program lists must be run by some script, with success
// and without.
func TestScriptsRunEveryCommand(t *testing.T) {
	var out bytes.Buffer
	if code := cli.Main([]string{"--help"}, nil, &out, &out); code != 0 {
		t.Fatalf("--help exits %d", code)
	}
	_, list, _ := strings.Cut(out.String(), "Available Commands:\n")
	list, _, _ = strings.Cut(list, "\n\n")
	names := regexp.MustCompile(`(?m)^  ([a-z]+) `).FindAllStringSubmatch(list, -1)
	if len(names) < 12 {
		t.Fatalf("--help lists %d commands: %q", len(names), list)
	}
	runs := scriptRuns(t)
	for _, name := range names {
		for _, fine := range []bool{true, false} {
			found := name[1] == "serve" && fine // it runs in the background, see serve_site.txtar
			for _, r := range runs {
				found = found || (r.code == "0") == fine &&
					regexp.MustCompile(`soletrial (-d \S+ )?`+name[1]+`\b`).MatchString(r.line)
			}
			if !found {
				t.Errorf("no script runs %q with success: %v", name[1], fine)
			}
		}
	}
}
