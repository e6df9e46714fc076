package compare

import (
	"encoding/binary"

	"soletrial/pipeline/stats"
	"soletrial/pipeline/units"
)

// Fit is what the model of one linked group of blocks of one runner says about
// some pairs of its shoes. It depends on nothing but what [Memory] is asked with.
type Fit struct {
	Failed          bool // there were infinities, which no reader lets in; nothing else is set
	Model           Model
	Days            bool // the interval holds how a difference varies from day to day
	Alike           bool // blocks of a shoe did not differ at all
	Drifts          bool // a straight drift was taken out
	Drift           stats.Estimate
	Sigma2, SigmaB2 float64
	BetweenDF       int
	Notes           []string
	Pairs           []FitPair // as asked for
}

// FitPair is what a model says about two shoes, on the analysis scale.
type FitPair struct {
	stats.Estimate
	Pull       float64 // see [fitted.pull]; missing unless explained
	Unadjusted float64 // without the adjustment to equal effort; missing where there is none, or unexplained
	Without    Without
}

// Memory stands in for calling fresh, for whoever knows from before what came of
// the same question. It is called from several goroutines.
type Memory func(question []byte, fresh func() Fit) Fit

// fit fits a part of a past, or remembers what came of it.
func (run *runner) fit(part group, sum string, asked []pair, depth depth) *Fit {
	fresh := func() Fit { return fitPairs(part, asked, run.method.Drift, depth) }
	fit := Fit{}
	if sum == "" {
		fit = fresh()
	} else {
		fit = run.memory(part.question(sum, asked, run.method.Drift, depth), fresh)
	}
	return &fit
}

// fitPairs fits a part and reads off what is wanted of it.
func fitPairs(part group, asked []pair, drift string, depth depth) Fit {
	f, err := fitGroup(part, drift)
	if err != nil {
		return Fit{Failed: true}
	}
	fit := Fit{
		Model: f.model, Days: f.days, Alike: f.fit.Status == stats.ExactFit, Drifts: f.drift, Sigma2: f.fit.Sigma2, SigmaB2: f.fit.SigmaB2,
		BetweenDF: f.fit.BetweenDF, Notes: f.notes, Pairs: make([]FitPair, len(asked)),
	}
	m := units.Missing
	for k, p := range asked {
		pair := &fit.Pairs[k]
		*pair = FitPair{Estimate: f.estimate(p), Pull: m, Unadjusted: m, Without: Without{Low: m, High: m}}
		if depth > bare {
			pair.Pull = f.pull(p)
		}
		if depth > bare && part.held {
			pair.Unadjusted = f.unadjusted(p)
		}
	}
	if depth > bare && f.drift {
		fit.Drift = f.driftEstimate()
	}
	if depth == deciding {
		f.sway(&fit, asked, drift)
	}
	return fit
}

// question is all that [fitPairs] depends on. The part is told from others of the
// past that the sum stands for by its pairs, which it has for itself.
func (g group) question(sum string, asked []pair, drift string, depth depth) []byte {
	q := append([]byte(sum), drift...)
	q = append(q, 0, byte(depth), byte(g.outcome), flag(g.held), flag(g.unheld))
	q = binary.AppendUvarint(q, uint64(g.without))
	for _, p := range asked {
		q = binary.AppendUvarint(binary.AppendUvarint(q, uint64(p.shoe)), uint64(p.reference))
	}
	return q
}

func flag(yes bool) byte {
	if yes {
		return 1
	}
	return 0
}
