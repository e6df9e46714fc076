package load

import (
	"context"
	"fmt"
	"maps"
	"slices"

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
	Kept           int // files that came from the store
}

// Bundle is a published bundle in memory.
type Bundle struct {
	Index   *Index
	Files   Folder // what the derivation reads, as far as it was wanted, every file checked against its hash
	Derived Folder // the published tables as they were served, as far as they were wanted, which may not have their hash; absent when not to be had
	Offline bool   // the index came from the store because the site could not be reached
	Kept    int    // files that came from the store
}

// Damaged is the error for a file whose bytes do not have the hash that the
// index gives, even when fetched past every cache.
type Damaged struct{ Path, Want, Got string }

func (d *Damaged) Error() string {
	return fmt.Sprintf("%s is not the file that was published: its SHA-256 is %s, the index says %s; reload the page, and if it stays so tell whoever published this site that the file was changed or damaged", d.Path, short(d.Got), short(d.Want))
}

func short(hash string) string { return hash[:12] + "…" }

// Loader loads one bundle. Name tells it from other bundles that the same store
// may hold, such as its address.
type Loader struct {
	Name   string
	Source Source
	Store  store.Store
	Report func(Progress) // called after every file, one call at a time; may be nil
}

// atOnce is how many files are asked for at the same time.
const atOnce = 6

// Load returns the bundle with every file.
func (l *Loader) Load(ctx context.Context) (*Bundle, error) {
	bundle, err := l.Begin(ctx)
	if err != nil {
		return nil, err
	}
	return l.More(ctx, bundle, Want{Everything: true})
}

// Begin returns a bundle that holds its index and no file yet. The index comes from
// the site, or from the store when the site cannot be reached. What the index no
// longer names is dropped from the store.
func (l *Loader) Begin(ctx context.Context) (*Bundle, error) {
	index, offline, err := l.index(ctx)
	if err != nil {
		return nil, err
	}
	l.forget(ctx, index)
	return &Bundle{Index: index, Files: Folder{}, Derived: Folder{}, Offline: offline}, nil
}

// More returns the bundle with the wanted files too. A file comes from the store
// when its content is there, otherwise from the site. The bundle given is left as
// it is, also by an error.
func (l *Loader) More(ctx context.Context, from *Bundle, want Want) (*Bundle, error) {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	bundle := *from
	bundle.Files, bundle.Derived = maps.Clone(from.Files), maps.Clone(from.Derived)
	derived, files := map[string]bool{}, []File(nil)
	for i, file := range slices.Concat(bundle.Index.Files, bundle.Index.Derived) {
		derived[file.Path] = i >= len(bundle.Index.Files)
		if want.takes(file.Path) && !bundle.has(file.Path) {
			files = append(files, file)
		}
	}
	got := l.all(ctx, files)
	at := started(files)
	for range files {
		one := <-got
		file := files[one.place]
		switch {
		case derived[file.Path]:
			bundle.publish(file.Path, one.blob)
		case one.err != nil:
			return nil, one.err
		default:
			bundle.Files[file.Path] = one.blob
		}
		at.count(file, one.kept)
		if l.Report != nil {
			l.Report(at)
		}
	}
	bundle.Kept += at.Kept
	return &bundle, nil
}

// Keeps reports whether the store has every file of a bundle, so that all of it can
// be had without the site.
func (l *Loader) Keeps(ctx context.Context, bundle *Bundle) bool {
	for _, file := range slices.Concat(bundle.Index.Files, bundle.Index.Derived) {
		if _, found, err := l.Store.Get(ctx, store.ContentKey(file.SHA256)); err != nil || !found {
			return false
		}
	}
	return true
}

// publish notes a derived table as served; one that could not be had is nil.
func (b *Bundle) publish(path string, blob []byte) {
	if blob != nil {
		b.Derived[path] = blob
	}
}

func started(files []File) Progress {
	at := Progress{OfFiles: len(files)}
	for _, file := range files {
		at.OfBytes += file.Bytes
	}
	return at
}

func (p *Progress) count(file File, kept bool) {
	p.Files, p.Bytes = p.Files+1, p.Bytes+file.Bytes
	if kept {
		p.Kept++
	}
}

// arrival is a file that came, or did not; blob may be set beside a [Damaged].
type arrival struct {
	place int
	blob  []byte
	kept  bool
	err   error
}

// all gets every file, several at once, in the order they come. The channel has
// room for all, so that nobody waits for a reader who gave up.
func (l *Loader) all(ctx context.Context, files []File) <-chan arrival {
	got, next := make(chan arrival, len(files)), make(chan int, len(files))
	for place := range files {
		next <- place
	}
	close(next)
	for range min(atOnce, len(files)) {
		go func() {
			for place := range next {
				blob, kept, err := l.file(ctx, files[place])
				got <- arrival{place, blob, kept, err}
			}
		}()
	}
	return got
}

// index gets the index, newest first.
func (l *Loader) index(ctx context.Context) (index *Index, offline bool, err error) {
	key := store.NameKey(l.Name + IndexName)
	text, fetchErr := l.Source.Fetch(ctx, IndexName, true)
	if fetchErr == nil {
		if index, err = ParseIndex(text); err == nil {
			l.keep(ctx, key, text)
		}
		return index, false, err
	}
	text, found, err := l.Store.Get(ctx, key)
	if err != nil || !found {
		return nil, false, fmt.Errorf("the list of published files cannot be fetched: %w; check the connection and reload the page", fetchErr)
	}
	index, err = ParseIndex(text)
	return index, true, err
}

// file gets one file, kept or fetched. Bytes with another hash than the index
// gives come with a [Damaged] error.
func (l *Loader) file(ctx context.Context, file File) (blob []byte, kept bool, err error) {
	key := store.ContentKey(file.SHA256)
	if blob, found, err := l.Store.Get(ctx, key); err == nil && found && checksum.SHA256(blob) == file.SHA256 {
		return blob, true, nil
	}
	if blob, err = l.fetch(ctx, file); err == nil {
		l.keep(ctx, key, blob)
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
	return blob, &Damaged{Path: file.Path, Want: file.SHA256, Got: checksum.SHA256(blob)}
}

// keep stores bytes. That it fails (a full disk, a private window) costs only
// the next fetch, so it is no error.
func (l *Loader) keep(ctx context.Context, key string, blob []byte) { _ = l.Store.Put(ctx, key, blob) }

// forget drops what neither this index nor another name needs.
func (l *Loader) forget(ctx context.Context, index *Index) {
	wanted := map[string]bool{store.NameKey(l.Name + IndexName): true}
	for _, list := range [][]File{index.Files, index.Derived} {
		for _, file := range list {
			wanted[store.ContentKey(file.SHA256)] = true
		}
	}
	_ = l.Store.Keep(ctx, func(key string) bool { return wanted[key] })
}
