package app

import (
	"slices"

	"soletrial/pipeline/compare"
	"soletrial/pipeline/decide"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// The reasons written beside a block that the reader excluded or included.
const (
	ReasonExcluded = "excluded by the reader"
	ReasonIncluded = "included by the reader"
)

// cachedSession is a session's result under a choice, with what it was made from,
// so that a session is run again only when something that bears on it changed.
type cachedSession struct {
	done   bool
	trim   trial.Trim
	blocks []BlockChoice
	result derive.SessionResult
}

// analysisKey is what the results were made from: everything in a choice that
// they depend on.
type analysisKey struct {
	method methodKey
	blocks []BlockChoice
}

// methodKey is the part of an [analysisKey] that == compares.
type methodKey struct {
	trim               trial.Trim
	drift              string
	exponent           optional
	reference, outcome string
	plain              bool
}

func (k analysisKey) equal(other analysisKey) bool {
	return k.method == other.method && slices.Equal(k.blocks, other.blocks)
}

// optional is a number that may be missing. Unlike NaN, a missing one equals a
// missing one.
type optional struct {
	known bool
	value float64
}

func optionalOf(x float64) optional {
	if !units.Known(x) {
		return optional{}
	}
	return optional{true, x}
}

func (m *Model) analysisKey() analysisKey {
	method := methodKey{m.Trim(), m.Drift(), optionalOf(m.Exponent()), m.Reference(), m.choice.Outcome,
		m.choice.Comparisons}
	return analysisKey{method, m.choice.Blocks}
}

// Recompute brings the results up to date with the choice, as far as they are
// shown, within a frame. Sessions that the choice does not affect keep their
// published results.
func (m *Model) Recompute() {
	key := m.analysisKey()
	same := m.yours != nil && m.analysed.equal(key)
	if m.own != nil && (m.own.stale || !same) {
		m.compareOwn(decide.Moving)
	}
	if same {
		return // looking at something else costs no analysis
	}
	m.analysed, m.exact, m.besideCached = key, true, nil
	if !m.Bundle.Complete() {
		if m.yours, m.rebased = m.published, m.published; m.Changed() && m.ReadSums() {
			m.yours = m.quickResult()
		}
		return
	}
	m.rebase()
	if !m.Changed() {
		m.yours = m.published
		return
	}
	m.exact = false
	ds := m.chosenDataset()
	results := make([]derive.SessionResult, len(ds.Sessions))
	for i := range results {
		results[i] = m.session(ds, i)
	}
	m.yours = m.interactive.Result(ds, results, derive.Showing{Accuracy: decide.Moving, Near: m.published.Answers,
		Comparisons: m.choice.Comparisons, Outcomes: m.shownOutcomes()})
}

// Refine makes the result under the choice as exact as a derive would, and that of the reader's
// own recording, which takes longer than a frame; it reports whether there was something to do.
func (m *Model) Refine() bool {
	own := m.own != nil && m.own.Result != nil && !m.own.exact
	if own {
		m.compareOwn(decide.Exact)
	}
	if m.exact {
		return own
	}
	m.yours, m.exact = m.exactResult(), true
	return true
}

// exactResult is the result under the choice as a derive has it, before its robustness analyses.
func (m *Model) exactResult() *derive.Result {
	ds := m.chosenDataset()
	return m.interactive.Result(ds, m.sessionsInFull(ds), derive.Showing{Accuracy: decide.Exact,
		Comparisons: m.choice.Comparisons, Outcomes: m.shownOutcomes()})
}

// sessionsInFull derives every session under the choice, with all that a table holds.
func (m *Model) sessionsInFull(ds *trial.Dataset) []derive.SessionResult {
	results := make([]derive.SessionResult, len(ds.Sessions))
	for i := range results {
		s := &m.Dataset.Sessions[i]
		choices := m.blockChoices(s.ID)
		if ds.Facts.Method.Trim == m.Dataset.Facts.Method.Trim && len(choices) == 0 {
			results[i] = m.publishedSessions[i]
			continue
		}
		results[i] = deriveChanged(s, choices, func(s *trial.Session) derive.SessionResult {
			return m.prepared[s.ID].Session(ds, s)
		})
	}
	return results
}

// Changed reports whether the reader asks for another analysis than the published one, or for
// another outcome.
func (m *Model) Changed() bool { return m.choice.Changed() || m.comparesIn() != "" }

// comparesIn returns the outcome that the reader wants answered instead of the ones that
// decide; "" for none.
func (m *Model) comparesIn() string {
	o, known := trial.OutcomeNamed(m.choice.Outcome)
	if !known || m.choice.Outcome == m.Dataset.Facts.Method.Primary {
		return ""
	}
	for _, effort := range m.Efforts() {
		_, able := m.Dataset.Facts.Method.EqualEffort(effort, o)
		if able && compare.Primary(m.Dataset.Facts.Method, effort) != o {
			return m.choice.Outcome
		}
	}
	return ""
}

// comparisonKey is the shoe that others are compared with, and the outcome in which they
// are when it is not the one that decides.
type comparisonKey struct{ reference, outcome string }

// rebase brings the published results up to date with the reference shoe alone, so
// that they stand beside the reader's in the same direction.
func (m *Model) rebase() {
	reference := m.choice.Reference
	if reference == "" || !m.choice.Comparisons {
		m.rebased, m.rebasedOn = m.published, comparisonKey{}
		return
	}
	if to := (comparisonKey{reference, m.choice.Outcome}); m.rebasedOn != to {
		rebased := *m.Dataset
		rebased.Facts.Method.Reference = reference
		m.rebased, m.rebasedOn = derive.NewInteractive(m.inputs).Result(&rebased, m.publishedSessions,
			derive.Showing{Accuracy: decide.Coarse, Comparisons: true, Outcomes: m.shownOutcomes()}), to
	}
}

// Tables derives everything under the reader's choice, which takes longer than a
// frame.
func (m *Model) Tables() []derive.Table {
	if !m.Changed() || !m.Bundle.Complete() {
		return m.published.Tables
	}
	ds := m.chosenDataset()
	return derive.FromSessions(ds, m.sessionsInFull(ds), m.inputs, 1).Tables
}

// shownOutcomes lists the outcome shown when it is not the one that decides.
func (m *Model) shownOutcomes() []trial.Outcome {
	if o, chosen := trial.OutcomeNamed(m.choice.Outcome); chosen {
		return []trial.Outcome{o}
	}
	return nil
}

// chosenDataset returns the dataset with the method as the reader chose it.
func (m *Model) chosenDataset() *trial.Dataset {
	ds := *m.Dataset
	ds.Facts.Method.Trim = m.Trim()
	ds.Facts.Method.Reference = m.Reference()
	ds.Facts.Method.Drift, ds.Facts.Method.PowerExponent = m.Drift(), m.Exponent()
	if outcome := m.comparesIn(); outcome != "" {
		ds.Facts.Method.Primary = outcome
	}
	return &ds
}

// session returns the result of one session under the choice, as far as it is
// shown.
func (m *Model) session(ds *trial.Dataset, i int) derive.SessionResult {
	published := &m.Dataset.Sessions[i]
	choices := m.blockChoices(published.ID)
	if ds.Facts.Method.Trim == m.Dataset.Facts.Method.Trim && len(choices) == 0 {
		return m.publishedSessions[i]
	}
	run := &m.changedSessions[i]
	if !run.done || run.trim != ds.Facts.Method.Trim || !slices.Equal(run.blocks, choices) {
		m.SummarisedBlocks += len(published.Blocks)
		result := deriveChanged(published, choices, func(s *trial.Session) derive.SessionResult {
			return m.prepared[s.ID].Quick(ds, s)
		})
		result.Ratios = m.publishedSessions[i].Ratios // those of the other window come when the hand rests
		*run = cachedSession{true, ds.Facts.Method.Trim, choices, result}
	}
	return run.result
}

func (m *Model) blockChoices(session string) []BlockChoice {
	var choices []BlockChoice
	for _, f := range m.choice.Blocks {
		if f.Session == session {
			choices = append(choices, f)
		}
	}
	return choices
}

// deriveChanged derives one session with blocks included and excluded. One that is
// included may be excluded by findings: these are then overridden, as a person would do it in
// writing, and the session is run again.
func deriveChanged(published *trial.Session, choices []BlockChoice,
	run func(*trial.Session) derive.SessionResult) derive.SessionResult {
	session := *published
	session.Blocks = slices.Clone(published.Blocks)

	// Exclude and include as chosen.
	wanted := map[string]bool{}
	for i := range session.Blocks {
		b := &session.Blocks[i]
		for _, f := range choices {
			if f.Block == b.ID && f.Included {
				wanted[b.ID], b.Excluded, b.Reason = true, false, ""
			} else if f.Block == b.ID {
				b.Excluded, b.Reason = true, withReason(ReasonExcluded, f.Reason)
			}
		}
	}
	result := run(&session)

	// Findings may still hold an included block: override them, and derive again. Other blocks
	// stay as the first result had them.
	if overrides := overridesFor(result, wanted, choices); len(overrides) > 0 {
		session.Facts.Overrides = slices.Concat(session.Facts.Overrides, overrides)
		for i, b := range result.Blocks {
			if !b.Included && !wanted[b.Block] {
				session.Blocks[i].Excluded, session.Blocks[i].Reason = true, b.Reason
			}
		}
		result = run(&session)
	}
	return result
}

// overridesFor lists overrides for the findings that keep wanted blocks out.
func overridesFor(r derive.SessionResult, wanted map[string]bool, choices []BlockChoice) []trial.Override {
	var overrides []trial.Override
	for _, f := range r.Findings {
		if f.Holds() && (wanted[f.Block] || f.Block == "" && len(wanted) > 0) {
			reason := ReasonIncluded
			if choice := (Choice{Blocks: choices}).BlockChoice(r.ID, f.Block); choice != nil {
				reason = withReason(ReasonIncluded, choice.Reason)
			}
			overrides = append(overrides, trial.Override{Rule: f.Rule, Block: f.Block, Reason: reason})
		}
	}
	return overrides
}

// withReason adds the reader's own reason to what they did.
func withReason(did, reason string) string {
	if reason == "" {
		return did
	}
	return did + ": " + reason
}
