package derive

import (
	"soletrial/pipeline/compare"
	"soletrial/pipeline/crew"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/trial"
)

// Want is how much of a result is wanted. What is there is the same in all.
type Want int

// What can be wanted, from most to least.
const (
	Everything Want = iota // the tables, and all comparisons within sessions to look at
	Tables                 // the tables; comparisons within sessions stand in them alone
	Answers                // no tables and no comparisons within sessions
)

// Means says how to go about a derivation. None of it changes a byte of what
// comes out. The zero value is one worker who remembers nothing.
type Means struct {
	Workers int // at a time
	Want    Want
	// Read stands in for [Read], for whoever knows sessions from before. It is
	// called from several goroutines.
	Read func(folder *plaintext.Folder, id string) Reading
	// Rows stands in for calling fresh, for whoever knows the rows of a session with
	// that basis from before. They may lie in room, which is theirs until the next
	// call with it. It is called from several goroutines.
	Rows func(basis compare.Basis, room *[]byte, fresh func() Rows) Rows
	// Fits is for whoever knows fits of models from before.
	Fits compare.Memory
	// Step is called after each session, from several goroutines.
	Step func()
}

// Reading is what one session's folder comes to.
type Reading struct {
	Session trial.Session
	Is      bool // there is a session; a folder that holds only a plan is none yet
	Result  SessionResult
	Inputs  []plaintext.Input // its files
	Text    []trial.Problem   // with which there is no result; for [plaintext.Sorted]
	Samples []trial.Problem   // of the recordings, sorted
	Err     error             // why it cannot be read at all
}

// Read reads, summarises and checks one session of a folder of which the registers
// have been read. The recordings are not kept.
func Read(folder *plaintext.Folder, id string) Reading {
	var r Reading
	r.Session, r.Is, r.Text = folder.ReadSession(id)
	if r.Is {
		recordings, problems := folder.Recordings(&r.Session)
		if r.Samples = problems; len(r.Text)+len(r.Samples) == 0 {
			r.Result = Session(Scope(&folder.Dataset), &r.Session, recordings)
		}
	}
	if len(r.Text)+len(r.Samples) == 0 {
		r.Inputs, r.Err = folder.SessionInputs(id)
	}
	return r
}

// Scope is the part of a dataset that the result of a session can depend on,
// besides the session's own files.
func Scope(ds *trial.Dataset) *trial.Dataset {
	facts := trial.DatasetFacts{Method: ds.Facts.Method, Limits: ds.Facts.Limits}
	return &trial.Dataset{Facts: facts, Runners: ds.Runners, Shoes: ds.Shoes, Venues: ds.Venues}
}

// Run derives everything from a folder that was opened, whose own problems are
// given. Each worker holds one session's recordings at a time. Problems of all the
// text come together, those of the recordings after the others; then there is no
// result.
func Run(folder *plaintext.Folder, problems []trial.Problem, by Means) (*Result, []trial.Problem, error) {
	read := by.Read
	if read == nil || len(problems) > 0 {
		read = Read
	}
	ids := folder.SessionIDs()
	readings := make([]Reading, len(ids))
	crew.Do(by.Workers, len(ids), func(i int) {
		readings[i] = read(folder, ids[i])
		if by.Step != nil {
			by.Step()
		}
	})
	inputs, err := folder.TopInputs()
	sessions, results := make([]trial.Session, 0, len(ids)), make(map[string]*Reading, len(ids))
	for i := range readings {
		r := &readings[i]
		problems = append(problems, r.Text...)
		if inputs = append(inputs, r.Inputs...); err == nil {
			err = r.Err
		}
		if r.Is {
			sessions = append(sessions, r.Session)
			results[ids[i]] = r
		}
	}
	folder.Complete(sessions)
	problems = plaintext.Sorted(problems)
	ordered := make([]SessionResult, len(sessions))
	for i := range sessions {
		r := results[sessions[i].ID]
		ordered[i], problems = r.Result, append(problems, r.Samples...)
	}
	switch {
	case len(problems) > 0:
		return nil, problems, nil
	case err != nil:
		return nil, nil, err
	}
	plaintext.SortInputs(inputs)
	return assemble(&folder.Dataset, ordered, inputs, by), nil, nil
}
