package load

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/fstest"

	"soletrial/pipeline/checksum"
	"soletrial/viewer/store"
)

// site is a Source over a map; an address in down cannot be reached.
type site struct {
	mu    sync.Mutex
	files map[string]string
	stale map[string]string // what a cache in between answers
	down  bool
	asked []string
}

func (s *site) Fetch(_ context.Context, path string, fresh bool) ([]byte, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.asked = append(s.asked, path)
	if s.down {
		return nil, errors.New("no connection")
	}
	if text, found := s.stale[path]; found && !fresh {
		return []byte(text), nil
	}
	text, found := s.files[path]
	if !found {
		return nil, errors.New("the site answers 404")
	}
	return []byte(text), nil
}

// publish makes a site of the given files and tables with a sound index.
func publish(files, derived map[string]string) *site {
	s := &site{files: map[string]string{}}
	list := func(from map[string]string) string {
		var entries []string
		for _, path := range sortedKeys(from) {
			entries = append(entries, fmt.Sprintf(`{"path": %q, "bytes": %d, "sha256": %q, "twin_of": "x"}`, path,
				len(from[path]), checksum.SHA256([]byte(from[path]))))
			s.files[path] = from[path]
		}
		return strings.Join(entries, ",\n")
	}
	s.files[IndexName] = fmt.Sprintf("{\"format\": %q, \"files\": [%s], \"derived\": [%s]}", Format, list(files),
		list(derived))
	return s
}

func sortedKeys(m map[string]string) []string {
	folder := Folder{}
	for key := range m {
		folder[key] = nil
	}
	var keys []string
	_ = fs.WalkDir(folder, ".", func(path string, entry fs.DirEntry, _ error) error {
		if !entry.IsDir() {
			keys = append(keys, path)
		}
		return nil
	})
	return keys
}

func demo() *site {
	return publish(map[string]string{"dataset.json": "{}", "sessions/s1/blocks.csv": "block\n1\n"},
		map[string]string{"derived/blocks.csv": "a,b\n"})
}

// loadAll loads the index and every file.
func loadAll(ctx context.Context, l *Loader) (*Bundle, error) {
	bundle, err := l.LoadIndex(ctx)
	if err != nil {
		return nil, err
	}
	return l.LoadMore(ctx, bundle, Selection{All: true})
}

func TestLoadThenOffline(t *testing.T) {
	ctx, s, kept := context.Background(), demo(), &store.Memory{}
	var last Progress
	loader := Loader{Name: "one/", Source: s, Store: kept, Report: func(p Progress) { last = p }}
	bundle, err := loadAll(ctx, &loader)
	if err != nil {
		t.Fatal(err)
	}
	if string(bundle.Files["sessions/s1/blocks.csv"]) != "block\n1\n" ||
		string(bundle.Derived["derived/blocks.csv"]) != "a,b\n" || bundle.Offline || bundle.FromStore != 0 {
		t.Errorf("first load gives %+v", bundle)
	}
	if want := (Progress{Files: 3, OfFiles: 3, Bytes: 14, OfBytes: 14}); last != want {
		t.Errorf("progress ends at %+v, want %+v", last, want)
	}
	s.down = true
	bundle, err = loadAll(ctx, &loader)
	if err != nil {
		t.Fatalf("without a connection: %v", err)
	}
	if !bundle.Offline || bundle.FromStore != 3 || string(bundle.Files["dataset.json"]) != "{}" {
		t.Errorf("without a connection: %+v", bundle)
	}
}

// While writes are held nothing is stored; once released a visit without a connection works.
func TestHeldWritesAreReleased(t *testing.T) {
	ctx, s, kept := context.Background(), demo(), &store.Memory{}
	loader := Loader{Source: s, Store: kept, Hold: true}
	if _, err := loadAll(ctx, &loader); err != nil {
		t.Fatal(err)
	}
	s.down = true
	if _, err := loadAll(ctx, &Loader{Source: s, Store: kept}); err == nil {
		t.Error("something was stored while writes were held")
	}
	loader.Release(ctx)
	if bundle, err := loadAll(ctx, &Loader{Source: s, Store: kept}); err != nil || bundle.FromStore != 3 {
		t.Errorf("after the release: %v, %+v", err, bundle)
	}
}

