package derive

import (
	"cmp"
	"sort"
	"strings"

	"soletrial/pipeline/compare"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/quality"
	"soletrial/pipeline/sensor"
	"soletrial/pipeline/steady"
	"soletrial/pipeline/trial"
)

// Session summarises and checks one session. The recordings are not kept.
func Session(ds *trial.Dataset, session *trial.Session, recordings []trial.Recording) SessionResult {
	summaries := steady.Session(ds, session, recordings)
	r := SessionResult{
		ID: session.ID, Findings: quality.Session(ds, session, recordings, summaries), Ratios: sensor.Session(ds, session, recordings, summaries),
	}
	for i, s := range summaries {
		b := Block{Summary: s, Included: true}
		b.decide(&session.Blocks[i], r.Findings)
		r.Blocks = append(r.Blocks, b)
	}
	return r
}

// decide says whether a block takes part: a person's no comes first, then the
// findings that hold it, then the overrides that let it pass.
func (b *Block) decide(block *trial.Block, findings []trial.Finding) {
	if block.Excluded {
		b.Included, b.Reason = false, block.Reason
		return
	}
	var held, let []string
	for _, f := range findings {
		if f.Block != "" && f.Block != block.ID || f.Severity != trial.Stop {
			continue
		}
		if f.Holds() {
			held = append(held, f.Rule)
		} else {
			let = append(let, f.Rule+" overridden: "+f.Override)
		}
	}
	if len(held) > 0 {
		b.Included, b.Reason = false, "held by "+strings.Join(held, ", ")
		return
	}
	b.Reason = strings.Join(let, "; ")
}

// Assemble compares the shoes over all sessions and writes the tables. Sessions
// are in dataset order; inputs are the hashes for inputs.sha256.
func Assemble(ds *trial.Dataset, sessions []SessionResult, inputs []plaintext.Input) *Result {
	return assemble(ds, sessions, inputs, Means{})
}

func assemble(ds *trial.Dataset, sessions []SessionResult, inputs []plaintext.Input, by Means) *Result {
	r := gather(ds, sessions, inputs)
	study := compare.NewStudy(ds, observations(ds, r.Sessions), r.Findings, by.Workers)
	r.Compare = study.Result
	r.tryTheSensor()
	r.Forecasts = forecasts(ds, r)
	if by.Want == Answers {
		return r
	}
	within, kept := sessionsTable(study, by)
	r.Compare.Sessions = kept
	r.Tables = []Table{
		{"blocks.csv", blocksTable(r)},
		{"comparisons.csv", comparisonsTable(r)},
		{"findings.csv", findingsTable(r)},
		{"forecast.csv", forecastTable(r)},
		{"inputs.sha256", inputsTable(inputs)},
		{"sensor.csv", sensorTable(r)},
		{"sessions.csv", within},
	}
	return r
}

// Quick is [Assemble] for somebody who waits for the next picture: the findings,
// and the comparisons that [compare.Quick] makes; no tables and nothing that only
// they hold.
func Quick(ds *trial.Dataset, sessions []SessionResult, inputs []plaintext.Input, shown ...trial.Outcome) *Result {
	r := gather(ds, sessions, inputs)
	r.Compare = compare.Quick(ds, observations(ds, r.Sessions), r.Findings, shown...)
	return r
}

// gather looks across the sessions and puts the findings of all together.
func gather(ds *trial.Dataset, sessions []SessionResult, inputs []plaintext.Input) *Result {
	r := &Result{Dataset: ds}
	wide := quality.Dataset(ds, included(sessions), hashes(inputs))
	r.Sessions = holdOut(sessions, wide)
	for _, s := range r.Sessions {
		r.Findings = append(r.Findings, s.Findings...)
	}
	r.Findings = append(r.Findings, wide...)
	r.sortFindings()
	return r
}

// sortFindings puts findings about the dataset first, then by session in dataset
// order, within it those about the whole session first, then by block in order;
// several about one block keep the order of the rule table.
func (r *Result) sortFindings() {
	place := map[[2]string]int{}
	for i, s := range r.Dataset.Sessions {
		place[[2]string{s.ID, ""}] = i + 1
		for j, b := range s.Blocks {
			place[[2]string{s.ID, b.ID}] = j + 1
		}
	}
	sort.SliceStable(r.Findings, func(i, j int) bool {
		a, b := &r.Findings[i], &r.Findings[j]
		return cmp.Or(
			cmp.Compare(place[[2]string{a.Session, ""}], place[[2]string{b.Session, ""}]),
			cmp.Compare(blockPlace(place, a), blockPlace(place, b))) < 0
	})
}

func blockPlace(place map[[2]string]int, f *trial.Finding) int {
	if f.Block == "" {
		return 0
	}
	return place[[2]string{f.Session, f.Block}]
}

// observations are the included blocks as the comparison sees them.
func observations(ds *trial.Dataset, sessions []SessionResult) []compare.Observation {
	var all []compare.Observation
	for i, s := range sessions {
		session := &ds.Sessions[i]
		for _, b := range s.Blocks {
			if !b.Included {
				continue
			}
			all = append(all, compare.Observation{
				Session: s.ID, Date: session.Facts.Date, Runner: session.Facts.Runner, Block: b.Block, Shoe: b.Shoe,
				Effort: session.Effort(), Target: b.Target, Held: b.Held, Midpoint: b.Midpoint, Order: b.Order, Outcomes: b.Outcomes,
			})
		}
	}
	return all
}
