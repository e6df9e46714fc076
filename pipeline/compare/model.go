package compare

import (
	"math"

	"soletrial/pipeline/stats"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// fitted is the model of one linked group:
//
//	y = session + shoe + drift x (midpoint time in hours, centred in its session) + error
type fitted struct {
	group    group
	shoes    []string
	model    Model
	columns  int
	firstCol int // column of shoes[1]; shoes[0] is the base
	driftCol int // -1 when the model has no drift
	fit      stats.Fit
	notes    []string
}

// fitGroup fits the model. The drift is taken out when asked for and when the
// order of the blocks lets it be told from the shoes.
func fitGroup(g group, drift string) (*fitted, error) {
	f := &fitted{group: g, shoes: g.shoes(), driftCol: -1}
	sessions := g.sessions()
	f.firstCol = len(sessions)
	f.columns = f.firstCol + len(f.shoes) - 1
	times, timed := centredHours(g)
	if drift == trial.DriftLinear {
		f.noteDrift(timed, times)
	}
	if f.driftCol >= 0 {
		f.columns++
	}
	x := f.design(sessions, times)
	var err error
	if f.fit, err = stats.LeastSquares(x, responses(g.rows)); err != nil {
		return nil, err
	}
	if f.driftCol >= 0 && f.fit.Aliased[f.driftCol] {
		f.driftCol = -1
		f.notes = append(f.notes, "no drift was taken out: the order of the blocks does not let a drift be told from the shoes")
	}
	f.choose(len(sessions))
	return f, nil
}

// noteDrift decides whether the design gets a drift column.
func (f *fitted) noteDrift(timed bool, times []float64) {
	spread := 0.0
	for _, t := range times {
		spread += math.Abs(t)
	}
	switch {
	case !timed:
		f.notes = append(f.notes, "no drift was taken out: some blocks have no times")
	case spread > 0:
		f.driftCol = f.columns
	}
}

func (f *fitted) design(sessions []string, times []float64) stats.Matrix {
	sessionCol := positions(sessions)
	shoeCol := positions(f.shoes)
	x := stats.NewMatrix(len(f.group.rows), f.columns)
	for i, r := range f.group.rows {
		x.Set(i, sessionCol[r.Session], 1)
		if s := shoeCol[r.Shoe]; s > 0 {
			x.Set(i, f.firstCol+s-1, 1)
		}
		if f.driftCol >= 0 {
			x.Set(i, f.driftCol, times[i])
		}
	}
	return x
}

// choose names the model and says in words what its interval holds.
func (f *fitted) choose(sessions int) {
	switch {
	case f.fit.ResidualDF <= 0:
		f.model = DifferenceOnly
		f.notes = append(f.notes, "there is nothing left over to judge the spread from: repeat a shoe within a session, or run another session")
	case sessions == 1:
		f.model = OneSession
		f.notes = append(f.notes, "one session: the interval does not hold how the difference varies from day to day")
	default:
		f.model = LeastSquares
		f.notes = append(f.notes, "least squares with a term for every session")
	}
}

// contrast returns the vector whose product with the coefficients is shoe minus
// reference.
func (f *fitted) contrast(shoe, reference string) []float64 {
	c := make([]float64, f.columns)
	for i, id := range f.shoes {
		if i > 0 && id == shoe {
			c[f.firstCol+i-1] = 1
		}
		if i > 0 && id == reference {
			c[f.firstCol+i-1] = -1
		}
	}
	return c
}

// pull returns what the difference between two shoes would come out as if the
// outcome were nothing but the block's place in its session: how far a drift per
// block carries over into the estimate. It is missing once the model takes the
// drift out itself.
func (f *fitted) pull(shoe, reference string) float64 {
	if f.driftCol >= 0 {
		return units.Missing
	}
	places := make([]float64, len(f.group.rows))
	for i, r := range f.group.rows {
		places[i] = float64(r.Order)
	}
	sessions := f.group.sessions()
	fit, err := stats.LeastSquares(f.design(sessions, nil), places)
	if err != nil {
		return units.Missing
	}
	return fit.Contrast(f.contrast(shoe, reference)).Value
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

func responses(rows []row) []float64 {
	y := make([]float64, len(rows))
	for i, r := range rows {
		y[i] = r.y
	}
	return y
}

func positions(keys []string) map[string]int {
	at := make(map[string]int, len(keys))
	for i, k := range keys {
		at[k] = i
	}
	return at
}