// A large bundle names its files in lists: they are loaded with it, kept for a visit without a
// connection, and refused when they are not the ones that the index names.
func TestListsOfFiles(t *testing.T) {
	ctx, s, kept := context.Background(), demo(), &store.Memory{}
	hash := checksum.SHA256([]byte("{}"))
	list := fmt.Sprintf(`{"format": %q, "files": [{"path": "dataset.json", "bytes": 2, "sha256": %q}]}`, Format, hash)
	s.files["lists/files-1.json"] = list
	s.files[IndexName] = fmt.Sprintf(`{"format": %q, "files": [], "derived": [{"path": "derived/x.csv", "bytes": 0, `+
		`"sha256": %q}], "lists": [{"path": "lists/files-1.json", "bytes": %d, "sha256": %q}]}`, Format, hash,
		len(list), checksum.SHA256([]byte(list)))
	for _, s.down = range []bool{false, true} {
		bundle, err := loadAll(ctx, &Loader{Source: s, Store: kept})
		if err != nil || len(bundle.Index.Files) != 1 || string(bundle.Files["dataset.json"]) != "{}" ||
			!bundle.Complete() {
			t.Fatalf("down %v: %v, %+v", s.down, err, bundle)
		}
	}
	s.down, s.files["lists/files-1.json"] = false, strings.Replace(list, "dataset", "another", 1)
	var damaged *HashError
	if _, err := (&Loader{Source: s, Store: &store.Memory{}}).LoadIndex(ctx); !errors.As(err, &damaged) {
		t.Errorf("another list: %v", err)
	}
	twice := Index{Files: []File{{Path: "dataset.json", SHA256: hash}}}
	if err := twice.Add(File{Path: "lists/files-1.json"}, []byte(list)); err == nil {
		t.Error("a file that is listed twice is taken")
	}
}

func TestSecondVisitFetchesOnlyTheIndex(t *testing.T) {
	ctx, s, kept := context.Background(), demo(), &store.Memory{}
	loader := Loader{Source: s, Store: kept}
	if _, err := loadAll(ctx, &loader); err != nil {
		t.Fatal(err)
	}
	s.asked = nil
	if _, err := loadAll(ctx, &loader); err != nil {
		t.Fatal(err)
	}
	if len(s.asked) != 1 || s.asked[0] != IndexName {
		t.Errorf("a second visit asked for %q, want the index only", s.asked)
	}
}

func TestWhatTheIndexNoLongerNamesIsDropped(t *testing.T) {
	ctx, s, kept := context.Background(), demo(), &store.Memory{}
	if _, err := loadAll(ctx, &Loader{Source: s, Store: kept}); err != nil {
		t.Fatal(err)
	}
	newer := publish(map[string]string{"dataset.json": "{}"}, map[string]string{"derived/blocks.csv": "c\n"})
	if _, err := loadAll(ctx, &Loader{Source: newer, Store: kept}); err != nil {
		t.Fatal(err)
	}
	if _, found, _ := kept.Get(ctx, store.ContentKey(checksum.SHA256([]byte("block\n1\n")))); found {
		t.Error("a file of the older bundle is still kept")
	}
	if _, found, _ := kept.Get(ctx, store.ContentKey(checksum.SHA256([]byte("{}")))); !found {
		t.Error("a file that both bundles name was dropped")
	}
}

