package plaintext

import (
	"slices"
	"soletrial/pipeline/trial"
)

// Samples reads one recording of a session.
func (f *Folder) Samples(session *trial.Session, fact trial.RecordingFact) (*trial.Samples, []trial.Problem) {
	var r report
	path := session.Folder() + "/" + fact.File
	text, ok := readBytes(f.fsys, path, maxRecordingBytes, &r)
	if !ok {
		return nil, r.sorted()
	}
	return ReadSamples(text, path)
}

// Recordings reads all recordings of a session in the order that session.yaml
// lists them. The problems of all of them come together; a recording with
// problems is left out, and so is one that is not there, of which [Read] told.
func (f *Folder) Recordings(session *trial.Session) ([]trial.Recording, []trial.Problem) {
	var recordings []trial.Recording
	var problems []trial.Problem
	for _, fact := range session.Facts.Recordings {
		if !slices.Contains(f.found.files[session.ID].names, fact.File) {
			continue
		}
		samples, found := f.Samples(session, fact)
		if problems = append(problems, found...); samples != nil {
			recordings = append(recordings, trial.Recording{Fact: fact, Samples: samples})
		}
	}
	return recordings, problems
}
