package plaintext

import (
	"cmp"
	"io/fs"
	"slices"

	"soletrial/pipeline/stable"
	"soletrial/pipeline/trial"
)

// Folder is a dataset folder that was read.
type Folder struct {
	Dataset trial.Dataset

	fsys  fs.FS
	docs  Documents
	found listing
	known registers
	mend  func(text []byte) []byte // of tables that are read leniently, see [source]
}

// Read reads a dataset, everything but the samples, and returns all problems of
// all files in one run, sorted by file, line and column. The dataset is sound
// only when there are none; the folder is never nil, so that [Folder.Tidy] can
// mend what it can. fsys lists its folders (fs.ReadDirFS) and is rooted at the dataset.
func Read(fsys fs.FS, docs Documents) (*Folder, []trial.Problem) {
	f, problems := Open(fsys, docs, 1)
	var sessions []trial.Session
	for _, id := range f.SessionIDs() {
		session, exists, found := f.ReadSession(id)
		if problems = append(problems, found...); exists {
			sessions = append(sessions, session)
		}
	}
	f.Complete(sessions)
	return f, Sorted(problems)
}

// Open lists a dataset, by several workers where it is large, and reads its
// registers and facts, but no session. The problems are for [Sorted], together
// with those of [Folder.ReadSession].
func Open(fsys fs.FS, docs Documents, workers int) (*Folder, []trial.Problem) {
	var r report
	f := &Folder{fsys: fsys, docs: docs, found: list(fsys, workers, &r)}
	f.Dataset = f.readTop(&r, false)
	return f, r.raw()
}

// SessionIDs lists the folders of the sessions by name.
func (f *Folder) SessionIDs() []string { return f.found.sessions }

// ReadSession reads what a session's folder says, all but the samples; exists tells
// whether there is a session: a folder that holds only a plan or a field log is none yet. Several
// sessions may be read at the same time.
func (f *Folder) ReadSession(id string) (session trial.Session, exists bool, problems []trial.Problem) {
	var r report
	session, exists = f.session(id, false, &r)
	return session, exists, r.raw()
}

// Complete takes in the sessions that were read.
func (f *Folder) Complete(sessions []trial.Session) {
	stable.Sort(sessions, func(a, b trial.Session) int {
		return cmp.Or(cmp.Compare(a.Facts.Date, b.Facts.Date), cmp.Compare(a.Facts.Start, b.Facts.Start),
			cmp.Compare(a.ID, b.ID))
	})
	f.Dataset.Sessions = sessions
}

// readLeniently reads everything but the samples, for [Folder.Tidy].
func (f *Folder) readLeniently(r *report) {
	f.mend = mendTable
	f.Dataset = f.readTop(r, true)
	var sessions []trial.Session
	for _, id := range f.found.sessions {
		if session, exists := f.session(id, true, r); exists {
			sessions = append(sessions, session)
		}
	}
	f.Complete(sessions)
}

// readTop reads the registers and the facts.
func (f *Folder) readTop(r *report, lenient bool) trial.Dataset {
	var d trial.Dataset
	d.Runners, f.known.runners = register(f, runnersFile, true, lenient, r, runnerRow.runner,
		func(x trial.Runner) string { return x.ID })
	d.Shoes, f.known.shoes = register(f, shoesFile, true, lenient, r, shoeRow.shoe,
		func(x trial.Shoe) string { return x.ID })
	d.Venues, f.known.venues = register(f, venuesFile, false, lenient, r, venueRow.venue,
		func(x trial.Venue) string { return x.ID })
	if n := f.document(datasetFile, r); n != nil {
		d.Facts = readDatasetFacts(n, f.known.shoes, r)
	}
	return d
}

// register reads a register sorted by id, and its ids: nil when a row is lost, so
// that nothing can be said about an id that is not among them.
func register[R, V any](f *Folder, file string, required, lenient bool, r *report,
	value func(R, *report, map[string]int) V, id func(V) string) ([]V, []string) {
	ids := []string{}
	if !required && !slices.Contains(f.found.top, file) {
		return nil, ids
	}
	src, ok := f.readTableSource(file, lenient, r)
	if !ok {
		return nil, nil
	}
	values, whole := readRegister(src, r, value)
	if !whole {
		return values, nil
	}
	stable.Sort(values, func(a, b V) int { return cmp.Compare(id(a), id(b)) })
	for _, v := range values {
		ids = append(ids, id(v))
	}
	return values, slices.Compact(ids)
}

// readTableSource loads a table of cells.
func (f *Folder) readTableSource(file string, lenient bool, r *report) (src source, ok bool) {
	src, ok = readSource(f.fsys, file, maxTableBytes, lenient, r)
	src.mend = f.mend
	return src, ok
}

// document reads a YAML file, nil when it cannot be read.
func (f *Folder) document(path string, r *report) *Node {
	n, problems := f.docs(f.fsys, path)
	for _, problem := range problems {
		r.add(problem)
	}
	return n
}

// notBeforeSession reports whether a file shows that a session was imported: a plan
// and a field log are there before it.
func notBeforeSession(name string) bool { return name != planFile && name != FieldLogFile }

// session reads the facts and the blocks of a session. A folder that holds only
// a plan or a field log is not a session yet.
func (f *Folder) session(id string, lenient bool, r *report) (trial.Session, bool) {
	session, known := trial.Session{ID: id}, f.known
	session.At = trial.Position{File: session.Folder() + "/" + sessionFile}
	names := f.found.files[id].names
	if len(names) > 0 && !slices.ContainsFunc(names, notBeforeSession) {
		return session, false
	}
	// What may stand there before the session: its plan and its field log.
	if slices.Contains(names, planFile) || slices.Contains(names, jsonName(planFile)) {
		if n := f.document(session.Folder()+"/"+planFile, r); n != nil {
			session.Plan = readPlanFacts(n, known, r)
		}
	}
	if slices.Contains(names, FieldLogFile) || slices.Contains(names, jsonName(FieldLogFile)) {
		if n := f.document(session.Folder()+"/"+FieldLogFile, r); n != nil {
			session.FieldLog = readFieldLog(n, known.shoes, r)
		}
	}
	// The session itself, its blocks, and what overrides findings in them.
	n := f.document(session.At.File, r)
	if n == nil {
		return session, false
	}
	session.Facts = readSessionFacts(n, known, r)
	f.checkSessionNames(&session, n, r)
	blocks, whole := f.blocks(&session, names, known, lenient, r)
	session.Blocks = blocks
	if whole {
		binder{r}.overrides(n.Get("overrides"), session.Facts.Overrides, blocks)
	}
	return session, true
}

// blocks reads a session's blocks; whole is false when some are lost. They may be
// absent while the session is only planned.
func (f *Folder) blocks(session *trial.Session, names []string, known registers, lenient bool,
	r *report) (blocks []trial.Block, whole bool) {
	if session.Plan != nil && !slices.Contains(names, blocksFile) && len(session.Facts.Recordings) == 0 {
		return nil, true
	}
	src, ok := f.readTableSource(session.Folder()+"/"+blocksFile, lenient, r)
	if !ok {
		return nil, false
	}
	return readBlocks(src, contextOf(session, known), r)
}

func contextOf(session *trial.Session, known registers) blockContext {
	target, _ := trial.ParseTarget(session.Effort(), session.Facts.Target) // reported with session.yaml
	return blockContext{effort: session.Effort(), sessionTarget: target, timed: len(session.Facts.Recordings) > 0,
		shoes: known.shoes}
}
