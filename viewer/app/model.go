package app

import (
	"fmt"
	"math"
	"slices"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/compare"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/figure"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/sums"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
	"soletrial/viewer/load"
)

// Model is what the explorer knows and what the reader asked for. Its methods read it;
// [Model.Do] and [Model.Follow] change it, and [Model.Recompute] brings the results up
// to date afterwards.
type Model struct {
	Bundle        *load.Bundle
	Dataset       *trial.Dataset // as published
	Check         Check          // of every table; none while the bundle is not complete
	Partial       PartialResult  // what was derived of a bundle that is not complete
	AnswerDiffers bool           // the answer that the index gives is not the one that is derived
	Persistent    bool           // the store keeps files for the next visit
	Width         figure.Width   // the width that figures are drawn for
	Notice        string         // what could not be done as asked; "" if nothing
	Fetching      string         // how far fetching has come; "" while nothing is fetched
	Failed        string         // what could not be fetched, and why; "" for nothing
	WantAll       bool           // the reader asked for all sessions
	SavesData     bool           // the reader's browser saves data: nothing is fetched unasked
	Trying        Trying         // how far the analyses of the robustness have come

	// SummarisedBlocks counts the blocks that were summarised for a choice so far: a change
	// must cost no more of them than it affects.
	SummarisedBlocks int

	choice            Choice
	past, future      []Choice // what undo and redo lead to, the next one last
	lastAction        string
	inputs            []plaintext.Input
	interactive       *derive.Interactive
	recordings        map[string][]trial.Recording
	prepared          map[string]*derive.Prepared
	publishedSessions []derive.SessionResult
	changedSessions   []cachedSession // under the choice
	published         *derive.Result
	rebased           *derive.Result // as published, against the reader's reference shoe
	rebasedOn         comparisonKey  // what that was made from
	yours             *derive.Result
	exact             bool            // yours is as exact as a derive
	sums              []sums.Block    // none once everything is there
	fromSums          *answer.Answers // the published answers, worked out from the sums; nil before they are needed
	listed            [2]listed       // of the published answers and of the reader's
	sumsBroken        bool            // they cannot be read
	readBack          []Standing      // the published answer, read from its table
	blockRows         []row           // of the published table of blocks
	longest           float64         // length of the longest block, s
	label             func(shoe string) string
	lines             map[lineKey][]figure.TraceLine
	own               *OwnRecording
	ownNotice         string
	ownDoubt          bool // it says that a file is doubtful
	ownReading        bool // it says that a file is being read
	ownColumns        *OwnColumns
	views             []SavedView
	viewsRead         []SavedView // as the store last had them
	beside            []string    // names of the views in the figure
	besideCached      map[string][]Standing
	viewName          string      // typed for the next view to be saved
	analysed          analysisKey // what the results were made from
	panels            map[trial.Channel]cachedPanel
	swatches          map[int]string
	cursor            float64 // seconds from block start; missing for none
}

// ReadError is the error for a bundle whose text cannot be read.
type ReadError struct{ Problems []trial.Problem }

func (e *ReadError) Error() string {
	text := "the published dataset cannot be read: " + e.Problems[0].Error()
	if more := len(e.Problems) - 1; more > 0 {
		text += fmt.Sprintf(", and %d more problems", more)
	}
	return text + "; tell whoever published this site"
}

