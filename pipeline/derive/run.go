package derive

import (
	"cmp"
	"slices"
	"sort"
	"strings"

	"soletrial/pipeline/compare"
	"soletrial/pipeline/crew"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/quality"
	"soletrial/pipeline/trial"
)

// Session summarises and checks one session. The recordings are not kept.
func Session(ds *trial.Dataset, session *trial.Session, recordings []trial.Recording) SessionResult {
	return Prepare(ds, recordings).Session(ds, session)
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
			held = append(held, string(f.Rule))
		} else {
			let = append(let, string(f.Rule)+" overridden: "+f.Override)
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
	study := compare.NewStudy(ds, observations(ds, r.Sessions), r.Findings, by.Workers, by.Fits)
	r.Compare = study.Result
	if by.Want == Answers {
		r.tryTheSensor()
		r.Forecasts = forecasts(ds, r)
		return r
	}
	r.tabulate(inputs, by.Workers)
	within, kept := sessionsTable(study, by)
	r.Tables, r.Compare.Sessions = append(r.Tables, within), kept
	return r
}

// tabulate finds out about the sensor and the races and writes all tables but
// sessions.csv. Each job needs nothing of the others.
func (r *Result) tabulate(inputs []plaintext.Input, workers int) {
	var blocks, comparisons, findings, forecast, sums, sensor []byte
	jobs := []func(){
		func() { blocks = BlocksTable(r.Sessions) },
		func() { r.tryTheSensor(); comparisons, sensor = comparisonsTable(r), sensorTable(r) },
		func() { r.Forecasts = forecasts(r.Dataset, r); forecast = forecastTable(r) },
		func() { findings, sums = findingsTable(r), inputsTable(inputs) },
	}
	crew.Do(workers, len(jobs), func(i int) { jobs[i]() })
	r.Tables = []Table{
		{Name: "blocks.csv", Text: blocks},
		{Name: "comparisons.csv", Text: comparisons},
		{Name: "findings.csv", Text: findings},
		{Name: "forecast.csv", Text: forecast},
		{Name: "inputs.sha256", Text: sums},
		{Name: "sensor.csv", Text: sensor},
	}
}

// gather looks across the sessions and puts the findings of all together.
func gather(ds *trial.Dataset, sessions []SessionResult, inputs []plaintext.Input) *Result {
	return joined(ds, sessions, quality.Dataset(ds, included(sessions), hashes(inputs)))
}

// joined puts the findings within and across sessions together: first those about
// the dataset, then by session in dataset order, within it those about the whole
// session first, then by block in order; several about one block keep the order of
// the rule table.
func joined(ds *trial.Dataset, sessions []SessionResult, wide []trial.Finding) *Result {
	r := &Result{Dataset: ds, Sessions: holdOut(sessions, wide)}
	var found []placed
	for i := range sessions {
		for j := range sessions[i].Findings {
			found = append(found, placedIn(ds, i, &sessions[i].Findings[j]))
		}
	}
	for i := range wide {
		about := len(ds.Sessions) - 1
		for about >= 0 && ds.Sessions[about].ID != wide[i].Session {
			about--
		}
		found = append(found, placedIn(ds, about, &wide[i]))
	}
	sort.SliceStable(found, func(i, j int) bool {
		a, b := &found[i], &found[j]
		return cmp.Or(cmp.Compare(a.session, b.session), cmp.Compare(a.block, b.block)) < 0
	})
	r.Findings = slices.Grow(r.Findings, len(found))
	for _, f := range found {
		r.Findings = append(r.Findings, *f.Finding)
	}
	return r
}

// placed is a finding with the places of its session and its block, -1 without one.
type placed struct {
	*trial.Finding
	session, block int
}

func placedIn(ds *trial.Dataset, session int, f *trial.Finding) placed {
	p := placed{f, session, -1}
	if session >= 0 && f.Block != "" {
		blocks := ds.Sessions[session].Blocks
		for p.block = len(blocks) - 1; p.block >= 0 && blocks[p.block].ID != f.Block; {
			p.block--
		}
	}
	return p
}

// observations are the included blocks as the comparison sees them.
func observations(ds *trial.Dataset, sessions []SessionResult) []compare.Observation {
	all := make([]compare.Observation, 0, countBlocks(sessions))
	for i := range sessions {
		s, session := &sessions[i], &ds.Sessions[i]
		for j := range s.Blocks {
			b := &s.Blocks[j]
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
