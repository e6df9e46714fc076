package derive

import (
	"soletrial/pipeline/answer"
	"soletrial/pipeline/compare"
	"soletrial/pipeline/forecast"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/sensor"
	"soletrial/pipeline/steady"
	"soletrial/pipeline/trial"
)

// Block is one row of the derived blocks table.
type Block struct {
	steady.Summary
	Included bool
	Reason   string // why not, or the written override that let it in; else ""
	// OtherWindows are the means over the windows that show whether the answer is robust;
	// none where only a picture is wanted.
	OtherWindows []answer.Means
}

// SessionResult is what one session's text and recordings come to. It is small:
// the recordings themselves are not kept.
type SessionResult struct {
	ID       string
	Blocks   []Block
	Findings []trial.Finding
	Ratios   []sensor.Ratio // of all its blocks
	// Speed and Power tell where these channels come from.
	Speed, Power answer.Source
}

// Result is the whole chain's outcome.
type Result struct {
	Dataset   *trial.Dataset
	Inputs    []plaintext.Input
	Sessions  []SessionResult // in dataset order
	Findings  []trial.Finding // of all sessions and of the dataset, sorted
	Compare   compare.Result
	Sensor    sensor.Table
	Answers   *answer.Answers
	Progress  []Progress // by effort; none where only a picture is wanted
	Forecasts []forecast.Row
	Tables    []Table // sorted by name
}

// Progress is how the answer at an effort stood after each session.
type Progress struct {
	Effort trial.Effort
	Points []answer.Point
}

// Table is one derived file, named relative to derived/.
type Table struct {
	Name string
	Text []byte
}

// Session returns the result of the session with the given id, or nil.
func (r *Result) Session(id string) *SessionResult {
	for i := range r.Sessions {
		if r.Sessions[i].ID == id {
			return &r.Sessions[i]
		}
	}
	return nil
}
