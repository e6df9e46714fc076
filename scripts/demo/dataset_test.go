package main

import (
	"bytes"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func generate(t *testing.T, seed uint64) map[string][]byte {
	t.Helper()
	files, err := dataset(seed)
	if err != nil {
		t.Fatal(err)
	}
	return files
}

// The committed demonstration is what the story gives, file by file.
func TestCommittedDatasetIsTheStorys(t *testing.T) {
	files := generate(t, storySeed)
	if len(files) < 20 {
		t.Fatalf("only %d files", len(files))
	}
	for path, text := range files {
		committed, err := os.ReadFile(filepath.Join("../../data", filepath.FromSlash(path)))
		if err != nil {
			t.Error(err)
		} else if !bytes.Equal(committed, text) {
			t.Errorf("data/%s is not what the story gives: run make demo", path)
		}
	}
	sessions := os.DirFS("../../data/sessions")
	err := fs.WalkDir(sessions, ".", func(path string, entry fs.DirEntry, err error) error {
		if err == nil && !entry.IsDir() && files["sessions/"+path] == nil {
			t.Errorf("data/sessions/%s is not part of the story", path)
		}
		return err
	})
	if err != nil {
		t.Error(err)
	}
}

func TestSeedDecidesWhatIsMeasured(t *testing.T) {
	a, b := generate(t, 1), generate(t, 2)
	for path, text := range a {
		chance := strings.HasPrefix(path, "sessions/") && strings.HasSuffix(path, ".csv")
		if same := bytes.Equal(text, b[path]); same == chance {
			t.Errorf("with another seed %s is the same: %v, want %v", path, same, !chance)
		}
	}
	if again := generate(t, 1); !bytes.Equal(again["sessions/2026-03-07-power/foot_sensor.csv"],
		a["sessions/2026-03-07-power/foot_sensor.csv"]) {
		t.Error("the same seed gives other bytes")
	}
}

// Nobody may take the demonstration for a measurement.
func TestEverythingIsMarkedAsInvented(t *testing.T) {
	files := generate(t, storySeed)
	if !strings.Contains(string(files["dataset.yaml"]), "invented: true") {
		t.Error("dataset.yaml does not say invented: true")
	}
	readme, err := os.ReadFile("../../data/README.md")
	if err != nil || !strings.Contains(string(readme), "Everything in this folder is **invented**") {
		t.Errorf("data/README.md does not say that everything is invented (%v)", err)
	}
	for _, path := range []string{"runners.csv", "venues.csv", "shoes.csv"} {
		lines := strings.Split(strings.TrimSpace(string(files[path])), "\n")
		for _, line := range lines[1:] {
			if !strings.Contains(line, "invented") {
				t.Errorf("%s: %q does not say that it is invented", path, line)
			}
		}
		if !strings.Contains(string(files[path]), "invented") {
			t.Errorf("%s does not say that it is invented", path)
		}
	}
}
