package app

import (
	"fmt"
	"sort"
	"strconv"
	"strings"

	"soletrial/pipeline/compare"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Own is a recording that the reader brought. It is compared by itself, under the
// reader's choice of method, and is no part of the published dataset. Nothing of
// it leaves the program but to the browser's own store.
type Own struct {
	Name    string
	Effort  trial.Effort
	Target  string
	Rows    []OwnBlock
	Problem string              // why there is no result; "" if there is one
	Result  *derive.Result      // nil with a problem
	Label   func(string) string // of its shoes

	samples *trial.Samples
}

// OwnBlock is one block as typed: the shoe's name, and seconds or m:ss.
type OwnBlock [OwnCells]string

// The cells of a block.
const (
	OwnShoe = iota
	OwnStart
	OwnEnd
	OwnCells
)

// Actions on the reader's own recording.
const (
	DoOwnEffort = "own-effort"
	DoOwnTarget = "own-target"
	DoOwnCell   = "own-cell" // on row/cell, both counted from 0
	DoOwnMore   = "own-more" // one more block
	DoOwnLess   = "own-less" // without the last one
	DoOwnForget = "own-forget"
)

// mostOwn is how many blocks one recording may be cut into.
const mostOwn = 60

// Own returns the reader's own recording, nil when there is none.
func (m *Model) Own() *Own { return m.own }

// Bring takes a recording in this project's form: CSV with elapsed_s and at least
// one channel. What cannot be read leaves everything as it was and says why.
func (m *Model) Bring(name string, text []byte) bool {
	samples, problems := plaintext.ReadSamples(text, name)
	if len(problems) > 0 {
		m.Notice = "The recording cannot be read: " + problems[0].Error()
		if more := len(problems) - 1; more > 0 {
			m.Notice += fmt.Sprintf(", and %d more problems", more)
		}
		m.Notice += ". It has to be CSV with elapsed_s and channels such as power_w and speed_mps; `soletrial import` makes that of other files."
		return false
	}
	m.own = &Own{Name: name, Effort: trial.Power, Rows: make([]OwnBlock, 4), samples: samples}
	m.Notice = fmt.Sprintf("%q is read, %d samples. It stays in this browser.", name, samples.Len())
	m.compareOwn()
	return true
}

// doOwn takes one action on the reader's own recording.
func (m *Model) doOwn(kind, what, value string) {
	o := m.own
	if o == nil {
		return
	}
	switch kind {
	case DoOwnForget:
		m.own, m.Notice = nil, "Your recording is deleted from this browser."
		return
	case DoOwnEffort:
		o.Effort = trial.Effort(value)
	case DoOwnTarget:
		o.Target = value
	case DoOwnMore:
		o.Rows = append(o.Rows, OwnBlock{})[:min(len(o.Rows)+1, mostOwn)]
	case DoOwnLess:
		o.Rows = o.Rows[:max(len(o.Rows)-1, 2)]
	case DoOwnCell:
		row, cell, _ := strings.Cut(what, "/")
		i, errRow := strconv.Atoi(row)
		j, errCell := strconv.Atoi(cell)
		if errRow == nil && errCell == nil && i >= 0 && i < len(o.Rows) && j >= 0 && j < OwnCells {
			o.Rows[i][j] = value
		}
	}
	m.compareOwn()
}

// compareOwn runs the analysis on the reader's own recording.
func (m *Model) compareOwn() {
	o := m.own
	if o == nil {
		return
	}
	o.Result, o.Problem = nil, ""
	ds := trial.Dataset{Facts: m.Dataset.Facts}
	ds.Facts.Method.Trim, ds.Facts.Method.Drift, ds.Facts.Method.PowerExponent = m.Trim(), m.Drift(), m.Exponent()
	session, err := o.session()
	if err != nil {
		o.Problem = err.Error()
		return
	}
	for _, b := range session.Blocks {
		if ds.Shoe(b.Shoe) == nil {
			ds.Shoes = append(ds.Shoes, trial.Shoe{ID: b.Shoe, Label: b.Shoe, MassG: units.Missing})
		}
	}
	ds.Facts.Method.Reference = session.Blocks[0].Shoe
	ds.Sessions = []trial.Session{*session}
	recording := trial.Recording{Fact: trial.RecordingFact{File: o.Name, Device: "own"}, Samples: o.samples}
	result := derive.Session(&ds, session, []trial.Recording{recording})
	o.Result, o.Label = derive.Quick(&ds, []derive.SessionResult{result}, nil), compare.Labels(&ds)
}

// session is the recording as a session; rows left blank are no blocks.
func (o *Own) session() (*trial.Session, error) {
	target, err := trial.ParseTarget(o.Effort, strings.TrimSpace(o.Target))
	if err != nil || !(target > 0) {
		return nil, fmt.Errorf("write what was held: a number, or m:ss per km for a pace")
	}
	s := &trial.Session{ID: "own", Facts: trial.SessionFacts{Effort: string(o.Effort), Target: o.Target}}
	for i, row := range o.Rows {
		if row == (OwnBlock{}) {
			continue
		}
		b := trial.Block{ID: strconv.Itoa(i + 1), Shoe: strings.TrimSpace(row[OwnShoe]), Target: target,
			DistanceM: units.Missing, Laps: units.Missing, RPE: units.Missing, ComfortMm: units.Missing}
		for measure := range b.Measured {
			b.Measured[measure] = units.Missing
		}
		if b.Start, err = clock(row[OwnStart]); err == nil {
			b.End, err = clock(row[OwnEnd])
		}
		if err != nil || !(b.End > b.Start) || b.Shoe == "" {
			return nil, fmt.Errorf("block %d needs a shoe, a start and a later end, in seconds or m:ss from the start of the recording", i+1)
		}
		s.Blocks = append(s.Blocks, b)
	}
	if len(s.Blocks) < 2 {
		return nil, fmt.Errorf("write at least two blocks: which shoe, from when, until when")
	}
	sort.SliceStable(s.Blocks, func(i, j int) bool { return s.Blocks[i].Start < s.Blocks[j].Start })
	return s, nil
}

func clock(text string) (float64, error) {
	if text = strings.TrimSpace(text); strings.Contains(text, ":") {
		return units.ParseDuration(text)
	}
	return units.ParseDecimal(text)
}

// OwnText writes how the reader's recording is cut, for the store; nothing where
// there is none.
func (m *Model) OwnText() []byte {
	if m.own == nil {
		return nil
	}
	lines := []string{escape(m.own.Name), string(m.own.Effort), escape(m.own.Target)}
	for _, row := range m.own.Rows {
		lines = append(lines, escape(row[OwnShoe])+","+escape(row[OwnStart])+","+escape(row[OwnEnd]))
	}
	return []byte(strings.Join(lines, "\n"))
}

// SetOwn brings back a recording with what [Model.OwnText] wrote.
func (m *Model) SetOwn(cut, recording []byte) {
	lines := strings.Split(string(cut), "\n")
	if len(lines) < 3 || !m.Bring(unescape(lines[0]), recording) {
		return
	}
	m.Notice = ""
	m.own.Effort, m.own.Target, m.own.Rows = trial.Effort(lines[1]), unescape(lines[2]), nil
	for _, line := range lines[3:min(len(lines), 3+mostOwn)] {
		var row OwnBlock
		for j, cell := range strings.SplitN(line, ",", OwnCells) {
			row[j] = unescape(cell)
		}
		m.own.Rows = append(m.own.Rows, row)
	}
	m.compareOwn()
}