// Open reads a bundle, derives every table from it and compares them with the
// published ones. Of a bundle that is not complete the published answer is read
// instead, and only the sessions that are there are derived. Step is called after
// each session, so that a caller can show how far it has come.
func Open(bundle *load.Bundle, step func(done, of int)) (*Model, error) {
	folder, problems := plaintext.Read(bundle.Files, plaintext.ReadJSON)
	if len(problems) > 0 {
		return nil, &ReadError{problems}
	}
	inputs, err := folder.Inputs()
	if err != nil {
		return nil, fmt.Errorf("hashing the published files: %w", err)
	}

	m := &Model{
		Bundle: bundle, Dataset: &folder.Dataset, Width: figure.Wide, choice: AsPublished(),
		label: compare.Labels(&folder.Dataset), inputs: inputs, interactive: derive.NewInteractive(inputs),
		recordings: map[string][]trial.Recording{}, prepared: map[string]*derive.Prepared{},
		lines: map[lineKey][]figure.TraceLine{}, panels: map[trial.Channel]cachedPanel{}, swatches: map[int]string{},
		cursor: units.Missing,
	}

	// Derive the sessions that are there, and list the problems of all of them.
	for i := range m.Dataset.Sessions {
		s := &m.Dataset.Sessions[i]
		recordings, found := folder.Recordings(s)
		if problems = append(problems, found...); len(problems) > 0 {
			continue
		}
		m.recordings[s.ID] = recordings
		m.prepared[s.ID] = derive.Prepare(m.Dataset, recordings)
		m.publishedSessions = append(m.publishedSessions, m.prepared[s.ID].Session(m.Dataset, s))
		step(i+1, len(m.Dataset.Sessions))
	}
	if len(problems) > 0 {
		return nil, &ReadError{problems}
	}

	// The published answer: derived from all sessions, or read.
	if bundle.Complete() {
		m.published = derive.FromSessionsInSteps(m.Dataset, m.publishedSessions, m.inputs, 1, func() { step(0, 0) })
		m.Check = checkTables(bundle, m.published.Tables)
		m.AnswerDiffers = bundle.Index.Answer != nil && !matchesAnswer(bundle.Index.Answer, m.published)
	} else if err := m.readAnswer(); err != nil {
		return nil, err
	}
	m.findLongest()
	m.changedSessions = make([]cachedSession, len(m.publishedSessions))
	m.Recompute()
	return m, nil
}

// Choice returns what the reader has chosen.
func (m *Model) Choice() Choice { return m.choice }

// Published returns the results under the published method.
func (m *Model) Published() *derive.Result { return m.published }

// Yours returns the results under the reader's choice; they are the published
// ones as long as nothing is changed.
func (m *Model) Yours() *derive.Result { return m.yours }

// Session returns the session that is shown, nil in a dataset without any and while it
// is not there yet.
func (m *Model) Session() *trial.Session {
	all := m.SessionIDs()
	if len(all) == 0 {
		return nil
	}
	if slices.Contains(all, m.choice.Session) {
		return m.Dataset.Session(m.choice.Session)
	}
	return m.Dataset.Session(all[len(all)-1])
}

// Trim returns what is cut off blocks under the reader's choice.
func (m *Model) Trim() trial.Trim {
	trim := m.Dataset.Facts.Method.Trim
	for p := range TrimCount {
		if chosen := m.choice.Trim[p]; units.Known(chosen) {
			*p.Of(&trim) = chosen
		}
	}
	switch m.choice.Laps {
	case trial.WholeLaps:
		trim.Laps = trial.WholeLaps
	case Seconds:
		trim.Laps = ""
	}
	return trim
}

// Reference returns the reference shoe under the reader's choice.
func (m *Model) Reference() string {
	if m.choice.Reference != "" {
		return m.choice.Reference
	}
	return m.Dataset.Reference()
}

// Drift returns how a drift is modelled under the reader's choice.
func (m *Model) Drift() string {
	if m.choice.Drift != "" {
		return m.choice.Drift
	}
	return m.Dataset.Facts.Method.Drift
}

// Exponent returns the exponent of the adjustment to equal effort under the
// reader's choice.
func (m *Model) Exponent() float64 {
	if units.Known(m.choice.Exponent) {
		return m.choice.Exponent
	}
	return m.Dataset.Facts.Method.PowerExponent
}

// CanUndo reports whether there is a choice to go back to.
func (m *Model) CanUndo() bool { return len(m.past) > 0 }

// CanRedo reports whether a change was undone and can be made again.
func (m *Model) CanRedo() bool { return len(m.future) > 0 }

// LongestBlock is the length of the longest block of all sessions, s; 60 at least.
func (m *Model) LongestBlock() float64 { return m.longest }

// findLongest finds the longest block: from the published table, which has the windows of all
// sessions, so that it is the same before and after the samples are there.
func (m *Model) findLongest() {
	if m.blockRows == nil {
		m.blockRows, _ = parseTable(m.Bundle.Derived[load.BlocksTable])
	}
	trim, longest := m.Dataset.Facts.Method.Trim, 60.0
	for _, r := range m.blockRows {
		if window := r.number("window_s"); window > 0 {
			longest = math.Max(longest, window+trim.HeadS+trim.TailS)
		}
	}
	m.longest = math.Ceil(longest)
}
