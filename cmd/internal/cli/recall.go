package cli

import (
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"

	"soletrial/cmd/internal/cache"
	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/checksum"
	"soletrial/pipeline/compare"
	"soletrial/pipeline/crew"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/exact"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/trial"
)

// recall derives with what earlier runs came to. Every file of the dataset is read
// and summed in every run; what is remembered is what follows from its bytes.
//
// It looks at all sessions first. Those whose files are as they were at the last
// run on this dataset, by the sums of their bytes, are left at that; the others are
// read at once, while their bytes are at hand, unless an entry with their SHA-256
// says what they come to. When all is as it was, and the tables too, that is all.
type recall struct {
	app     *app
	kept    *cache.Cache
	folder  *plaintext.Folder
	before  trace     // of the last run on this dataset with this program
	name    cache.Sum // of the trace
	scope   []byte    // the sums of what results depend on besides the session's own files: of the program, and of the rest
	now     trace
	sums    map[string]cache.Sum       // of the tables that came in pieces
	reading map[string]*derive.Reading // of the sessions that are not as they were
	rooms   sync.Pool                  // buffers for the files of one session, or its entry

	anew, anewRows atomic.Int64 // sessions, and rows of sessions, that were not remembered
}

// trace is what a run leaves behind about a dataset: its files and its tables.
type trace struct {
	Folder   string
	Top      []file
	Sessions []sessionTrace // in the order of their names
	Tables   []table
}

type file struct {
	Path   string
	Sum    cache.Sum
	SHA256 string
}

type sessionTrace struct {
	ID    string
	Names []string // of all files in its folder
	Files []file   // those that results depend on
}

type table struct {
	Name string
	Sum  cache.Sum
}

// remembered is what is kept of a session.
type remembered struct {
	Session trial.Session
	Is      bool
	Result  derive.SessionResult
}

// newRecall looks up what the last run left; nil where nothing is to be kept.
func (a *app) newRecall() *recall {
	kept := a.openCache()
	if kept == nil {
		return nil
	}
	program, err := a.program(kept)
	if err != nil {
		return nil
	}
	where, err := filepath.Abs(a.Dataset)
	if err != nil {
		return nil
	}
	r := &recall{app: a, kept: kept, scope: program[:], sums: map[string]cache.Sum{}, reading: map[string]*derive.Reading{}}
	r.rooms.New = func() any { return new([]byte) }
	r.now.Folder = where
	r.name = kept.Name("trace", append(append([]byte(nil), program[:]...), where...))
	if text, found := kept.Noted(r.name); found {
		if r.before, err = exact.Read[trace](text); err != nil || r.before.Folder != where {
			r.before = trace{}
		}
	}
	return r
}

// of says which folder it is that is remembered.
func (r *recall) of(folder *plaintext.Folder) {
	r.folder = folder
	scope := r.kept.Sum(exact.Append(nil, *derive.Scope(&folder.Dataset)))
	r.scope = append(r.scope, scope[:]...)
}

// openCache opens the cache that was chosen, nil for none. One that cannot be
// opened is spoken of only when somebody named it.
func (a *app) openCache() *cache.Cache {
	dir := a.cache
	if dir == "" {
		dir = os.Getenv(cacheVariable)
	}
	named := dir != ""
	if !named {
		base, err := os.UserCacheDir()
		if err != nil {
			return nil
		}
		dir = filepath.Join(base, "soletrial")
	}
	if dir == cacheOff {
		return nil
	}
	kept, err := cache.Open(dir)
	if err != nil {
		if named {
			a.Remark("nothing is remembered: cannot use %q: %v", dir, voice.Reason(err))
		}
		return nil
	}
	return kept
}

// The word and the environment variable that choose the cache.
const (
	cacheOff      = "off"
	cacheVariable = "SOLETRIAL_CACHE"
)

// programSum is the sum of the running program's own file: another build is
// another program, whatever it calls itself.
func programSum(kept *cache.Cache) (cache.Sum, error) {
	path, err := os.Executable()
	if err != nil {
		return cache.Sum{}, err
	}
	file, err := os.Open(path)
	if err != nil {
		return cache.Sum{}, err
	}
	defer file.Close()
	return kept.SumOf(file, runtime.GOMAXPROCS(0))
}

