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

// reopened closes a cache and opens it again, as the next run does.
func reopened(t fataler, c *Cache) *Cache {
	t.Helper()
	c.Close(Bound)
	again, err := Open(c.dir)
	if err != nil {
		t.Fatal(err)
	}
	return again
}

type fataler interface {
	Helper()
	Fatal(...any)
}

func packs(t testing.TB, c *Cache) []string {
	t.Helper()
	paths, err := filepath.Glob(filepath.Join(c.dir, "*"+packEnding))
	if err != nil {
		t.Fatal(err)
	}
	return paths
}

// A later run finds what an earlier one put, and all of it, however much.
func TestLaterRunsFindIt(t *testing.T) {
	c := open(t)
	const n = 300
	payload := func(i int) []byte { return bytes.Repeat([]byte{byte(i)}, 40_000+i) }
	for i := range n {
		c.Put(c.Name("test", []byte{byte(i), byte(i >> 8)}), payload(i))
	}
	c = reopened(t, c)
	if len(packs(t, c)) < 3 {
		t.Errorf("%d packs for %d bytes: none was written before the end", len(packs(t, c)), n*40_000)
	}
	room := make([]byte, 100) // grows
	for i := range n {
		name := c.Name("test", []byte{byte(i), byte(i >> 8)})
		if got, found := c.Get(name); !found || !bytes.Equal(got, payload(i)) {
			t.Fatalf("entry %d: found is %v", i, found)
		}
		got, found := c.GetIn(name, &room)
		if !found || !bytes.Equal(got, payload(i)) {
			t.Fatalf("entry %d in a room: found is %v", i, found)
		}
		if &got[0] != &room[0] {
			t.Fatalf("entry %d is not in the room", i)
		}
	}
}

// However a pack is damaged, no entry comes out of it that was not put, and one
// that is gone can be put again.
func TestDamagedEntriesDoNotExist(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		dir, err := os.MkdirTemp("", "soletrial-cache-")
		if err != nil {
			t.Fatal(err)
		}
		defer os.RemoveAll(dir)
		c, err := Open(dir)
		if err != nil {
			t.Fatal(err)
		}
		payload := func(i int) []byte { return bytes.Repeat([]byte{byte(i + 1)}, 10*i) }
		for i := range 4 {
			c.Put(c.Name("test", []byte{byte(i)}), payload(i))
		}
		c = reopened(t, c)
		paths, _ := filepath.Glob(filepath.Join(dir, "*"+packEnding))
		whole, err := os.ReadFile(paths[0])
		if err != nil || len(paths) != 1 {
			t.Fatal(paths, err)
		}
		at := rapid.IntRange(0, len(whole)-1).Draw(t, "at")
		switch rapid.IntRange(0, 2).Draw(t, "damage") {
		case 0:
			whole = whole[:at]
		case 1:
			whole[at] ^= byte(rapid.IntRange(1, 255).Draw(t, "flip"))
		case 2:
			whole = append(whole, whole[at:]...)
		}
		if err := os.WriteFile(paths[0], whole, 0o600); err != nil {
			t.Fatal(err)
		}
		lost := 0
		for i := range 4 {
			name := c.Name("test", []byte{byte(i)})
			got, found := c.Get(name)
			if found && !bytes.Equal(got, payload(i)) {
				t.Fatalf("entry %d is %q", i, got)
			}
			if !found {
				lost++
				c.Put(name, payload(i))
			}
		}
		c = reopened(t, c)
		for i := range 4 {
			if got, found := c.Get(c.Name("test", []byte{byte(i)})); !found || !bytes.Equal(got, payload(i)) {
				t.Fatalf("entry %d of which %d were lost is not mended", i, lost)
			}
		}
	})
}

// A note is the last one, or none.
func TestNotes(t *testing.T) {
	c := open(t)
	name := c.Name("note", nil)
	if _, found := c.Noted(name); found {
		t.Error("a note that was never made is found")
	}
	for _, text := range []string{"one", "two", ""} {
		c.Note(name, []byte(text))
		if got, found := c.Noted(name); !found || string(got) != text {
			t.Errorf("%q, %v; want %q", got, found, text)
		}
	}
	c.Note(name, []byte("longer"))
	for n := range int64(len("longer") + len(Sum{})) {
		os.Truncate(c.notePath(name), n)
		if got, found := c.Noted(name); found {
			t.Errorf("of %d bytes: %q", n, got)
		}
	}
}

