package main

import (
	"crypto/sha256"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"soletrial/pipeline/derive"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
	"soletrial/pipeline/trial"
)

// sumOf is the SHA-256 of all files of a folder, with their paths, in path order.
func sumOf(t *testing.T, dir string) string {
	t.Helper()
	sum := sha256.New()
	err := fs.WalkDir(os.DirFS(dir), ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		text, err := os.ReadFile(filepath.Join(dir, path))
		fmt.Fprintf(sum, "%s\n%d\n%s", path, len(text), text)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return fmt.Sprintf("%x", sum.Sum(nil))
}

// The same seed gives the same bytes on every machine: the sum is pinned. It changes
// with the canonical form of the tables, and then here.
func TestTheSameSeedGivesTheSameBytes(t *testing.T) {
	const want = "385225d70aaf4b2aaa9353a977263855e0429829ba99b62d072833205617899e"
	sums := map[uint64]string{}
	for _, seed := range []uint64{1, 1, 2} {
		dir := filepath.Join(t.TempDir(), "data")
		bytes, err := write(dir, size{10, 15, 6, 3}, seed)
		if err != nil || bytes < 400_000 {
			t.Fatal(bytes, err)
		}
		sum := sumOf(t, dir)
		if before, again := sums[seed]; again && before != sum {
			t.Error("one seed gives two datasets")
		}
		sums[seed] = sum
	}
	if sums[1] != want {
		t.Errorf("seed 1 gives %s, want %s", sums[1], want)
	}
	if sums[1] == sums[2] {
		t.Error("two seeds give one dataset")
	}
}

// What is written is a dataset in canonical form, all of which can be compared.
func TestItIsADataset(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "data")
	if _, err := write(dir, size{10, 15, 6, 3}, 3); err != nil {
		t.Fatal(err)
	}
	folder, problems := plaintext.Open(os.DirFS(dir), yamltext.Read, 1)
	result, problems, err := derive.FromFolder(folder, problems, derive.Options{})
	if err != nil || len(problems) > 0 {
		t.Fatal(err, problems)
	}
	if untidy, problems := folder.Tidy(); len(untidy)+len(problems) > 0 {
		t.Errorf("%d files are not in canonical form: %v", len(untidy), problems)
	}
	for _, f := range result.Findings {
		if f.Severity == trial.Stop {
			t.Errorf("%s block %s: %s: %s", f.Session, f.Block, f.Rule, f.Message)
		}
	}
	if c := result.Compare.Find(trial.Speed, "power 250", "birch", "alder"); c == nil || c.Blocks < 4 {
		t.Errorf("birch and alder are not compared: %+v", c)
	}
	if !folder.Dataset.Facts.Invented {
		t.Error("the dataset is not marked as invented")
	}
}

func TestRefusals(t *testing.T) {
	full := t.TempDir()
	if err := os.WriteFile(filepath.Join(full, "mine"), nil, 0o666); err != nil {
		t.Fatal(err)
	}
	for what, err := range map[string]error{
		"no folder":         second(write("", size{10, 15, 6, 3}, 1)),
		"too few sessions":  second(write(t.TempDir(), size{9, 15, 6, 3}, 1)),
		"too many sessions": second(write(t.TempDir(), size{10_001, 15, 6, 3}, 1)),
		"too short":         second(write(t.TempDir(), size{10, 14, 6, 3}, 1)),
		"too few shoes":     second(write(t.TempDir(), size{10, 15, 1, 3}, 1)),
		"too many shoes":    second(write(t.TempDir(), size{10, 15, 61, 3}, 1)),
		"too many runners":  second(write(t.TempDir(), size{10, 15, 6, 4}, 1)),
		"not empty":         second(write(full, size{10, 15, 6, 3}, 1)),
	} {
		if err == nil {
			t.Errorf("%s: not refused", what)
		}
	}
}

func second(_ int64, err error) error { return err }
