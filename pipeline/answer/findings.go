package answer

import (
	"math"

	"soletrial/pipeline/decide"
	"soletrial/pipeline/quality"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Findings returns what the rules about the answer have to say: heart rate that was higher in
// the faster shoe, of the dataset, and blocks that decide, of their session. The latter needs
// the analyses of [Answers.Robustness].
func (a *Answers) Findings(ds *trial.Dataset) (found []trial.Finding) {
	for i := range a.Efforts {
		e := &a.Efforts[i]
		for g := range e.Groups {
			found = append(found, e.heartFindings(&e.Groups[g])...)
			if d := e.Decisive(&e.Groups[g]); d != nil {
				found = append(found, d.finding(ds, e))
			}
		}
	}
	return found
}

// heartFindings reports the pairs whose faster shoe had the higher heart rate.
func (e *Effort) heartFindings(g *Group) (found []trial.Finding) {
	for i := range g.Pairs {
		p := &g.Pairs[i]
		if !p.HeartCheck.Higher {
			continue
		}
		a, b := e.Heart.Shoe(p.Shoe), e.Heart.Shoe(p.Reference)
		chance := 1 - e.Heart.Chance(a, b, decide.Sensor{}, 0)
		higher := -e.Heart.Pair(a, b, decide.Sensor{}).D.Mean
		found = append(found, trial.Finding{Rule: quality.HeartByShoe, Severity: trial.Warn,
			Value: float64(100 * chance), Limit: 97.5, At: trial.Position{File: "dataset.yaml"},
			Message: "heart rate at the same power was " + Size(higher) + " higher in " + p.Shoe +
				", the faster shoe, than in " +
				p.Reference + " (chance " + Chance(chance) + ")"})
	}
	return found
}

// Decisive is a block, or a session where there are too many blocks, without which the answer
// of a group is another one.
type Decisive struct {
	Session, Block string // Block is "" for a session
	Without        decide.Analysis
	// Others counts further ones of which the same is true.
	Others int
}

// Decisive returns what the answer of a group hangs on, the one that changes it most; nil for
// nothing. It needs the analyses of [Answers.Robustness].
func (e *Effort) Decisive(g *Group) *Decisive {
	published := e.publishedAnalysis(g)
	if published == nil {
		return nil
	}
	// The block or session without which the answer moves most, of those without which it changes.
	var most *Decisive
	others, largest := -1, -1.0
	for i := range g.Analyses {
		a := &g.Analyses[i]
		v := a.Variant
		changed := a.Status != published.Status || a.Status == decide.Fastest && a.Leader != published.Leader
		if v.LeftOutSession == "" || !changed {
			continue
		}
		others++
		by := math.Abs(a.Lead.Mean - published.Lead.Mean)
		if a.Leader != published.Leader {
			by = a.Lead.Mean + published.Lead.Mean
		}
		if by > largest {
			largest, most = by, &Decisive{Session: v.LeftOutSession, Block: v.LeftOutBlock, Without: *a}
		}
	}
	if most != nil {
		most.Others = others
	}
	return most
}

// publishedAnalysis is the one with the published choices, with which the others can be
// compared because it is integrated as they are.
func (e *Effort) publishedAnalysis(g *Group) *decide.Analysis {
	published := decide.Variant{Window: decide.PublishedWindow, Drift: e.Settings.Drift, Exponent: decide.MeanExponent}
	for i := range g.Analyses {
		if g.Analyses[i].Variant == published {
			return &g.Analyses[i]
		}
	}
	return nil
}

// Name names the block: "block 3 of 2026-03-07-power".
func (d *Decisive) Name() string {
	if d.Block == "" {
		return "session " + d.Session
	}
	return "block " + d.Block + " of " + d.Session
}

// others says of how many more the same is true, "" for none.
func (d *Decisive) others() string {
	if d.Others == 0 {
		return ""
	}
	what := "more block"
	if d.Block == "" {
		what = "more session"
	}
	return "; the same is true of " + units.Count(d.Others, what)
}

func (d *Decisive) finding(ds *trial.Dataset, e *Effort) trial.Finding {
	f := trial.Finding{Session: d.Session, Block: d.Block, Rule: quality.OneBlockDecides, Severity: trial.Warn,
		Value: units.Missing, Limit: units.Missing,
		Message: "without it the answer at the same " + e.Effort.Name() + " changes: " +
			withoutWords(d.Without, d.Without.Leader) + d.others()}
	for i := range ds.Sessions {
		if s := &ds.Sessions[i]; s.ID == d.Session {
			f.At = s.At
			for j := range s.Blocks {
				if s.Blocks[j].ID == d.Block {
					f.At = s.Blocks[j].At
				}
			}
		}
	}
	return f
}

// withoutWords says what the answer would be.
func withoutWords(a decide.Analysis, leader string) string {
	switch a.Status {
	case decide.Fastest:
		return leader + " would be the best"
	case decide.Same:
		return "the leading shoes would be practically the same"
	case decide.Leading:
		return "no single shoe would be the best"
	}
	return "any of the shoes could be the best"
}
