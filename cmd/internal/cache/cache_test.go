package cache

import (
	"bytes"
	"encoding/hex"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"pgregory.net/rapid"
)

func open(t testing.TB) *Cache {
	t.Helper()
	c, err := Open(filepath.Join(t.TempDir(), "cache"))
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// The tag of nothing under an all-zero key of 256 bits and an all-zero nonce is
// test case 13 of McGrew & Viega, "The Galois/Counter Mode of Operation (GCM)",
// submission to NIST, 2005, appendix B.
func TestSumIsTheTagOfGCM(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, secretFile), make([]byte, secretBytes), 0o600); err != nil {
		t.Fatal(err)
	}
	c, err := Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	sum := c.Sum(nil)
	if got := hex.EncodeToString(sum[:]); got != "530f8afbc74536b9a963b4f1c4cb738b" {
		t.Errorf("the tag is %s", got)
	}
}

// A file has the sum of its bytes, whoever reads it, and any other byte gives
// another sum, wherever it is.
func TestSumTellsBytesApart(t *testing.T) {
	c, dir := open(t), t.TempDir()
	for _, n := range []int{0, 1, chunk - 1, chunk, chunk + 1, 2 * chunk, 3*chunk + 7} {
		data := bytes.Repeat([]byte{7}, n)
		path := filepath.Join(dir, "data")
		if err := os.WriteFile(path, data, 0o600); err != nil {
			t.Fatal(err)
		}
		file, err := os.Open(path)
		if err != nil {
			t.Fatal(err)
		}
		for _, workers := range []int{1, 3} {
			if sum, err := c.SumOf(file, workers); err != nil || sum != c.Sum(data) {
				t.Errorf("%d bytes, %d workers: %x of the file, %x of its bytes, %v", n, workers, sum, c.Sum(data), err)
			}
			file.Seek(0, 0)
		}
		file.Close()
		was := c.Sum(data)
		for _, at := range []int{0, n / 2, n - 1} {
			if n == 0 {
				continue
			}
			data[at] ^= 1
			if c.Sum(data) == was {
				t.Errorf("byte %d of %d makes no difference", at, n)
			}
			data[at] ^= 1
		}
	}
}

func TestSumsOfAnotherCacheDiffer(t *testing.T) {
	if a, b := open(t), open(t); a.Sum([]byte("x")) == b.Sum([]byte("x")) {
		t.Error("two caches have one key")
	}
}

func TestGetGivesWhatWasPut(t *testing.T) {
	c := open(t)
	rapid.Check(t, func(t *rapid.T) {
		name, payload := c.Name("test", rapid.SliceOf(rapid.Byte()).Draw(t, "name")), rapid.SliceOf(rapid.Byte()).Draw(t, "payload")
		c.Put(name, payload)
		if got, found := c.Get(name); !found || !bytes.Equal(got, payload) {
			t.Fatalf("%q, %v; want %q", got, found, payload)
		}
	})
	if _, found := c.Get(c.Name("other", nil)); found {
		t.Error("an entry that was never made is found")
	}
	if c.Name("a", []byte("b\nc")) == c.Name("a\nb", []byte("c")) && c.Name("a", nil) == c.Name("b", nil) {
		t.Error("kinds are not told apart")
	}
}

// However an entry is damaged, it is not there, until it is made again.
func TestDamagedEntriesDoNotExist(t *testing.T) {
	c := open(t)
	name, other, payload := c.Name("test", nil), c.Name("other", nil), bytes.Repeat([]byte("payload"), 100)
	for what, damage := range map[string]func(whole []byte) []byte{
		"cut short": func(b []byte) []byte { return b[:len(b)-1] }, "cut to a sum": func(b []byte) []byte { return b[:16] }, "empty": func([]byte) []byte { return nil },
		"a byte turned":    func(b []byte) []byte { b[50] ^= 4; return b },
		"its sum turned":   func(b []byte) []byte { b[len(b)-1] ^= 1; return b },
		"one byte more":    func(b []byte) []byte { return append(b, 0) },
		"another's entry":  func([]byte) []byte { c.Put(other, payload); b, _ := os.ReadFile(c.path(other)); return b },
		"something of its": func(b []byte) []byte { return append(b, b...) },
	} {
		c.Put(name, payload)
		whole, err := os.ReadFile(c.path(name))
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(c.path(name), damage(whole), 0o600); err != nil {
			t.Fatal(err)
		}
		if got, found := c.Get(name); found {
			t.Errorf("%s: found %q", what, got)
		}
		c.Put(name, payload)
		if got, found := c.Get(name); !found || !bytes.Equal(got, payload) {
			t.Errorf("%s: not mended", what)
		}
	}
}

