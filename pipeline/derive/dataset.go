package derive

import (
	"soletrial/pipeline/compare"
	"soletrial/pipeline/parallel"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/quality"
	"soletrial/pipeline/trial"
)

// Options say how to go about a derivation. None of it changes a byte of what comes
// out.
type Options struct {
	Workers  int    // goroutines at a time; less than two is one
	Progress func() // called after each session, from several goroutines; may be nil
}

// FromFolder derives everything from a folder that was opened, whose own problems
// are given. Each worker holds one session's recordings at a time. Problems of all
// the text come together, those of the recordings after the others; then there is
// no result.
func FromFolder(
	folder *plaintext.Folder, problems []trial.Problem, options Options,
) (*Result, []trial.Problem, error) {
	results, inputs, problems, err := summarised(folder, problems, options)
	if err != nil || len(problems) > 0 {
		return nil, problems, err
	}
	return FromSessions(&folder.Dataset, results, inputs, options.Workers), nil, nil
}

// Blocks is [FromFolder] for who wants the blocks alone: every session with its blocks,
// included or not as in blocks.csv, without comparisons, answers and tables.
func Blocks(
	folder *plaintext.Folder, problems []trial.Problem, options Options,
) ([]SessionResult, []trial.Problem, error) {
	results, inputs, problems, err := summarised(folder, problems, options)
	if err != nil || len(problems) > 0 {
		return nil, problems, err
	}
	return excludeHeld(results, acrossSessions(&folder.Dataset, results, inputs)), nil, nil
}

// summarised reads and summarises every session by itself, in dataset order, and completes
// the folder with them. With problems or an error there are no results.
func summarised(
	folder *plaintext.Folder, problems []trial.Problem, options Options,
) ([]SessionResult, []plaintext.Input, []trial.Problem, error) {
	// Every session by itself.
	ids := folder.SessionIDs()
	read := parallel.Map(options.Workers, len(ids), func(i int) sessionReading {
		if options.Progress != nil {
			defer options.Progress()
		}
		return readSession(folder, ids[i])
	})
	// The dataset's list of them, and their problems and inputs.
	inputs, err := folder.TopInputs()
	sessions, readings := make([]trial.Session, 0, len(ids)), make(map[string]*sessionReading, len(ids))
	for i := range read {
		r := &read[i]
		problems, inputs = append(problems, r.textProblems...), append(inputs, r.inputs...)
		if err == nil {
			err = r.err
		}
		if r.isSession {
			sessions, readings[ids[i]] = append(sessions, r.session), r
		}
	}
	folder.Complete(sessions)
	problems = plaintext.Sorted(problems)
	results := make([]SessionResult, len(sessions))
	for i := range sessions {
		r := readings[sessions[i].ID]
		results[i], problems = r.result, append(problems, r.sampleProblems...)
	}
	switch {
	case len(problems) > 0:
		return nil, nil, problems, nil
	case err != nil:
		return nil, nil, nil, err
	}
	plaintext.SortInputs(inputs)
	return results, inputs, nil, nil
}

// acrossSessions is what the rules find across sessions.
func acrossSessions(ds *trial.Dataset, sessions []SessionResult, inputs []plaintext.Input) []trial.Finding {
	return quality.Dataset(ds, includedSummaries(sessions), hashesByPath(inputs))
}

// sessionReading is what one session's folder comes to.
type sessionReading struct {
	session        trial.Session
	isSession      bool // a folder that holds only a plan is none yet
	result         SessionResult
	inputs         []plaintext.Input // its files
	textProblems   []trial.Problem   // with which there is no result
	sampleProblems []trial.Problem   // of the recordings, sorted; the same
	err            error             // why it cannot be read at all
}

// readSession reads, summarises and checks one session of a folder of which the
// registers have been read. The recordings are not kept.
func readSession(folder *plaintext.Folder, id string) sessionReading {
	var r sessionReading
	r.session, r.isSession, r.textProblems = folder.ReadSession(id)
	if r.isSession {
		var recordings []trial.Recording
		recordings, r.sampleProblems = folder.Recordings(&r.session)
		if len(r.textProblems)+len(r.sampleProblems) == 0 {
			r.result = Session(&folder.Dataset, &r.session, recordings)
		}
	}
	if len(r.textProblems)+len(r.sampleProblems) == 0 {
		r.inputs, r.err = folder.SessionInputs(id)
	}
	return r
}

// FromSessions compares the shoes over all sessions and writes the tables. Sessions
// are in dataset order; inputs are the hashes for inputs.sha256. Workers changes no
// byte.
func FromSessions(ds *trial.Dataset, sessions []SessionResult, inputs []plaintext.Input, workers int) *Result {
	return FromSessionsInSteps(ds, sessions, inputs, workers, func() {})
}

// FromSessionsInSteps is [FromSessions] for a program that must also do something else: with
// one worker, step is called again and again while it works.
func FromSessionsInSteps(
	ds *trial.Dataset, sessions []SessionResult, inputs []plaintext.Input, workers int, step func(),
) *Result {
	// What the rules find across sessions, and the comparisons without assumptions.
	across := acrossSessions(ds, sessions, inputs)
	r := &Result{
		Dataset: ds, Inputs: inputs,
		Sessions: excludeHeld(sessions, across), Findings: sortedFindings(ds, sessions, across),
	}
	step()
	r.Compare = compare.Analyse(ds, observations(ds, r.Sessions), r.Findings, workers)
	r.Sensor = sensorChecks(r.Sessions)
	r.Compare.AddSensorErrors(r.Sensor.Errors().Pct)
	step()
	// The answers, and what follows from all of it.
	r.Findings = sortedFindings(ds, sessions, append(across, r.decide(workers, step)...))
	step()
	r.Forecasts = forecasts(ds, r)
	r.Tables = tables(r, workers)
	return r
}
