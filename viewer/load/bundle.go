package load

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"sync"

	"soletrial/pipeline/checksum"
	"soletrial/viewer/store"
)

// Source fetches a file of the bundle by its path from the site. Fresh asks for
// the newest version, past any cache.
type Source interface {
	Fetch(ctx context.Context, path string, fresh bool) ([]byte, error)
}

// Progress says how far loading has come, in files and bytes.
type Progress struct {
	Files, OfFiles int
	Bytes, OfBytes int64
	FromStore      int // files that came from the store
}

// Bundle is a published bundle in memory.
type Bundle struct {
	Index *Index

	// Files are the loaded ones of what the derivation reads, with the hashes that the
	// index gives. Derived are the loaded ones of the published tables as they were
	// served, possibly with other hashes; one that could not be fetched is absent.
	// Sums are the loaded ones of the 5-second sums.
	Files, Derived, Sums Folder

	Offline   bool // the index came from the store because the site could not be reached
	FromStore int  // files that came from the store
}

// HashError is the error for a file whose bytes do not have the hash that the
// index gives, even when fetched past every cache.
type HashError struct{ Path, Want, Got string }

func (d *HashError) Error() string {
	return fmt.Sprintf("%s is not the file that was published: its SHA-256 is %s, the index says %s; "+
		"reload the page. If it stays so, tell whoever published this site: the file is changed or damaged",
		d.Path, short(d.Got), short(d.Want))
}

func short(hash string) string { return hash[:12] + "…" }

// Loader loads one bundle. Name tells it from other bundles that the same store
// may hold, such as its address.
type Loader struct {
	Name   string
	Source Source
	Store  store.Store
	Report func(Progress) // called after every file, one call at a time; may be nil
	Hold   bool           // the store is written to by [Loader.Release] only

	mu   sync.Mutex
	held []func(context.Context) // writes
}

// Release writes to the store what [Loader.Hold] held back, and from then on at once.
func (l *Loader) Release(ctx context.Context) {
	l.mu.Lock()
	writes := l.held
	l.held, l.Hold = nil, false
	l.mu.Unlock()
	for _, write := range writes {
		write(ctx)
	}
}

// maxConcurrent is how many files are fetched at the same time.
const maxConcurrent = 6

// LoadIndex returns a bundle that holds its index and no file yet. The index comes from
// the site, or from the store when the site cannot be reached. What the index no
// longer names is dropped from the store.
func (l *Loader) LoadIndex(ctx context.Context) (*Bundle, error) {
	index, offline, err := l.loadIndex(ctx)
	if err != nil {
		return nil, err
	}
	for _, list := range index.Lists {
		text, _, err := l.loadFile(ctx, list)
		if err == nil {
			err = index.Add(list, text)
		}
		if err != nil {
			return nil, err
		}
	}
	l.prune(ctx, index)
	return &Bundle{Index: index, Files: Folder{}, Derived: Folder{}, Sums: Folder{}, Offline: offline}, nil
}

// LoadMore returns the bundle with the wanted files too. A file comes from the store
// when its content is there, otherwise from the site. The bundle given is left as
// it is, also by an error.
func (l *Loader) LoadMore(ctx context.Context, from *Bundle, want Selection) (*Bundle, error) {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	bundle := *from
	bundle.Files, bundle.Derived, bundle.Sums = maps.Clone(from.Files), maps.Clone(from.Derived), maps.Clone(from.Sums)

	if bundle.Sums == nil {
		bundle.Sums = Folder{}
	}
	// What is selected and not there yet.
	derived, files := map[string]bool{}, []File(nil)
	for i, file := range slices.Concat(bundle.Index.Files, bundle.Index.Derived) {
		derived[file.Path] = i >= len(bundle.Index.Files)
		if want.includes(file.Path) && !bundle.has(file.Path) {
			files = append(files, file)
		}
	}
	sums := map[string]bool{}
	for _, file := range bundle.Index.Sums {
		if sums[file.Path] = true; want.Sums && bundle.Sums[file.Path] == nil {
			files = append(files, file)
		}
	}

	// Add the files as they come. A published table may be missing or damaged, since every
	// table is derived; nothing else may.
	got := l.loadFiles(ctx, files)
	at := newProgress(files)
	for range files {
		one := <-got
		file := files[one.place]
		switch {
		case derived[file.Path]:
			bundle.addDerived(file.Path, one.blob)
		case one.err != nil:
			return nil, one.err
		case sums[file.Path]:
			bundle.Sums[file.Path] = one.blob
		default:
			bundle.Files[file.Path] = one.blob
		}
		at.count(file, one.kept)
		if l.Report != nil {
			l.Report(at)
		}
	}
	bundle.FromStore += at.FromStore
	return &bundle, nil
}