// Two programs that use one cache at once find whole entries or none.
func TestAtOnce(t *testing.T) {
	c := open(t)
	d, err := Open(c.dir)
	if err != nil {
		t.Fatal(err)
	}
	payload := bytes.Repeat([]byte("x"), 100_000)
	var all sync.WaitGroup
	for _, user := range []*Cache{c, d, c, d} {
		all.Go(func() {
			for i := range 50 {
				name := c.Name("test", []byte{byte(i % 5)})
				if got, found := user.Get(name); found && !bytes.Equal(got, payload) {
					t.Error("half an entry is found")
				}
				user.Put(name, payload)
			}
		})
	}
	all.Wait()
	if left, _ := filepath.Glob(filepath.Join(c.dir, passing+"*")); len(left) > 0 {
		t.Errorf("%q is left over", left)
	}
}

// A cache that cannot be written, or is taken away, is a cache that holds nothing.
func TestWhereNothingCanBeKept(t *testing.T) {
	c := open(t)
	if err := os.RemoveAll(c.dir); err != nil {
		t.Fatal(err)
	}
	name := c.Name("test", nil)
	c.Put(name, []byte("x"))
	if _, found := c.Get(name); found || c.Made.Load() > 0 {
		t.Error("an entry is in a folder that is not there")
	}
	path := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(path, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(path); err == nil {
		t.Error("a file is opened as a cache")
	}
}

func TestPrivate(t *testing.T) {
	c := open(t)
	c.Put(c.Name("test", nil), []byte("x"))
	for path, want := range map[string]os.FileMode{c.dir: 0o700, c.path(c.Name("test", nil)): 0o600, filepath.Join(c.dir, secretFile): 0o600} {
		info, err := os.Stat(path)
		if err != nil {
			t.Fatal(err)
		}
		if got := info.Mode().Perm(); os.PathSeparator == '/' && got != want {
			t.Errorf("%s is %v, want %v", path, got, want)
		}
	}
}

// What was used last stays, a quarter is freed beyond the bound, and what nobody
// has asked for in a long time goes in any case, with what never became whole.
func TestTrim(t *testing.T) {
	c := open(t)
	names := make([]Sum, 10)
	for i := range names {
		names[i] = c.Name("test", []byte{byte(i)})
		c.Put(names[i], make([]byte, 1000-16))
		used := time.Now().Add(-time.Duration(10-i) * time.Hour)
		if err := os.Chtimes(c.path(names[i]), used, used); err != nil {
			t.Fatal(err)
		}
	}
	old := time.Now().Add(-2 * abandoned)
	left := filepath.Join(c.dir, passing+"1")
	if err := os.WriteFile(left, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	os.Chtimes(left, old, old)
	c.Trim(8000)
	for i, name := range names {
		if _, found := c.Get(name); found != (i >= 4) {
			t.Errorf("entry %d: there is %v", i, found)
		}
	}
	if _, err := os.Stat(left); err == nil {
		t.Error("a file that never became whole is still there")
	}
	if _, err := Open(c.dir); err != nil {
		t.Errorf("the key is gone: %v", err)
	}
	os.Remove(filepath.Join(c.dir, "trimmed"))
	ancient := time.Now().Add(-unused - time.Hour)
	os.Chtimes(c.path(names[9]), ancient, ancient)
	c.Trim(Bound)
	if _, found := c.Get(names[9]); found {
		t.Error("an entry nobody asked for is still there")
	}
	if _, found := c.Get(names[8]); !found {
		t.Error("an entry that is used is gone")
	}
}

// A run that made nothing does not look through the cache, and one that made
// little looks once an hour.
func TestTrimIsSeldom(t *testing.T) {
	c := open(t)
	c.Put(c.Name("test", nil), make([]byte, 1000))
	c.Trim(Bound)
	c.Put(c.Name("test", []byte("2")), make([]byte, 1000))
	c.Trim(10)
	if _, found := c.Get(c.Name("test", nil)); !found {
		t.Error("trimmed twice in an hour")
	}
}