func TestDamagedFileIsRefused(t *testing.T) {
	s := demo()
	s.files["sessions/s1/blocks.csv"] = "block\n2\n"
	_, err := loadAll(context.Background(), &Loader{Source: s, Store: &store.Memory{}})
	var damaged *HashError
	if !errors.As(err, &damaged) || damaged.Path != "sessions/s1/blocks.csv" ||
		!strings.Contains(err.Error(), "reload the page") {
		t.Fatalf("a changed file gives %v", err)
	}
}

func TestStaleCacheIsBypassed(t *testing.T) {
	s := demo()
	s.stale = map[string]string{"dataset.json": "old"}
	bundle, err := loadAll(context.Background(), &Loader{Source: s, Store: &store.Memory{}})
	if err != nil || string(bundle.Files["dataset.json"]) != "{}" {
		t.Fatalf("with a stale cache in between: %v", err)
	}
}

func TestDamagedStoredFileIsFetchedAgain(t *testing.T) {
	ctx, s, kept := context.Background(), demo(), &store.Memory{}
	key := store.ContentKey(checksum.SHA256([]byte("{}")))
	if err := kept.Put(ctx, key, []byte("rotten")); err != nil {
		t.Fatal(err)
	}
	bundle, err := loadAll(ctx, &Loader{Source: s, Store: kept})
	if err != nil || string(bundle.Files["dataset.json"]) != "{}" {
		t.Fatalf("with damaged kept bytes: %v", err)
	}
	if blob, _, _ := kept.Get(ctx, key); string(blob) != "{}" {
		t.Errorf("the damaged bytes stay kept: %q", blob)
	}
}

func TestChangedTableIsLoadedAsServed(t *testing.T) {
	s := demo()
	s.files["derived/blocks.csv"] = "tampered\n"
	bundle, err := loadAll(context.Background(), &Loader{Source: s, Store: &store.Memory{}})
	if err != nil || string(bundle.Derived["derived/blocks.csv"]) != "tampered\n" {
		t.Fatalf("a changed table: %v, %q", err, bundle.Derived)
	}
	delete(s.files, "derived/blocks.csv")
	bundle, err = loadAll(context.Background(), &Loader{Source: s, Store: &store.Memory{}})
	if err != nil {
		t.Fatalf("an absent table: %v", err)
	}
	if _, there := bundle.Derived["derived/blocks.csv"]; there || len(bundle.Files) != 2 {
		t.Errorf("an absent table: %+v", bundle)
	}
}

func TestWithoutConnectionOrStoreLoadingFails(t *testing.T) {
	s := demo()
	s.down = true
	_, err := loadAll(context.Background(), &Loader{Source: s, Store: &store.Memory{}})
	if err == nil || !strings.Contains(err.Error(), "no connection") ||
		!strings.Contains(err.Error(), "check the connection") {
		t.Errorf("unreachable: %v", err)
	}
}

func TestParseIndexRefuses(t *testing.T) {
	hash := strings.Repeat("a", 64)
	file := func(path, hash string) string { return fmt.Sprintf(`{"path":%q,"bytes":1,"sha256":%q}`, path, hash) }
	index := func(files, derived string) string {
		return fmt.Sprintf(`{"format":%q,"files":[%s],"derived":[%s]}`, Format, files, derived)
	}
	for text, want := range map[string]string{
		"<html>":               "not readable",
		`{"format":"other 9"}`: "other 9",
		index("", ""):          "names no files",
		index(file("../up", hash), file("a", hash)):             "inside the bundle",
		index(file("/etc", hash), file("a", hash)):              "inside the bundle",
		index(file("a//b", hash), file("a", hash)):              "inside the bundle",
		index(file("a", hash), file("a", hash)):                 "twice",
		index(file("a", "12"), file("b", hash)):                 "no sound sha256",
		index(file("a", strings.ToUpper(hash)), file("b", "x")): "no sound sha256",
	} {
		if _, err := ParseIndex([]byte(text)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s gives %v, want %q in it", text, err, want)
		}
	}
	if _, err := ParseIndex([]byte(index(file("a", hash), file("b", hash)))); err != nil {
		t.Errorf("a sound index: %v", err)
	}
}