// Two programs that use one cache at once find whole entries or none.
func TestAtOnce(t *testing.T) {
	c := open(t)
	payload := bytes.Repeat([]byte("x"), 100_000)
	var all sync.WaitGroup
	for range 4 {
		all.Go(func() {
			for range 5 {
				d, err := Open(c.dir)
				if err != nil {
					t.Error(err)
					return
				}
				var own sync.WaitGroup
				for i := range 10 {
					own.Go(func() {
						name := d.Name("test", []byte{byte(i % 5)})
						if got, found := d.Get(name); found && !bytes.Equal(got, payload) {
							t.Error("half an entry is found")
						}
						d.Put(name, payload)
					})
				}
				own.Wait()
				d.Close(Bound)
			}
		})
	}
	all.Wait()
	if left, _ := filepath.Glob(filepath.Join(c.dir, passing+"*")); len(left) > 0 {
		t.Errorf("%q is left over", left)
	}
	if _, found := c.Get(c.Name("test", []byte{1})); !found {
		t.Error("nothing was kept")
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
	c.Note(name, []byte("x"))
	c.Close(Bound)
	if _, found := c.Get(name); found {
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
	c.Note(c.Name("test", nil), []byte("x"))
	c = reopened(t, c)
	for path, want := range map[string]os.FileMode{c.dir: 0o700, packs(t, c)[0]: 0o600, c.notePath(c.Name("test", nil)): 0o600, filepath.Join(c.dir, secretFile): 0o600} {
		info, err := os.Stat(path)
		if err != nil {
			t.Fatal(err)
		}
		if got := info.Mode().Perm(); os.PathSeparator == '/' && got != want {
			t.Errorf("%s is %v, want %v", path, got, want)
		}
	}
}

// age makes a file look as if it was used so long ago.
func age(t testing.TB, path string, by time.Duration) {
	t.Helper()
	then := time.Now().Add(-by)
	if err := os.Chtimes(path, then, then); err != nil {
		t.Fatal(err)
	}
}

// What was used last stays, a quarter is freed beyond the bound, and what nobody
// has asked for in a long time goes in any case, with what never became whole.
func TestBounded(t *testing.T) {
	c := open(t)
	name := func(i int) Sum { return c.Name("test", []byte{byte(i)}) }
	seen := map[string]bool{}
	for i := range 10 {
		c.Put(name(i), make([]byte, 1000-indexBytes-endBytes-16))
		c = reopened(t, c)
		for _, path := range packs(t, c) {
			if !seen[path] {
				age(t, path, time.Duration(10-i)*time.Hour)
			}
			seen[path] = true
		}
	}
	left, old := filepath.Join(c.dir, passing+"1"), c.notePath(name(0))
	for path, by := range map[string]time.Duration{left: 2 * abandoned, old: 2 * unused} {
		if err := os.WriteFile(path, nil, 0o600); err != nil {
			t.Fatal(err)
		}
		age(t, path, by)
	}
	c.Put(name(10), make([]byte, 1000-indexBytes-endBytes-16))
	c.Close(8000)
	c, _ = Open(c.dir)
	for i := range 11 {
		if _, found := c.Get(name(i)); found != (i >= 5) {
			t.Errorf("entry %d: found is %v", i, found)
		}
	}
	for _, path := range []string{left, old} {
		if _, err := os.Stat(path); err == nil {
			t.Errorf("%s is still there", path)
		}
	}
	c = reopened(t, c)
	for _, path := range packs(t, c) {
		age(t, path, unused+time.Hour)
	}
	c.Get(name(7))
	c.Put(name(11), nil)
	c = reopened(t, c)
	for i, want := range map[int]bool{6: false, 7: true, 8: false, 11: true} {
		if _, found := c.Get(name(i)); found != want {
			t.Errorf("after long, entry %d: found is %v", i, found)
		}
	}
}

// Run after run that adds a little leaves one pack, not one for each.
func TestSmallPacksAreMerged(t *testing.T) {
	c := open(t)
	const n = 3*manySmall + 1
	for i := range n {
		c.Put(c.Name("test", []byte{byte(i)}), []byte{byte(i)})
		c = reopened(t, c)
	}
	if got := len(packs(t, c)); got > manySmall {
		t.Errorf("%d packs", got)
	}
	for i := range n {
		if got, found := c.Get(c.Name("test", []byte{byte(i)})); !found || got[0] != byte(i) {
			t.Errorf("entry %d: %q, %v", i, got, found)
		}
	}
}
