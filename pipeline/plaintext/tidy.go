package plaintext

import (
	"bytes"
	"slices"

	"soletrial/pipeline/trial"
)

// Tidy returns the canonical bytes of every file that is not in canonical form,
// by path, and the problems that it cannot mend; a file with problems is not
// among the results. It mends line ends, the byte order mark, blanks around
// cells, empty rows, and the order of columns and rows, drops optional columns
// that are blank throughout, and rounds to each column's decimals, which is the
// only way in which anything is lost. Samples keep their order. In YAML only the
// byte order mark, the line ends and the end of the file are mended, and
// plan.yaml is not touched at all.
func (f *Folder) Tidy() (map[string][]byte, []trial.Problem) {
	var r report
	fresh := &Folder{fsys: f.fsys, docs: f.docs, found: list(f.fsys, 1, &r)}
	fresh.readLeniently(&r)
	d := &fresh.Dataset
	t := tidying{fresh, &r, map[string][]byte{}}
	t.yaml(datasetFile)
	t.table(runnersFile, AppendRunners(nil, d.Runners),
		func(src source, r *report) { readRegister(src, r, runnerRow.runner) })
	t.table(shoesFile, AppendShoes(nil, d.Shoes), func(src source, r *report) { readRegister(src, r, shoeRow.shoe) })
	t.table(venuesFile, AppendVenues(nil, d.Venues),
		func(src source, r *report) { readRegister(src, r, venueRow.venue) })
	for i := range d.Sessions {
		t.session(&d.Sessions[i])
	}
	return t.changed, r.sorted()
}

type tidying struct {
	*Folder
	report  *report
	changed map[string][]byte
}

func (t tidying) session(session *trial.Session) {
	t.yaml(session.At.File)
	if t.report.counts[session.At.File] == 0 { // otherwise targets mean nothing
		context := contextOf(session, registers{})
		canonical := AppendBlocks(nil, context.effort, context.sessionTarget, session.Blocks)
		t.table(session.Folder()+"/"+blocksFile, canonical, func(src source, r *report) { readBlocks(src, context, r) })
	}
	for _, fact := range session.Facts.Recordings {
		t.recording(session.Folder() + "/" + fact.File)
	}
}

// table notes the canonical form of a table that was read without problems. The
// form is read once more, strictly: rounding may have taken a number out of its
// range, 0.04 g to 0.0 g, and that is for the person to settle.
func (t tidying) table(path string, canonical []byte, read func(source, *report)) {
	text, ok := t.present(path)
	if !ok || t.report.counts[path] > 0 {
		return
	}
	var isTaken report
	read(source{file: path, text: canonical}, &isTaken)
	if problems := isTaken.sorted(); len(problems) > 0 {
		t.report.file(path, "write a number that the decimals of its column can show", "cannot be rounded: %s",
			problems[0].Message)
		return
	}
	t.put(path, text, canonical)
}

func (t tidying) recording(path string) {
	text, ok := t.present(path)
	if !ok {
		return
	}
	if samples := readSamples(text, path, true, t.report); t.report.counts[path] == 0 {
		t.put(path, text, AppendSamples(nil, samples))
	}
}

// yaml mends the outer form of a document and leaves the rest to its writer.
func (t tidying) yaml(path string) {
	text, ok := t.present(path)
	if !ok || t.report.counts[path] > 0 {
		return
	}
	mended := bytes.TrimPrefix(text, []byte(byteOrderMark))
	mended = bytes.ReplaceAll(mended, []byte("\r\n"), []byte{'\n'})
	if len(mended) > 0 && mended[len(mended)-1] != '\n' {
		mended = append(bytes.Clone(mended), '\n')
	}
	t.put(path, text, mended)
}

// present returns the text of a file that is part of the dataset.
func (t tidying) present(path string) ([]byte, bool) {
	if slices.Contains(t.inputPaths(), path) {
		return readBytes(t.fsys, path, maxRecordingBytes, t.report)
	}
	return nil, false
}

func (t tidying) put(path string, text, canonical []byte) {
	if !bytes.Equal(text, canonical) {
		t.changed[path] = canonical
	}
}