// addDerived adds a derived table as served; one that could not be had is nil.
func (b *Bundle) addDerived(path string, blob []byte) {
	if blob != nil {
		b.Derived[path] = blob
	}
}

func newProgress(files []File) Progress {
	at := Progress{OfFiles: len(files)}
	for _, file := range files {
		at.OfBytes += file.Bytes
	}
	return at
}

func (p *Progress) count(file File, kept bool) {
	p.Files, p.Bytes = p.Files+1, p.Bytes+file.Bytes
	if kept {
		p.FromStore++
	}
}

// loadedFile is a file that came, or did not; blob may be set beside a [HashError].
type loadedFile struct {
	place int
	blob  []byte
	kept  bool
	err   error
}

// loadFiles loads every file, several at once, in the order they come. The channel has
// a buffer for all, so that nothing waits for a receiver that stopped.
func (l *Loader) loadFiles(ctx context.Context, files []File) <-chan loadedFile {
	got, next := make(chan loadedFile, len(files)), make(chan int, len(files))
	for place := range files {
		next <- place
	}
	close(next)
	for range min(maxConcurrent, len(files)) {
		go func() {
			for place := range next {
				blob, kept, err := l.loadFile(ctx, files[place])
				got <- loadedFile{place, blob, kept, err}
			}
		}()
	}
	return got
}

// loadIndex loads the index, newest first.
func (l *Loader) loadIndex(ctx context.Context) (index *Index, offline bool, err error) {
	key := store.NameKey(l.Name + IndexName)
	text, fetchErr := l.Source.Fetch(ctx, IndexName, true)
	if fetchErr == nil {
		if index, err = ParseIndex(text); err == nil {
			l.save(ctx, key, text)
		}
		return index, false, err
	}
	text, found, err := l.Store.Get(ctx, key)
	if err != nil || !found {
		return nil, false, fmt.Errorf("the list of published files cannot be fetched: %w; "+
			"check the connection and reload the page", fetchErr)
	}
	index, err = ParseIndex(text)
	return index, true, err
}

// loadFile returns one file, from the store or from the site. Bytes with another hash than the index
// gives come with a [HashError] error.
func (l *Loader) loadFile(ctx context.Context, file File) (blob []byte, kept bool, err error) {
	key := store.ContentKey(file.SHA256)
	if blob, found, err := l.Store.Get(ctx, key); err == nil && found && checksum.SHA256(blob) == file.SHA256 {
		return blob, true, nil
	}
	if blob, err = l.fetch(ctx, file); err == nil {
		l.save(ctx, key, blob)
	}
	return blob, false, err
}

// fetch asks a second time, past every cache, when the bytes are not the ones
// that the index names.
func (l *Loader) fetch(ctx context.Context, file File) (blob []byte, err error) {
	for _, fresh := range []bool{false, true} {
		blob, err = l.Source.Fetch(ctx, file.Path, fresh)
		if err != nil {
			return nil, fmt.Errorf("%s cannot be fetched: %w; check the connection and reload the page", file.Path, err)
		}
		if checksum.SHA256(blob) == file.SHA256 {
			return blob, nil
		}
	}
	return blob, &HashError{Path: file.Path, Want: file.SHA256, Got: checksum.SHA256(blob)}
}

// save stores bytes. That it fails (a full disk, a private window) costs only
// the next fetch, so it is no error.
func (l *Loader) save(ctx context.Context, key string, blob []byte) {
	l.write(ctx, func(ctx context.Context) { _ = l.Store.Put(ctx, key, blob) })
}

func (l *Loader) write(ctx context.Context, write func(context.Context)) {
	l.mu.Lock()
	hold := l.Hold
	if hold {
		l.held = append(l.held, write)
	}
	l.mu.Unlock()
	if !hold {
		write(ctx)
	}
}

// prune deletes what neither this index nor another name needs.
func (l *Loader) prune(ctx context.Context, index *Index) {
	wanted := map[string]bool{store.NameKey(l.Name + IndexName): true}
	for _, list := range [][]File{index.Files, index.Lists, index.Derived, index.Sums} {
		for _, file := range list {
			wanted[store.ContentKey(file.SHA256)] = true
		}
	}
	l.write(ctx, func(ctx context.Context) {
		_ = l.Store.Prune(ctx, func(key string) bool { return wanted[key] })
	})
}
