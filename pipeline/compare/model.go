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
	shoes []string
	drift bool // the model takes a straight drift out
	model Model
	days  bool // the interval holds how a difference varies from day to day
	fit   *stats.Mixed
	notes []string
}

// fitGroup fits the model. The drift is taken out when asked for and when the
// order of the blocks lets it be told from the shoes.
func fitGroup(g group, drift string) (*fitted, error) {
	f := &fitted{group: g, shoes: g.shoes()}
	hours, timed := centredHours(g)
	if drift == trial.DriftLinear {
		f.wantDrift(hours, timed)
	}
	if err := f.solve(hours); err != nil {
		return nil, err
	}
	if f.drift && f.fit.Aliased[len(f.shoes)] {
		f.drift = false
		f.notes = append(f.notes, "no drift was taken out: the order of the blocks does not let a drift be told from the shoes")
		if err := f.solve(nil); err != nil {
			return nil, err
		}
	}
	f.choose(len(g.sessions()))
	return f, nil
}

// wantDrift decides whether the model gets a drift term.
func (f *fitted) wantDrift(hours []float64, timed bool) {
	spread := 0.0
	for _, t := range hours {
		spread += math.Abs(t)
	}
	if !timed {
		f.notes = append(f.notes, "no drift was taken out: some blocks have no times")
		return
	}
	f.drift = spread > 0
}

func (f *fitted) solve(hours []float64) (err error) {
	y := make([]float64, len(f.group.rows))
	for i, r := range f.group.rows {
		y[i] = r.y
	}
	f.fit, err = stats.REMLAbsorbed(f.design(y, hours, true))
	return err
}

// design lays the group out for the fit. Without cells every block is a group of
// its own, which makes the fit ordinary least squares.
func (f *fitted) design(y, hours []float64, cells bool) stats.Absorbed {
	session, shoe := positions(f.group.sessions()), positions(f.shoes)
	d := stats.Absorbed{Y: y, Classes: len(f.shoes), Covariates: stats.NewMatrix(len(y), 0)}
	if f.drift {
		d.Covariates = stats.Matrix{Rows: len(y), Cols: 1, Data: hours}
	}
	for i, r := range f.group.rows {
		group := i
		if cells {
			group = session[r.Session]*len(f.shoes) + shoe[r.Shoe]
		}
		d.Level, d.Class, d.Group = append(d.Level, session[r.Session]), append(d.Class, shoe[r.Shoe]), append(d.Group, group)
	}
	return d
}

// choose names the model and says in words what its interval holds.
func (f *fitted) choose(sessions int) {
	note := ""
	switch status := f.fit.Status; {
	case status == stats.NoResidualDF:
		f.model = DifferenceOnly
		note = "there is nothing left over to judge the spread from: repeat a shoe within a session, or run another session"
	case sessions == 1:
		f.model = OneSession
		note = "one session: the interval does not hold how the difference varies from day to day"
	case status == stats.NoWithinDF:
		f.model, f.days = LeastSquares, true
		note = "least squares with a term for every session: no shoe was repeated within a session, so what is left over holds the day-to-day variation too"
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
}

// contrast returns the vector whose product with the coefficients is shoe minus
// reference.
func (f *fitted) contrast(shoe, reference string) []float64 {
	c := f.zeros()
	for i, id := range f.shoes {
		switch id {
		case shoe:
			c[i] = 1
		case reference:
			c[i] = -1
		}
	}
	return c
}

func (f *fitted) zeros() []float64 { return make([]float64, len(f.fit.Coef)) }

// estimate reads the difference between two shoes off the fit.
func (f *fitted) estimate(shoe, reference string) stats.Estimate {
	return f.fit.Contrast(f.contrast(shoe, reference), stats.Satterthwaite)
}

// pull returns what the difference between two shoes would come out as, by least
// squares, if the outcome were nothing but the block's place in its session: how
// far a drift per block carries over into the estimate. It is missing once the
// model takes the drift out itself.
func (f *fitted) pull(shoe, reference string) float64 {
	if f.drift {
		return units.Missing
	}
	places := make([]float64, len(f.group.rows))
	for i, r := range f.group.rows {
		places[i] = float64(r.Order)
	}
	fit, err := stats.REMLAbsorbed(f.design(places, nil, false))
	if err != nil {
		return units.Missing
	}
	return fit.Contrast(f.contrast(shoe, reference), stats.Satterthwaite).Value
}

// unadjusted refits the model to the outcome as measured and returns the
// difference.
func (f *fitted) unadjusted(shoe, reference string) float64 {
	raw := make([]float64, len(f.group.rows))
	for i, r := range f.group.rows {
		raw[i] = r.y - r.adjusted
	}
	hours, _ := centredHours(f.group)
	fit, err := stats.REMLAbsorbed(f.design(raw, hours, true))
	if err != nil {
		return units.Missing
	}
	return fit.Contrast(f.contrast(shoe, reference), stats.Satterthwaite).Value
}

// centredHours returns each row's midpoint in hours minus the mean of its
// session's rows, and whether every row has one.
func centredHours(g group) (hours []float64, timed bool) {
	sum, count := map[string]float64{}, map[string]float64{}
	for _, r := range g.rows {
		sum[r.Session] += r.Midpoint / 3600
		count[r.Session]++
	}
	hours, timed = make([]float64, len(g.rows)), true
	for i, r := range g.rows {
		hours[i] = r.Midpoint/3600 - sum[r.Session]/count[r.Session]
		timed = timed && units.Known(hours[i])
	}
	return hours, timed
}

func positions(keys []string) map[string]int {
	at := make(map[string]int, len(keys))
	for i, k := range keys {
		at[k] = i
	}
	return at
}