// tablesAsBefore reports whether the tables on disk are those that the last run
// left.
func (r *recall) tablesAsBefore(workers int) bool {
	for _, t := range r.before.Tables {
		file, err := r.app.reading.Open(derivedFolder + "/" + t.Name)
		if err != nil {
			return false
		}
		sum, err := r.kept.SumOf(file.(*os.File), workers)
		file.Close()
		if err != nil || sum != t.Sum {
			return false
		}
	}
	return len(r.before.Tables) > 0
}

// sumUp has tables that come in pieces summed while somebody goes through them.
func (r *recall) sumUp(tables []derive.Table) {
	for i := range tables {
		t := &tables[i]
		if t.Pieces == nil {
			continue
		}
		pieces := t.Pieces
		t.Pieces = func(yield func([]byte) bool) {
			sum := r.kept.NewSummer()
			for piece := range pieces {
				sum.Add(piece)
				if !yield(piece) {
					return
				}
			}
			r.sums[t.Name] = sum.Sum()
		}
	}
}

// keep leaves a trace of this run: with its tables where it made them, or with
// those of the last run where nothing has changed since.
func (r *recall) keep(result *derive.Result, same bool) {
	for i := range result.Tables {
		t := &result.Tables[i]
		sum, known := r.sums[t.Name]
		switch {
		case t.Pieces == nil:
			sum = r.kept.Sum(t.Text)
		case !known:
			return // nobody has seen all of it
		}
		r.now.Tables = append(r.now.Tables, table{t.Name, sum})
	}
	if len(result.Tables) > 0 || !same {
		r.kept.Note(r.name, exact.Append(nil, r.now))
	}
}

// look reads and sums every file, and reports whether all is as it was.
func (r *recall) look(workers int, step func()) (same bool, err error) {
	ids := r.folder.SessionIDs()
	r.now.Sessions = make([]sessionTrace, len(ids))
	readings, as := make([]*derive.Reading, len(ids)), make([]bool, len(ids))
	if r.now.Top, same, err = r.top(); err != nil {
		return false, err
	}
	was := map[string]*sessionTrace{}
	for i := range r.before.Sessions {
		was[r.before.Sessions[i].ID] = &r.before.Sessions[i]
	}
	crew.Do(workers, len(ids), func(i int) {
		r.now.Sessions[i], readings[i], as[i] = r.session(ids[i], was[ids[i]])
		if !as[i] {
			step()
		}
	})
	same = same && len(was) == len(ids)
	for i, id := range ids {
		if !as[i] {
			same, r.reading[id] = false, readings[i]
		}
	}
	return same, nil
}

func (r *recall) top() (files []file, same bool, err error) {
	var room []byte
	texts, err := r.app.reading.load(".", r.folder.TopPaths(), &room)
	if err != nil {
		return nil, false, err
	}
	same = len(r.before.Top) == len(texts)
	for _, path := range r.folder.TopPaths() {
		f, as := r.file(path, texts[path].bytes, r.before.Top)
		files, same = append(files, f), same && as
	}
	return files, same, nil
}

// file sums the bytes of a file; their SHA-256 is remembered as long as they are
// the same as before.
func (r *recall) file(path string, text []byte, before []file) (f file, same bool) {
	f = file{Path: path, Sum: r.kept.Sum(text)}
	for _, was := range before {
		if was.Path == path && was.Sum == f.Sum {
			return was, true
		}
	}
	f.SHA256 = checksum.SHA256(text)
	return f, false
}

