package compare

import (
	"math"

	"soletrial/pipeline/stats"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// fitted is the model of one linked group of blocks of one runner:
//
//	y = session + shoe + drift x (midpoint time in hours, centred in its session) + (shoe in session) + error
//
// with a random term for a shoe in a session, fitted by REML with the session
// terms eliminated. Where the data cannot tell the random term from the error
// the numbers are those of ordinary least squares, and the model says so.
type fitted struct {
	group group
	spans []span
	shoes []int // by the index
	class []int // place of each shoe of the index among shoes, or -1
	drift bool  // the model takes a straight drift out
	model Model
	days  bool // the interval holds how a difference varies from day to day
	fit   *stats.Mixed
	notes []string

	hours  []float64    // each row's midpoint, centred in its session
	asked  []float64    // the contrast in hand
	places *stats.Mixed // least squares of nothing but the blocks' places, once asked for
	unheld *stats.Mixed // the model of the outcome without the adjustment, once asked for
}

// fitGroup fits the model. The drift is taken out when asked for and when the
// order of the blocks lets it be told from the shoes.
func fitGroup(g group, drift string) (*fitted, error) {
	f := &fitted{group: g, spans: g.spans(), shoes: g.shoes(), class: make([]int, len(g.index.shoes))}
	if g.unheld {
		f.notes = append(f.notes, "not adjusted to equal effort: what was held is not known for any block")
	}
	if g.without > 0 {
		f.notes = append(f.notes, units.Count(g.without, "block")+" of this level left out: what was held is not known, so equal effort cannot be judged")
	}
	for i := range f.class {
		f.class[i] = -1
	}
	for i, shoe := range f.shoes {
		f.class[shoe] = i
	}
	if drift == trial.DriftLinear {
		f.wantDrift()
	}
	err := f.solve()
	if err != nil {
		return nil, err
	}
	if f.drift && f.fit.Aliased[len(f.shoes)] {
		f.drift = false
		f.notes = append(f.notes, "no drift was taken out: the order of the blocks does not let a drift be told from the shoes")
		if err := f.solve(); err != nil {
			return nil, err
		}
	}
	f.choose()
	return f, nil
}

// wantDrift decides whether the model gets a drift term.
func (f *fitted) wantDrift() {
	timed := f.centreHours()
	spread := 0.0
	for _, t := range f.hours {
		spread += math.Abs(t)
	}
	if !timed {
		f.notes = append(f.notes, "no drift was taken out: some blocks have no times")
		return
	}
	f.drift = spread > 0
}

// centreHours sets each row's midpoint in hours minus the mean of its session's
// rows, and reports whether every row has one.
func (f *fitted) centreHours() (timed bool) {
	f.hours, timed = make([]float64, len(f.group.rows)), true
	for _, s := range f.spans {
		sum := 0.0
		for _, r := range f.group.rows[s.from:s.to] {
			sum += r.Midpoint / 3600
		}
		mean := sum / float64(s.to-s.from)
		for i := s.from; i < s.to; i++ {
			f.hours[i] = f.group.rows[i].Midpoint/3600 - mean
			timed = timed && units.Known(f.hours[i])
		}
	}
	return timed
}

func (f *fitted) solve() (err error) {
	f.fit, err = stats.REMLAbsorbed(f.design(func(r *row) float64 { return r.y }, true))
	f.asked = make([]float64, len(f.shoes)+1)
	if err == nil {
		f.asked = f.asked[:len(f.fit.Coef)]
	}
	return err
}

// design lays the group out for the fit of a response. Without cells every block
// is a group of its own, which makes the fit ordinary least squares.
func (f *fitted) design(response func(*row) float64, cells bool) stats.Absorbed {
	n := len(f.group.rows)
	whole := make([]int, 3*n)
	d := stats.Absorbed{
		Y: make([]float64, n), Level: whole[:n], Class: whole[n : 2*n], Group: whole[2*n:],
		Classes: len(f.shoes), Covariates: stats.NewMatrix(n, 0),
	}
	if f.drift {
		d.Covariates = stats.Matrix{Rows: n, Cols: 1, Data: f.hours}
	}
	for i := range f.group.rows {
		r := &f.group.rows[i]
		d.Y[i], d.Level[i], d.Class[i], d.Group[i] = response(r), r.session, f.class[r.shoe], i
		if cells {
			d.Group[i] = r.session*len(f.class) + r.shoe
		}
	}
	return d
}

// choose names the model and says in words what its interval holds.
func (f *fitted) choose() {
	note := ""
	switch status := f.fit.Status; {
	case status == stats.NoResidualDF:
		f.model = DifferenceOnly
		note = "there is nothing left over to judge the spread from: repeat a shoe within a session, or run another session"
	case len(f.spans) == 1:
		f.model = OneSession
		note = "one session: the interval does not hold how the difference varies from day to day"
	case status == stats.NoWithinDF:
		f.model, f.days = LeastSquares, true
		note = "least squares with a term for every session: shoes were not repeated within sessions, or only as often as the drift takes up, so what is left over holds the day-to-day variation too"
	case status == stats.NoBetweenDF:
		f.model = LeastSquares
		note = "least squares with a term for every session: no two shoes met in two sessions, so the interval does not hold how the difference varies from day to day"
	default:
		f.model, f.days = Mixed, true
		note = "mixed model: a term for every session, and a random one for each shoe in each session"
		if status == stats.BoundaryZero {
			note += ", which came out at zero"
		}
	}
	f.notes = append(f.notes, note)
	if f.fit.Status == stats.ExactFit {
		f.notes = append(f.notes, "blocks of the same shoe did not differ at all: the interval has no width, because this was held or its numbers are too coarse to show any")
	}
}

// contrast returns the vector whose product with the coefficients is shoe minus
// reference, good until the next call; nil, which is never estimable, where the
// group lacks a shoe.
func (f *fitted) contrast(p pair) []float64 {
	shoe, reference := f.class[p.shoe], f.class[p.reference]
	if shoe < 0 || reference < 0 {
		return nil
	}
	clear(f.asked)
	f.asked[shoe], f.asked[reference] = 1, -1
	return f.asked
}

// estimate reads the difference between two shoes off the fit.
func (f *fitted) estimate(p pair) stats.Estimate {
	return f.fit.Contrast(f.contrast(p), stats.Satterthwaite)
}

// driftEstimate reads the drift per hour off the fit.
func (f *fitted) driftEstimate() stats.Estimate {
	clear(f.asked)
	f.asked[len(f.shoes)] = 1
	return f.fit.Contrast(f.asked, stats.Satterthwaite)
}

// pull returns what the difference between two shoes would come out as, by least
// squares, if the outcome were nothing but the block's place in its session: how
// far a drift per block carries over into the estimate. It is missing once the
// model takes the drift out itself.
func (f *fitted) pull(p pair) float64 {
	if f.drift {
		return units.Missing
	}
	if f.places == nil {
		f.places = difference(f.design(func(r *row) float64 { return float64(r.Order) }, false))
	}
	return f.places.Contrast(f.contrast(p), stats.Satterthwaite).Value
}

// unadjusted returns the difference in the outcome as measured, by the same
// model.
func (f *fitted) unadjusted(p pair) float64 {
	if f.unheld == nil {
		f.unheld = difference(f.design(func(r *row) float64 { return r.y - r.adjusted }, true))
	}
	return f.unheld.Contrast(f.contrast(p), stats.Satterthwaite).Value
}

// difference fits a model whose differences alone are wanted; one that cannot be
// fitted estimates nothing.
func difference(d stats.Absorbed) *stats.Mixed {
	if fit, err := stats.REMLAbsorbed(d); err == nil {
		return fit
	}
	return &stats.Mixed{}
}
