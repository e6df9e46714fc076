package derive

import (
	"soletrial/pipeline/compare"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/quality"
	"soletrial/pipeline/sensor"
	"soletrial/pipeline/steady"
	"soletrial/pipeline/trial"
)

// Prepared are a session's recordings made ready to be summarised and checked
// under one trim after the other, as fast as a slider moves.
type Prepared struct {
	recordings []trial.Recording
	tracks     *steady.Tracks
	survey     *quality.Survey
}

// Prepare makes recordings ready under the dataset's method and limits, of which
// only the trim may be another one later.
func Prepare(ds *trial.Dataset, recordings []trial.Recording) *Prepared {
	return &Prepared{recordings, steady.Prepare(ds, recordings), quality.Look(ds, recordings)}
}

// Session is [Session] for the recordings that were prepared.
func (p *Prepared) Session(ds *trial.Dataset, session *trial.Session) SessionResult {
	r, summaries := p.quick(ds, session)
	r.Ratios = sensor.Session(ds, session, p.recordings, summaries)
	return r
}

// Quick is [Prepared.Session] without the ratios, which [Again] has no use for.
func (p *Prepared) Quick(ds *trial.Dataset, session *trial.Session) SessionResult {
	r, _ := p.quick(ds, session)
	return r
}

func (p *Prepared) quick(ds *trial.Dataset, session *trial.Session) (SessionResult, []steady.Summary) {
	summaries := p.tracks.Session(ds, session)
	r := SessionResult{ID: session.ID, Findings: p.survey.Session(ds, session, summaries), Blocks: make([]Block, len(summaries))}
	for i := range summaries {
		b := &r.Blocks[i]
		b.Summary, b.Included = summaries[i], true
		b.decide(&session.Blocks[i], r.Findings)
	}
	return r, summaries
}

// Again is [Assemble] for somebody who waits for the next picture: the findings,
// and the comparisons that [compare.Quick] makes; no tables and nothing that only
// they hold. It remembers what it found across sessions for as long as the same
// blocks take part.
type Again struct {
	content map[string]string
	made    string // what the findings were made from
	wide    []trial.Finding
}

// NewAgain starts with the hashes of the dataset's files.
func NewAgain(inputs []plaintext.Input) *Again { return &Again{content: hashes(inputs)} }

// Run compares the shoes over the sessions of one dataset, the same for every call
// but for the method, in dataset order, in the outcomes that decide and in the
// shown ones.
func (a *Again) Run(ds *trial.Dataset, sessions []SessionResult, shown ...trial.Outcome) *Result {
	if made := takePart(ds, sessions); a.made != made {
		a.made, a.wide = made, quality.Dataset(ds, included(sessions), a.content)
	}
	r := joined(ds, sessions, a.wide)
	r.Compare = compare.Quick(ds, observations(ds, r.Sessions), r.Findings, shown...)
	return r
}

// takePart tells which blocks take part, and the reference shoe: all that the rules
// across sessions look at besides the registers and the facts of the sessions.
func takePart(ds *trial.Dataset, sessions []SessionResult) string {
	part := append([]byte(ds.Reference()), 0)
	for i := range sessions {
		for j := range sessions[i].Blocks {
			if sessions[i].Blocks[j].Included {
				part = append(part, 1)
				continue
			}
			part = append(part, 2)
		}
	}
	return string(part)
}
