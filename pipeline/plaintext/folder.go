package plaintext

import (
	"cmp"
	"io/fs"
	"slices"

	"soletrial/pipeline/trial"
)

// Folder is a dataset folder that was read.
type Folder struct {
	Dataset trial.Dataset

	fsys  fs.FS
	docs  Documents
	found listing
}

// Read reads a dataset, everything but the samples, and returns all problems of
// all files in one run, sorted by file, line and column. The dataset is sound
// only when there are none; the folder is never nil, so that [Folder.Tidy] can
// mend what it can. fsys is rooted at the dataset.
func Read(fsys fs.FS, docs Documents) (*Folder, []trial.Problem) {
	var r report
	f := &Folder{fsys: fsys, docs: docs, found: list(fsys, &r)}
	f.Dataset = f.read(&r, false)
	return f, r.sorted()
}

// read reads the registers, the facts and the sessions.
func (f *Folder) read(r *report, lenient bool) trial.Dataset {
	var d trial.Dataset
	var known registers
	d.Runners, known.runners = register(f, runnersFile, true, lenient, r, runnerRow.runner, func(x trial.Runner) string { return x.ID })
	d.Shoes, known.shoes = register(f, shoesFile, true, lenient, r, shoeRow.shoe, func(x trial.Shoe) string { return x.ID })
	d.Venues, known.venues = register(f, venuesFile, false, lenient, r, venueRow.venue, func(x trial.Venue) string { return x.ID })
	if n := f.document(datasetFile, r); n != nil {
		d.Facts = readDatasetFacts(n, known.shoes, r)
	}
	for _, id := range f.found.sessions {
		if session, ok := f.session(id, known, lenient, r); ok {
			d.Sessions = append(d.Sessions, session)
		}
	}
	sortStable(d.Sessions, func(a, b *trial.Session) int {
		return cmp.Or(cmp.Compare(a.Facts.Date, b.Facts.Date), cmp.Compare(a.Facts.Start, b.Facts.Start), cmp.Compare(a.ID, b.ID))
	})
	return d
}

// register reads a register sorted by id, and its ids: nil when a row is lost, so
// that nothing can be said about an id that is not among them.
func register[R, V any](f *Folder, file string, required, lenient bool, r *report, value func(R, *report, map[string]int) V, id func(V) string) ([]V, []string) {
	ids := []string{}
	if !required && !contains(f.found.top, file) {
		return nil, ids
	}
	src, ok := readSource(f.fsys, file, maxTableBytes, lenient, r)
	if !ok {
		return nil, nil
	}
	values, whole := readRegister(src, r, value)
	if !whole {
		return values, nil
	}
	sortStable(values, func(a, b *V) int { return cmp.Compare(id(*a), id(*b)) })
	for _, v := range values {
		ids = append(ids, id(v))
	}
	return values, slices.Compact(ids)
}

// document reads a YAML file, nil when it cannot be read.
func (f *Folder) document(path string, r *report) *Node {
	n, problems := f.docs(f.fsys, path)
	for _, problem := range problems {
		r.add(problem)
	}
	return n
}

// session reads the facts and the blocks of a session. A folder that holds only
// a plan is not a session yet.
func (f *Folder) session(id string, known registers, lenient bool, r *report) (trial.Session, bool) {
	session := trial.Session{ID: id}
	session.At = trial.Position{File: session.Folder() + "/" + sessionFile}
	names := f.found.files[id]
	if len(names) == 1 && names[0] == planFile {
		return session, false
	}
	if contains(names, planFile) || contains(names, twin(planFile)) {
		if n := f.document(session.Folder()+"/"+planFile, r); n != nil {
			session.Plan = readPlanFacts(n, known, r)
		}
	}
	n := f.document(session.At.File, r)
	if n == nil {
		return session, false
	}
	session.Facts = readSessionFacts(n, known, r)
	checkSessionNames(&session, n, names, r)
	blocks, whole := f.blocks(&session, names, known, lenient, r)
	session.Blocks = blocks
	if whole {
		binder{r}.overrides(n.Get("overrides"), session.Facts.Overrides, blocks)
	}
	return session, true
}

// blocks reads a session's blocks; whole is false when some are lost. They may be
// absent while the session is only planned.
func (f *Folder) blocks(session *trial.Session, names []string, known registers, lenient bool, r *report) (blocks []trial.Block, whole bool) {
	if session.Plan != nil && !contains(names, blocksFile) && len(session.Facts.Recordings) == 0 {
		return nil, true
	}
	src, ok := readSource(f.fsys, session.Folder()+"/"+blocksFile, maxTableBytes, lenient, r)
	if !ok {
		return nil, false
	}
	return readBlocks(src, contextOf(session, known), r)
}

func contextOf(session *trial.Session, known registers) blockContext {
	target, _ := trial.ParseTarget(session.Effort(), session.Facts.Target) // reported with session.yaml
	return blockContext{effort: session.Effort(), sessionTarget: target, timed: len(session.Facts.Recordings) > 0, shoes: known.shoes}
}
