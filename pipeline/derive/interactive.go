package derive

import (
	"soletrial/pipeline/answer"
	"soletrial/pipeline/compare"
	"soletrial/pipeline/decide"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/quality"
	"soletrial/pipeline/sensor"
	"soletrial/pipeline/steady"
	"soletrial/pipeline/trial"
)

// Prepared is a session's recordings with everything that does not depend on the trim
// worked out, so that they can be summarised again as fast as a slider moves.
type Prepared struct {
	recordings []trial.Recording
	tracks     *steady.Tracks
	screening  *quality.Screening
}

// Prepare makes recordings ready under the dataset's method and limits, of which
// only the trim may be another one later.
func Prepare(ds *trial.Dataset, recordings []trial.Recording) *Prepared {
	return &Prepared{recordings, steady.Prepare(ds, recordings), quality.Screen(ds, recordings)}
}

// Session is [Session] for the recordings that were prepared.
func (p *Prepared) Session(ds *trial.Dataset, session *trial.Session) SessionResult {
	r, summaries := p.quick(ds, session)
	r.Ratios = sensor.Session(ds, session, p.recordings, summaries)
	for i, others := range p.otherWindows(ds, session) {
		r.Blocks[i].OtherWindows = others
	}
	return r
}

// Quick is [Prepared.Session] without the ratios, which [Interactive] does not use.
func (p *Prepared) Quick(ds *trial.Dataset, session *trial.Session) SessionResult {
	r, _ := p.quick(ds, session)
	return r
}

func (p *Prepared) quick(ds *trial.Dataset, session *trial.Session) (SessionResult, []steady.Summary) {
	summaries := p.tracks.Session(ds, session)
	r := SessionResult{
		ID: session.ID, Findings: p.screening.Session(ds, session, summaries), Blocks: make([]Block, len(summaries)),
		Speed: p.sourceOf(trial.SpeedMps), Power: p.sourceOf(trial.PowerW),
	}
	for i := range summaries {
		included, reason := inclusion(&session.Blocks[i], r.Findings)
		r.Blocks[i] = Block{Summary: summaries[i], Included: included, Reason: reason}
	}
	return r, summaries
}

// Interactive computes only what the explorer shows while a control is dragged: the
// findings but those about the answer, the answers, and the comparisons of [compare.Quick] where
// they are in sight; no tables and nothing that only they hold.
type Interactive struct {
	hashes map[string]string // SHA-256 of the dataset's files, by path
}

// NewInteractive starts with the hashes of the dataset's files.
func NewInteractive(inputs []plaintext.Input) *Interactive {
	return &Interactive{hashesByPath(inputs)}
}

// Showing says what [Interactive.Result] is to compute: the answers as accurately as asked, quicker
// near others, and the comparisons without assumptions, in the outcomes that decide and in some more.
type Showing struct {
	Accuracy    decide.Accuracy
	Near        *answer.Answers // nil for none
	Comparisons bool
	Outcomes    []trial.Outcome
}

// Result answers over the sessions of one dataset, in dataset order; the same sessions for
// every call but for the method and what it excludes. With [decide.Exact] over sessions of
// [Prepared.Session] the answers are those of [FromSessions] before its robustness analyses.
func (in *Interactive) Result(ds *trial.Dataset, sessions []SessionResult, show Showing) *Result {
	acrossSessions := quality.ExcludingFindings(ds, in.hashes)
	if show.Accuracy != decide.Moving || show.Comparisons { // else nothing more is in sight
		acrossSessions = quality.Dataset(ds, includedSummaries(sessions), in.hashes)
	}
	r := &Result{
		Dataset: ds, Sessions: excludeHeld(sessions, acrossSessions),
		Findings: sortedFindings(ds, sessions, acrossSessions),
	}
	r.Sensor = sensorChecks(r.Sessions)
	if show.Comparisons {
		r.Compare = compare.Quick(ds, observations(ds, r.Sessions), r.Findings, show.Outcomes...)
	}
	inputs := r.answerInputs(show.Accuracy)
	inputs.Near = show.Near
	r.Answers = answer.Decide(inputs)
	return r
}

// Robustness makes the analyses of [answer.Answers.Robustness] for a result of
// [Interactive.Result] whose sessions have the other windows. Step is called after each.
func (r *Result) Robustness(step func(made, of int)) {
	in := r.answerInputs(decide.Exact)
	in.Step = step
	r.Answers.Robustness(in, 1)
}
