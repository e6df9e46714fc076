package stats

import "math"

// likelihood builds the reduced problem for the current columns and response.
func (a *absorption) likelihood() *likelihood {
	means := groupMeans(a.dense, a.group, a.size)
	l := &likelihood{p: a.p, groups: len(a.ids), rows: len(a.d.Y), rank: a.p + len(a.levelSize)}
	l.within = a.spreadWithin(withinProducts(a.dense, means, a.group))
	l.between = a.newByLevel(means)
	for j, s := range a.scale {
		if a.place[a.d.Classes+j] >= 0 {
			l.logBasis += float64(2 * Log(s))
		}
	}
	return l
}

// spreadWithin puts the products of the dense columns at their places; classes do not
// vary within groups.
func (a *absorption) spreadWithin(w []float64) []float64 {
	p1 := a.p + 1
	out := make([]float64, p1*p1)
	for i := range a.k + 1 {
		for j := range a.k + 1 {
			if pi, pj := a.densePlace(i), a.densePlace(j); pi >= 0 && pj >= 0 {
				out[pi*p1+pj] = w[i*(a.k+1)+j]
			}
		}
	}
	return out
}

// densePlace is the place of a covariate, or of the response after the last of them.
func (a *absorption) densePlace(j int) int {
	if j == a.k {
		return a.p
	}
	return a.place[a.d.Classes+j]
}

// newByLevel gives every level its own small set of columns.
func (a *absorption) newByLevel(means [][]float64) *byLevel {
	b := &byLevel{p1: a.p + 1, levels: make([]level, len(a.groupsOf))}
	var kept, places []int // dense columns that take part
	for j := range a.k + 1 {
		if p := a.densePlace(j); p >= 0 {
			kept, places = append(kept, j), append(places, p)
		}
	}
	local := make([]int, a.d.Classes) // local class column plus one, this level
	all, numbers := make([]levelGroup, len(a.ids)), make([]float64, len(a.ids)*len(kept))
	columns := make([]int, 0, len(a.ids)+len(a.groupsOf)*len(kept))
	for i, groups := range a.groupsOf {
		l := &b.levels[i]
		l.groups, all = all[:0:len(groups)], all[len(groups):]
		l.columns = columns[len(columns):]
		for _, g := range groups {
			c := a.classOf[g]
			if a.place[c] >= 0 && local[c] == 0 {
				l.columns = append(l.columns, a.place[c])
				local[c] = len(l.columns)
			}
			dense := numbers[:len(kept):len(kept)]
			numbers = numbers[len(kept):]
			for j, from := range kept {
				dense[j] = means[g][from]
			}
			l.groups = append(l.groups, levelGroup{n: a.size[g], class: local[c] - 1, dense: dense})
		}
		l.classes = len(l.columns)
		l.columns = append(l.columns, places...)
		columns = columns[:len(columns)+len(l.columns)]
		b.widest = max(b.widest, len(l.columns))
		for _, g := range groups {
			local[a.classOf[g]] = 0
		}
	}
	b.gatherEven()
	return b
}

// fit maximises the likelihood and maps the result back to the caller's columns.
func (a *absorption) fit() *Mixed {
	l := a.likelihood()
	inner := a.withinRank()
	l.betweenDF, l.withinDF = l.groups+inner-l.rank, l.rows-l.groups-inner
	y := a.dense[a.k]
	within := l.within[len(l.within)-1]
	m := l.fit(negligible(dot(y, y), a.d.Y), negligible(within, a.d.Y), largestOf(a.size))
	m.GroupIDs = a.ids
	m.Effects = a.effects(l.between.(*byLevel), m)
	m.basis = absorbedBasis{a, m.at}
	m.Coef, m.Aliased = a.coefficients(m)
	return m
}

// withinRank counts independent covariates once group means are taken out.
func (a *absorption) withinRank() int {
	cols, whole := [][]float64{}, []float64{}
	means := groupMeans(a.dense[:a.k], a.group, a.size)
	for j := range a.k {
		if a.place[a.d.Classes+j] < 0 {
			continue
		}
		c := append([]float64(nil), a.dense[j]...)
		for i := range c {
			c[i] -= means[a.group[i]][j]
		}
		cols, whole = append(cols, c), append(whole, 1)
	}
	return factorAgainst(cols, len(a.d.Y), whole).rank
}

// effects returns λ ω (r̄ - its weighted mean in the level) for each group.
func (a *absorption) effects(b *byLevel, m *Mixed) []float64 {
	out := make([]float64, len(a.ids))
	work := newLevelWork(b.widest)
	for i := range b.levels {
		l := &b.levels[i]
		work.start(l, m.at.lambda)
		for j, g := range a.groupsOf[i] {
			work.deviate(j)
			r := 0.0
			for c, at := range l.columns {
				r += float64(m.at.v[at] * work.dev[c])
			}
			out[g] = float64(m.at.lambda * work.w[j] * r)
		}
	}
	return out
}

func (a *absorption) coefficients(m *Mixed) (coef []float64, aliased []bool) {
	coef, aliased = make([]float64, len(a.place)), make([]bool, len(a.place))
	for j, p := range a.place {
		if aliased[j] = p < 0; aliased[j] {
			coef[j] = math.NaN()
			continue
		}
		coef[j] = (a.ols[p] - m.at.v[p]) / a.unit(j)
	}
	return coef, aliased
}

// unit is what column j was divided by.
func (a *absorption) unit(j int) float64 {
	if j < a.d.Classes {
		return 1
	}
	return a.scale[j-a.d.Classes]
}

// absorbedBasis maps contrasts over classes and covariates to the independent columns.
type absorbedBasis struct {
	a  *absorption
	at profile
}

func (b absorbedBasis) reduce(c []float64) (core []float64, value float64, estimable bool) {
	a := b.a
	core = make([]float64, a.p)
	for j, p := range a.place {
		if p >= 0 {
			core[p] = c[j] / a.unit(j)
		}
	}
	if !a.inRowSpace(c, core) {
		return nil, 0, false
	}
	return core, dot(core, a.ols) - dot(core, b.at.v), true
}

// inRowSpace checks that the entries for aliased columns are what their dependence on the
// independent ones implies: G12' G11⁻¹ for the cross products G.
func (a *absorption) inRowSpace(c, core []float64) bool {
	stride := len(a.place) + 1
	largest := 0.0
	for _, v := range core {
		largest = math.Max(largest, math.Abs(v))
	}
	for j, p := range a.place {
		if p >= 0 {
			continue
		}
		dependence := make([]float64, a.p)
		for k, i := range a.columns {
			dependence[k] = a.gram[i*stride+j]
		}
		a.chosen.solve(dependence)
		want := dot(dependence, core)
		unit := a.unit(j)
		if unit == 0 {
			unit = 1 // a covariate of which nothing was left
		}
		if math.Abs(want-c[j]/unit) > 1e-7*math.Max(largest, math.Abs(c[j]/unit)) {
			return false
		}
	}
	return true
}
