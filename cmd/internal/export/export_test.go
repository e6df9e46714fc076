package export

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"soletrial/pipeline/flat"
	"soletrial/pipeline/trial"
)

const demo = "../../../data"

// exported runs the program, which must succeed.
func exported(t testing.TB, args ...string) {
	t.Helper()
	var said bytes.Buffer
	if code := Main(args, &said, &said); code != 0 {
		t.Fatalf("soletrial-export %v exits %d: %s", args, code, &said)
	}
}

// sums are the hashes of all files below a folder by path.
func sums(t testing.TB, folder string) map[string]string {
	t.Helper()
	all := map[string]string{}
	err := fs.WalkDir(os.DirFS(folder), ".", func(path string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		text, err := os.ReadFile(filepath.Join(folder, filepath.FromSlash(path)))
		sum := sha256.Sum256(text)
		all[path] = hex.EncodeToString(sum[:])
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// The same dataset gives the same bytes, wherever it lies, however many processors there are.
func TestSameBytesEveryTime(t *testing.T) {
	dir := t.TempDir()
	if err := os.CopyFS(filepath.Join(dir, "elsewhere"), os.DirFS(demo)); err != nil {
		t.Fatal(err)
	}
	exported(t, "trial="+demo, "-o", filepath.Join(dir, "one"))
	exported(t, "trial="+demo, "--samples", filepath.Join(dir, "one.csv"))
	exported(t, "trial="+demo, "--samples", filepath.Join(dir, "one.parquet"))
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	exported(t, "trial="+filepath.Join(dir, "elsewhere"), "-o", filepath.Join(dir, "two"))
	exported(t, "trial="+filepath.Join(dir, "elsewhere"), "--samples", filepath.Join(dir, "two.csv"))
	exported(t, "trial="+filepath.Join(dir, "elsewhere"), "--samples", filepath.Join(dir, "two.parquet"))
	one, two := sums(t, filepath.Join(dir, "one")), sums(t, filepath.Join(dir, "two"))
	if len(one) != 15 || len(two) != 15 { // two devices in seven sessions, and the list
		t.Fatalf("%d and %d files", len(one), len(two))
	}
	for path, sum := range one {
		if two[path] != sum {
			t.Errorf("%s differs", path)
		}
	}
	all := sums(t, dir)
	for _, kind := range []string{".csv", ".parquet"} {
		if all["one"+kind] == "" || all["one"+kind] != all["two"+kind] {
			t.Errorf("the tables %s differ", kind)
		}
	}
}

// The list of files is what sha256sum would write.
func TestListHasTheHashes(t *testing.T) {
	out := filepath.Join(t.TempDir(), "out")
	exported(t, demo, "-o", out)
	list, err := os.ReadFile(filepath.Join(out, listFile))
	if err != nil {
		t.Fatal(err)
	}
	all := sums(t, out)
	delete(all, listFile)
	lines := strings.Split(strings.TrimSuffix(string(list), "\n"), "\n")
	if len(lines) != len(all) {
		t.Fatalf("%d lines for %d files", len(lines), len(all))
	}
	for _, line := range lines {
		if sum, path, _ := strings.Cut(line, "  "); all[path] != sum {
			t.Errorf("%s: %s, listed %s", path, all[path], sum)
		}
	}
}

// readBack of both kinds of table notices a file that is not what was written.
func TestReadingBackNotices(t *testing.T) {
	for kind, spoil := range map[string]func([]byte) []byte{
		".csv":     func(text []byte) []byte { return bytes.Replace(text, []byte("268"), []byte("269"), 1) },
		".parquet": func(text []byte) []byte { return bytes.Replace(text, []byte{0x28, 0xb5}, []byte{0x28, 0xb4}, 1) },
	} {
		path := filepath.Join(t.TempDir(), "table"+kind)
		made, err := createTable(path, kind)
		if err != nil {
			t.Fatal(err)
		}
		s := source{"demo", demo}
		_, problems, err := s.eachRecording(1, func(r *flat.Recording) error {
			for row := range r.Rows() {
				if err := made.add(row); err != nil {
					return err
				}
			}
			return nil
		})
		if err != nil || len(problems) > 0 {
			t.Fatal(err, problems)
		}
		if err := made.close(); err != nil {
			t.Fatalf("%s: %v", kind, err)
		}
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		damaged := spoil(text)
		if bytes.Equal(damaged, text) {
			t.Fatalf("%s: nothing to damage", kind)
		}
		if err := os.WriteFile(path, damaged, 0o666); err != nil {
			t.Fatal(err)
		}
		if err := made.(interface{ readBack(string) error }).readBack(path); err == nil {
			t.Errorf("%s: a damaged file passes", kind)
		}
	}
}

// Values that folders may not be called by are escaped as Hive does. Oracle: the examples are
// from the list in FileUtils.java of Apache Hive, from memory; DuckDB reads them in
// [TestDuckDBReadsAwkwardNames].
func TestPartitionValues(t *testing.T) {
	for value, want := range map[string]string{
		"foot_sensor": "foot_sensor", "": "__HIVE_DEFAULT_PARTITION__", "a=b": "a%3Db", "10%": "10%25", "a:b": "a%3Ab",
		"a b": "a%20b", "laufschuh-größe": "laufschuh-größe", "../x": "..%2Fx",
	} {
		if got := partitionValue(value); got != want {
			t.Errorf("%q becomes %q, want %q", value, got, want)
		}
	}
}

func TestSchemaKeepsTheOrder(t *testing.T) {
	columns := flat.Columns()
	fields := schemaOf(columns).Fields()
	if len(fields) != len(columns) || len(fields) < 20+int(trial.ChannelCount) {
		t.Fatalf("%d fields for %d columns", len(fields), len(columns))
	}
	for i, f := range fields {
		if f.Name() != columns[i].Name || !f.Optional() {
			t.Errorf("field %d is %s, want %s", i, f.Name(), columns[i].Name)
		}
	}
}
