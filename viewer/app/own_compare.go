package app

import (
	"errors"
	"fmt"
	"sort"
	"strconv"
	"strings"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/compare"
	"soletrial/pipeline/decide"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/recording/segment"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// compareOwn runs the analysis on the reader's own recording.
func (m *Model) compareOwn(accuracy decide.Accuracy) {
	o := m.own
	if o == nil {
		return
	}
	o.Result, o.Problem, o.stale, o.exact = nil, "", false, accuracy == decide.Exact
	ds := trial.Dataset{Facts: m.Dataset.Facts}
	ds.Facts.Method.Trim, ds.Facts.Method.Drift, ds.Facts.Method.PowerExponent = m.Trim(), m.Drift(), m.Exponent()

	// A dataset with this session alone, whose shoes are those named in it.
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

	// Derive it; the recording is prepared once.
	if o.prepared == nil {
		var recordings []trial.Recording
		if o.HasSamples() {
			fact := trial.RecordingFact{File: o.Name, Device: "own"}
			recordings = []trial.Recording{{Fact: fact, Samples: o.samples}}
		}
		o.prepared = derive.Prepare(&ds, recordings)
	}
	results := []derive.SessionResult{o.prepared.Quick(&ds, session)}
	show := derive.Showing{Accuracy: accuracy, Comparisons: true}
	o.Result = derive.NewInteractive(nil).Result(&ds, results, show)
	said := answer.NewSpeaker(&ds, o.Result.Answers).Top()
	o.Said, o.Label = strings.TrimSpace(said.Headline()+" "+said.Evidence), compare.Labels(&ds)
}

// session is the recording as a session; rows without a shoe are left out.
func (o *OwnRecording) session() (*trial.Session, error) {
	target, err := trial.ParseTarget(o.Effort, strings.TrimSpace(o.Target))
	if err != nil || !(target > 0) {
		return nil, errors.New("write what was held: a number, or m:ss per km for a pace")
	}

	// One block for each row with a shoe.
	s := &trial.Session{ID: "own", Facts: trial.SessionFacts{Effort: string(o.Effort), Target: o.Target}}
	for i, row := range o.Rows {
		shoe := strings.TrimSpace(row.Cells[OwnShoe])
		if shoe == "" {
			continue
		}
		b := trial.Block{ID: strconv.Itoa(i + 1), Shoe: shoe, Target: target,
			DistanceM: units.Missing, Laps: units.Missing, RPE: units.Missing, ComfortMm: units.Missing}
		for measure := range b.Measured {
			b.Measured[measure] = units.Missing
		}
		if b.Start, err = parseClock(row.Cells[OwnStart]); err == nil {
			b.End, err = parseClock(row.Cells[OwnEnd])
		}
		if err != nil || !(b.End > b.Start) {
			return nil, fmt.Errorf("block %d needs a start and a later end, "+
				"in seconds or m:ss from the start of the recording", i+1)
		}
		s.Blocks = append(s.Blocks, b)
	}

	if !o.HasSamples() {
		segment.MeasureByLaps(s.Blocks, o.laps)
	}

	// In the order in which they were run.
	if len(s.Blocks) < 2 {
		return nil,
			errors.New("write the shoe of at least two blocks; a block without a shoe is excluded")
	}
	sort.SliceStable(s.Blocks, func(i, j int) bool { return s.Blocks[i].Start < s.Blocks[j].Start })
	return s, nil
}

func parseClock(text string) (float64, error) {
	if text = strings.TrimSpace(text); strings.Contains(text, ":") {
		return units.ParseDuration(text)
	}
	return units.ParseDecimal(text)
}