// session sums a session's files; where they are not as they were it finds out what
// they come to. Files that cannot be read are left to the reader that says why.
func (r *recall) session(id string, was *sessionTrace) (now sessionTrace, reading *derive.Reading, same bool) {
	room := r.rooms.Get().(*[]byte)
	defer r.rooms.Put(room)
	now = sessionTrace{ID: id, Names: r.folder.Names(id)}
	paths := r.folder.SessionPaths(id)
	texts, err := r.app.reading.load(sessionsFolder+"/"+id, paths, room)
	if err != nil {
		plain := derive.Read(r.folder, id)
		return now, &plain, false
	}
	if was == nil {
		was = &sessionTrace{}
	}
	same = was.ID == id && slices.Equal(was.Names, now.Names)
	for _, path := range paths {
		f, as := r.file(path, texts[path].bytes, was.Files)
		now.Files, same = append(now.Files, f), same && as
		texts[path] = text{f, texts[path].bytes}
	}
	if same {
		return now, nil, true
	}
	return now, r.read(now, texts), false
}

// read returns what a session's files come to, remembered or found anew.
func (r *recall) read(now sessionTrace, texts loaded) *derive.Reading {
	if reading := r.remember(now); reading != nil {
		return reading
	}
	r.anew.Add(1)
	reading := derive.Read(r.folder.Through(texts), now.ID)
	if reading.Err == nil && len(reading.Text)+len(reading.Samples) == 0 {
		r.kept.Put(r.nameOf(now), exact.Append(nil, remembered{reading.Session, reading.Is, reading.Result}))
	}
	return &reading
}

// remember looks a session up by the SHA-256 of its files.
func (r *recall) remember(now sessionTrace) *derive.Reading {
	room := r.rooms.Get().(*[]byte)
	defer r.rooms.Put(room)
	text, found := r.kept.GetIn(r.nameOf(now), room)
	if !found {
		return nil
	}
	known, err := exact.Read[remembered](text)
	if err != nil {
		return nil
	}
	reading := &derive.Reading{Session: known.Session, Is: known.Is, Result: known.Result}
	for _, f := range now.Files {
		reading.Inputs = append(reading.Inputs, plaintext.Input{Path: f.Path, SHA256: f.SHA256})
	}
	return reading
}

// nameOf names the entry of a session by all that it depends on.
func (r *recall) nameOf(now sessionTrace) cache.Sum {
	on := exact.Append(append(make([]byte, 0, 1<<10), r.scope...), now.Names)
	for _, f := range now.Files {
		on = append(on, f.Path+"\n"+f.SHA256+"\n"...)
	}
	return r.kept.Name("session", append(on, now.ID...))
}

// again stands in for [derive.Read] once every file has been looked at. What was
// remembered and is gone meanwhile, or damaged, is found anew.
func (r *recall) again(folder *plaintext.Folder, id string) derive.Reading {
	if reading := r.reading[id]; reading != nil {
		return *reading
	}
	at, found := slices.BinarySearchFunc(r.now.Sessions, id, func(s sessionTrace, id string) int { return strings.Compare(s.ID, id) })
	if !found {
		return derive.Read(folder, id)
	}
	if reading := r.remember(r.now.Sessions[at]); reading != nil {
		return *reading
	}
	_, reading, _ := r.session(id, nil)
	return *reading
}

// rows stands in for making a session's rows of sessions.csv.
func (r *recall) rows(basis compare.Basis, room *[]byte, fresh func() derive.Rows) derive.Rows {
	program := r.scope[:len(cache.Sum{})]
	name := r.kept.Name("rows", exact.Append(append([]byte(nil), program...), basis))
	if text, found := r.kept.GetIn(name, room); found {
		if rows, err := exact.ReadOver[derive.Rows](text); err == nil {
			return rows
		}
	}
	r.anewRows.Add(1)
	rows := fresh()
	r.kept.Put(name, exact.Append(nil, rows))
	return rows
}

// fit stands in for fitting a model.
func (r *recall) fit(question []byte, fresh func() compare.Fit) compare.Fit {
	name := r.kept.Name("fit", append(question, r.scope[:len(cache.Sum{})]...))
	if text, found := r.kept.Get(name); found {
		if fit, err := exact.ReadOver[compare.Fit](text); err == nil {
			return fit
		}
	}
	fit := fresh()
	r.kept.Put(name, exact.Append(nil, fit))
	return fit
}
