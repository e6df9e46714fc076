package cli

import (
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"

	"soletrial/cmd/internal/cli/companions"
)

// workflow is what these tests look at in a workflow; the keys are those of the host's
// workflow syntax.
type workflow struct {
	On          any               `yaml:"on"`
	Permissions map[string]string `yaml:"permissions"`
	Env         map[string]string `yaml:"env"`
	Jobs        map[string]job    `yaml:"jobs"`
}

type job struct {
	Needs       string            `yaml:"needs"`
	RunsOn      string            `yaml:"runs-on"`
	Permissions map[string]string `yaml:"permissions"`
	Steps       []struct {
		Uses string         `yaml:"uses"`
		Run  string         `yaml:"run"`
		With map[string]any `yaml:"with"`
	} `yaml:"steps"`
}

// workflows are those of this repository, and the one that init writes.
func workflows(t *testing.T) map[string]string {
	t.Helper()
	texts := map[string]string{}
	paths, err := filepath.Glob("../../../.github/workflows/*.yml")
	if err != nil || len(paths) < 2 {
		t.Fatalf("found %q, %v", paths, err)
	}
	for _, path := range paths {
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		texts[filepath.Base(path)] = string(text)
	}
	files, err := companions.Files(companions.Options{Host: "github", Archive: "https://example.org/a.tar.gz",
		SHA256: strings.Repeat("0", 64)})
	if err != nil {
		t.Fatal(err)
	}
	texts["of init"] = string(files[companions.WorkflowPath])
	return texts
}

func parsed(t *testing.T, text string) workflow {
	t.Helper()
	var w workflow
	if err := yaml.Unmarshal([]byte(text), &w); err != nil {
		t.Fatal(err)
	}
	return w
}

// The rules are those of the host's own guide to secure use: actions pinned to a full commit
// hash, no rights but those a job needs, nothing of an event pasted into a shell.
func TestWorkflowsAreSafe(t *testing.T) {
	pinned := regexp.MustCompile(`^[a-z-]+/[a-z-]+@[0-9a-f]{40}$`)
	for name, text := range workflows(t) {
		w := parsed(t, text)
		if w.Permissions == nil || len(w.Permissions) != 0 {
			t.Errorf("%s: every job has the rights %v, want none", name, w.Permissions)
		}
		if len(w.Jobs) != 2 || strings.Contains(text, "pull_request_target") {
			t.Errorf("%s: %d jobs, want one that makes and one that publishes; no event with a stranger's code",
				name, len(w.Jobs))
		}
		for id, j := range w.Jobs {
			writes := slices.Contains(slices.Collect(maps.Values(j.Permissions)), "write")
			if len(j.Steps) == 0 || writes != (id == "publish") || writes && j.Needs == "" {
				t.Errorf("%s, %s: %d steps, rights %v, after %q", name, id, len(j.Steps), j.Permissions, j.Needs)
			}
			for i, step := range j.Steps {
				if (step.Uses == "") == (step.Run == "") || step.Uses != "" && !pinned.MatchString(step.Uses) {
					t.Errorf("%s, %s, step %d uses %q and runs %q", name, id, i+1, step.Uses, step.Run)
				}
				if strings.Contains(step.Run, "${{") {
					t.Errorf("%s, %s, step %d pastes an expression into a shell: %s", name, id, i+1, step.Run)
				}
				checkout := strings.HasPrefix(step.Uses, "actions/checkout@")
				if checkout && (writes || step.With["persist-credentials"] != false) {
					t.Errorf("%s, %s, step %d keeps the rights of the checkout", name, id, i+1)
				}
			}
		}
	}
}

// A dataset's workflow checks what it fetched, and does what the repository's own does.
func TestDatasetWorkflowDoesWhatOursDoes(t *testing.T) {
	texts := workflows(t)
	ours, theirs := parsed(t, texts["publish.yml"]), parsed(t, texts["of init"])
	commands := func(w workflow) (list []string) {
		for _, step := range w.Jobs["check"].Steps {
			words := strings.Fields(step.Run)
			if len(words) < 2 || !strings.HasSuffix(words[0], "soletrial") {
				continue
			}
			for _, flag := range []string{"--dry-run", "--verify", "-o"} {
				if slices.Contains(words, flag) {
					list = append(list, words[1]+" "+flag)
				}
			}
			if words[1] == "check" {
				list = append(list, "check")
			}
		}
		return list
	}
	want := []string{"tidy --dry-run", "derive --verify", "check", "publish -o"}
	if got := commands(theirs); !slices.Equal(got, want) {
		t.Errorf("a dataset's workflow runs %q, want %q", got, want)
	}
	if got := commands(ours); !slices.Equal(got, want) {
		t.Errorf("the repository's own runs %q, want %q", got, want)
	}
	fetch := theirs.Jobs["check"].Steps[1].Run
	sum, unpack := strings.Index(fetch, "sha256sum -c"), strings.Index(fetch, "tar -x")
	if sum < 0 || unpack < sum || !strings.Contains(fetch, "--proto '=https'") ||
		theirs.Env["SOLETRIAL_ARCHIVE"] != "https://example.org/a.tar.gz" ||
		theirs.Env["SOLETRIAL_SHA256"] != strings.Repeat("0", 64) {
		t.Errorf("the program is fetched from %v by\n%s", theirs.Env, fetch)
	}
}

func TestReleaseWorkflowBuildsWithoutRights(t *testing.T) {
	w := parsed(t, workflows(t)["release.yml"])
	if got := w.Jobs["build"].Permissions; len(got) != 1 || got["contents"] != "read" {
		t.Errorf("building may %v", got)
	}
	for _, step := range w.Jobs["publish"].Steps {
		if strings.Contains(step.Run, "make") || strings.Contains(step.Run, "go ") {
			t.Errorf("the job with the right to publish runs %q", step.Run)
		}
	}
}