// The standard library's own conformance test of file systems is the oracle.
func TestFolderIsAFileSystem(t *testing.T) {
	folder := Folder{"dataset.json": []byte("{}"), "sessions/s1/blocks.csv": []byte("b"), "sessions/s2/blocks.csv": nil}
	if err := fstest.TestFS(folder, "dataset.json", "sessions/s1/blocks.csv", "sessions/s2/blocks.csv"); err != nil {
		t.Error(err)
	}
}

// answering is a site of two sessions with an answer in its index.
func answering() *site {
	s := publish(map[string]string{"dataset.json": "{}", "sessions/s1/blocks.csv": "1\n",
		"sessions/s2/blocks.csv": "2\n", "sessions/s2/pod.csv": ""},
		map[string]string{RankingTable: "c\n", BlocksTable: "b\n", "derived/sessions.csv": "s\n"})
	s.files[IndexName] = strings.TrimSuffix(s.files[IndexName], "}") + `, "answer": {"headline": "A, not B.",
 "evidence": "Evidence: fair.", "sessions": ["s2", "s1"]},
 "sums": [{"path": "sums/2026.csv", "bytes": 2, "sha256": "` + checksum.SHA256([]byte("x\n")) + `"}]}`
	s.files["sums/2026.csv"] = "x\n"
	return s
}

// The answer needs the index, the registers, two tables and the wanted sessions;
// what is there is not fetched again, and the bundle it began with stays.
func TestPublishedAnswerLoadsFirst(t *testing.T) {
	ctx, s, kept := context.Background(), answering(), &store.Memory{}
	loader := Loader{Source: s, Store: kept}
	empty, err := loader.LoadIndex(ctx)
	if err != nil {
		t.Fatal(err)
	}
	want := Answer{Headline: "A, not B.", Evidence: "Evidence: fair.", Sessions: []string{"s2", "s1"}}
	if got := fmt.Sprintf("%+v", *empty.Index.Answer); got != fmt.Sprintf("%+v", want) {
		t.Errorf("the answer is %s", got)
	}
	s.asked = nil
	part, err := loader.LoadMore(ctx, empty, Selection{Sessions: []string{"s1"}})
	if err != nil {
		t.Fatal(err)
	}
	slices.Sort(s.asked)
	if asked := strings.Join(s.asked, " "); asked != "dataset.json derived/blocks.csv derived/ranking.csv "+
		"sessions/s1/blocks.csv" {
		t.Errorf("asked for %s", asked)
	}
	if part.Complete() || !part.HasAnswer() || part.BytesMissing() != 4 || len(empty.Files) != 0 {
		t.Errorf("the part is %+v", part)
	}
	s.asked = nil
	if summed, err := loader.LoadMore(ctx, part, Selection{Sums: true}); err != nil || !summed.HasSums() ||
		part.HasSums() || strings.Join(s.asked, " ") != "sums/2026.csv" {
		t.Errorf("for the sums asked for %q: %v", s.asked, err)
	}
	s.asked = nil
	whole, err := loader.LoadMore(ctx, part, Selection{All: true})
	if err != nil || len(s.asked) != 3 || !whole.Complete() || whole.BytesMissing() != 0 || len(part.Files) != 2 {
		t.Errorf("then asked for %q: %+v, %v", s.asked, whole, err)
	}
}

// A table that is not the one that the index names is no answer.
func TestAnswerWithAnotherHashIsNoAnswer(t *testing.T) {
	s := answering()
	s.files[RankingTable] = "d\n"
	loader := Loader{Source: s, Store: &store.Memory{}}
	empty, err := loader.LoadIndex(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	if part, err := loader.LoadMore(context.Background(), empty, Selection{Sessions: []string{"s1"}}); err != nil ||
		part.HasAnswer() {
		t.Errorf("%+v, %v", part, err)
	}
}
