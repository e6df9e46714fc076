package compare

import (
	"math"

	"soletrial/pipeline/stats"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// model is the fit of one linked group of blocks of one runner:
//
//	y = session + shoe + drift x (midpoint time in hours, centred in its session) + (shoe in session) + error
//
// with a random term for a shoe in a session, fitted by REML with the session
// terms eliminated. Where the data cannot tell the random term from the error
// the numbers are those of ordinary least squares, and the model says so.
type model struct {
	group       group
	wantedDrift string // by the method
	spans       []span
	shoes       []int // by the index
	class       []int // place of each shoe of the index among shoes, or -1
	drift       bool  // the model takes a straight drift out
	kind        Model
	acrossDays  bool // the interval holds how a difference varies from day to day
	fit         *stats.Mixed
	notes       []string

	hours         []float64       // each row's midpoint, centred in its session
	contrast      []float64       // the contrast in hand
	placesFit     *stats.Mixed    // least squares of nothing but the blocks' places, once asked for
	unadjustedFit *stats.Mixed    // the model of the outcome without the adjustment, once asked for
	driftEstimate *stats.Estimate // once asked for
}

// fitModel fits the model. The drift is taken out when asked for and when the
// order of the blocks lets it be told from the shoes.
func fitModel(g group, drift string) (*model, error) {
	m := &model{group: g, wantedDrift: drift, spans: g.spans(), shoes: g.shoes(),
		class: make([]int, len(g.index.shoes))}
	// What is missing of the effort.
	if g.unheld {
		m.notes = append(m.notes, "not corrected to equal effort: no block has a measured effort")
	}
	if g.without > 0 {
		m.notes = append(m.notes, units.Count(g.without, "block")+
			" at this effort excluded: without a measured effort they cannot be corrected to equal effort")
	}
	// Number the shoes that are there.
	for i := range m.class {
		m.class[i] = -1
	}
	for i, shoe := range m.shoes {
		m.class[shoe] = i
	}
	// Fit, and again without a drift that the order does not let be told from the shoes.
	if drift == trial.DriftLinear {
		m.wantDrift()
	}
	err := m.solve()
	if err != nil {
		return nil, err
	}
	if m.drift && m.fit.Aliased[len(m.shoes)] {
		m.drift = false
		m.notes = append(m.notes,
			"no drift was removed: in this order of blocks a drift looks like a shoe effect")
		if err := m.solve(); err != nil {
			return nil, err
		}
	}
	m.choose()
	return m, nil
}

// wantDrift decides whether the model gets a drift term.
func (m *model) wantDrift() {
	timed := m.centreHours()
	spread := 0.0
	for _, t := range m.hours {
		spread += math.Abs(t)
	}
	if !timed {
		m.notes = append(m.notes, "no drift was removed: some blocks have no times")
		return
	}
	m.drift = spread > 0
}

// centreHours sets each row's midpoint in hours minus the mean of its session's
// rows, and reports whether every row has one.
func (m *model) centreHours() (timed bool) {
	m.hours, timed = make([]float64, len(m.group.rows)), true
	for _, s := range m.spans {
		sum := 0.0
		for _, r := range m.group.rows[s.from:s.to] {
			sum += r.Midpoint / 3600
		}
		mean := sum / float64(s.to-s.from)
		for i := s.from; i < s.to; i++ {
			m.hours[i] = m.group.rows[i].Midpoint/3600 - mean
			timed = timed && units.Known(m.hours[i])
		}
	}
	return timed
}

func (m *model) solve() (err error) {
	m.fit, err = stats.REMLAbsorbed(m.design(func(r *row) float64 { return r.y }, true))
	m.contrast = make([]float64, len(m.shoes)+1)
	if err == nil {
		m.contrast = m.contrast[:len(m.fit.Coef)]
	}
	return err
}

// design lays the group out for the fit of a response. Without cells every block
// is a group of its own, which makes the fit ordinary least squares.
func (m *model) design(response func(*row) float64, cells bool) stats.Absorbed {
	n := len(m.group.rows)
	whole := make([]int, 3*n)
	d := stats.Absorbed{
		Y: make([]float64, n), Level: whole[:n], Class: whole[n : 2*n], Group: whole[2*n:],
		Classes: len(m.shoes), Covariates: stats.NewMatrix(n, 0),
	}
	if m.drift {
		d.Covariates = stats.Matrix{Rows: n, Cols: 1, Data: m.hours}
	}
	for i := range m.group.rows {
		r := &m.group.rows[i]
		d.Y[i], d.Level[i], d.Class[i], d.Group[i] = response(r), r.session, m.class[r.shoe], i
		if cells {
			d.Group[i] = r.session*len(m.class) + r.shoe
		}
	}
	return d
}

// choose names the model and says in words what its interval holds.
func (m *model) choose() {
	// From the least that the data can carry to the most.
	note := ""
	switch status := m.fit.Status; {
	case status == stats.NoResidualDF:
		m.kind = DifferenceOnly
		note = "no interval, because nothing was repeated: repeat a shoe within a session, or run another session"
	case len(m.spans) == 1:
		m.kind = OneSession
		note = "one session: the interval does not include how the difference varies from day to day"
	case status == stats.NoWithinDF:
		m.kind, m.acrossDays = LeastSquares, true
		note = "least squares with a term for every session: shoes were not repeated within sessions, or no more " +
			"often than the drift needs, so the residuals include the day-to-day variation"
	case status == stats.NoBetweenDF:
		m.kind = LeastSquares
		note = "least squares with a term for every session: no two shoes were run together in two sessions, so " +
			"the interval does not include how the difference varies from day to day"
	default:
		m.kind, m.acrossDays = Mixed, true
		note = "mixed model: a term for every session, and a random term for each shoe in each session"
		if status == stats.BoundaryZero {
			note += ", estimated as zero"
		}
	}
	// A spread of zero is worth a note in any of them.
	m.notes = append(m.notes, note)
	if m.fit.Status == stats.ExactFit {
		m.notes = append(m.notes, "blocks of the same shoe did not differ: the interval has no width, because this "+
			"outcome was the effort held or its numbers are too coarse")
	}
}

// contrastOf returns the vector whose product with the coefficients is shoe minus
// reference, good until the next call; nil, which is never estimable, where the
// group lacks a shoe.
func (m *model) contrastOf(p pair) []float64 {
	shoe, reference := m.class[p.shoe], m.class[p.reference]
	if shoe < 0 || reference < 0 {
		return nil
	}
	clear(m.contrast)
	m.contrast[shoe], m.contrast[reference] = 1, -1
	return m.contrast
}

// estimate reads the difference between two shoes off the fit.
func (m *model) estimate(p pair) stats.Estimate {
	return m.fit.Contrast(m.contrastOf(p), stats.Satterthwaite)
}

// driftPerHour reads the drift per hour off the fit, the same for every pair.
func (m *model) driftPerHour() stats.Estimate {
	if m.driftEstimate == nil {
		clear(m.contrast)
		m.contrast[len(m.shoes)] = 1
		estimate := m.fit.Contrast(m.contrast, stats.Satterthwaite)
		m.driftEstimate = &estimate
	}
	return *m.driftEstimate
}

// driftLeverage returns what the difference between two shoes would come out as, by least
// squares, if the outcome were nothing but the block's place in its session: how
// far a drift per block carries over into the estimate. It is missing once the
// model takes the drift out itself.
func (m *model) driftLeverage(p pair) float64 {
	if m.drift {
		return units.Missing
	}
	if m.placesFit == nil {
		m.placesFit = fitDifferences(m.design(func(r *row) float64 { return float64(r.Order) }, false))
	}
	return m.placesFit.Value(m.contrastOf(p))
}

// unadjusted returns the difference in the outcome as measured, by the same
// model.
func (m *model) unadjusted(p pair) float64 {
	if m.unadjustedFit == nil {
		m.unadjustedFit = fitDifferences(m.design(func(r *row) float64 { return r.y - r.adjusted }, true))
	}
	return m.unadjustedFit.Value(m.contrastOf(p))
}

// fitDifferences fits a model whose differences alone are wanted; one that cannot be
// fitted estimates nothing.
func fitDifferences(d stats.Absorbed) *stats.Mixed {
	if fit, err := stats.REMLAbsorbed(d); err == nil {
		return fit
	}
	return &stats.Mixed{}
}
