package stats

import "math"

// absorbedDesign is what the likelihood needs of the classes and dense columns that take part.
type absorbedDesign struct {
	cols    [][]float64 // the dense columns, means of groups removed
	within  []float64   // cross products of those, by place
	between *absorbedLevels
}

// reduce builds the cross products of the classes and of the given dense columns, which it
// overwrites, at their places in a matrix of the given width.
func (a *absorption) reduce(dense [][]float64, width int) absorbedDesign {
	r := absorbedDesign{within: make([]float64, width*width)} // classes do not vary within groups
	var places []int
	for j, c := range dense {
		if p := a.densePlace(j); p >= 0 {
			r.cols, places = append(r.cols, c), append(places, p)
		}
	}
	means := groupMeans(r.cols, a.group, a.size)
	removeMeans(r.cols, means, a.group)
	w := crossProducts(r.cols)
	for i, pi := range places {
		for j, pj := range places {
			r.within[pi*width+pj] = w.At(i, j)
		}
	}
	r.between = a.newAbsorbedLevels(means, places, width)
	return r
}

// densePlace is the place of a covariate, or of the response after the last of them.
func (a *absorption) densePlace(j int) int {
	if j == a.k {
		return a.p
	}
	return a.place[a.d.Classes+j]
}

// newAbsorbedLevels gives every level its own small set of columns: its classes, then the dense
// ones, whose group means and places are given.
func (a *absorption) newAbsorbedLevels(means Matrix, places []int, width int) *absorbedLevels {
	// The groups and the columns of all levels share two arrays.
	b := &absorbedLevels{width: width, largest: a.largest, levels: make([]level, len(a.levelSize))}
	local := make([]int, a.d.Classes) // local class column plus one, this level
	all := make([]levelGroup, len(a.ids))
	columns := make([]int, 0, len(a.ids)+len(b.levels)*len(places))
	for i := range b.levels {
		l, groups := &b.levels[i], a.groupsOf(i)
		l.groups, l.columns = all[a.from[i]:a.from[i+1]], columns[len(columns):]
		// A class gets a local column where it first appears in the level.
		for j, g := range groups {
			c := a.classOf[g]
			if a.place[c] >= 0 && local[c] == 0 {
				l.columns = append(l.columns, a.place[c])
				local[c] = len(l.columns)
			}
			l.groups[j] = levelGroup{n: a.size[g], class: local[c] - 1, dense: means.Row(g)}
		}
		// The dense columns follow.
		l.classes = len(l.columns)
		l.columns = append(l.columns, places...)
		columns = columns[:len(columns)+len(l.columns)]
		b.widest = max(b.widest, len(l.columns))
		for _, g := range groups {
			local[a.classOf[g]] = 0
		}
	}
	b.gatherBalanced()
	return b
}

// fit maximises the likelihood and maps the result back to the caller's columns.
func (a *absorption) fit() *Mixed {
	y := a.dense[a.k]
	rest, whole := dot(y, y), norm(a.d.Y)
	r := a.reduce(a.dense, a.p+1)
	l := &likelihood{
		p: a.p, groups: len(a.ids), rows: len(a.d.Y), rank: a.p + len(a.levelSize),
		within: r.within, between: r.between,
	}
	for j, s := range a.scale {
		if a.place[a.d.Classes+j] >= 0 {
			l.logBasis += float64(2 * Log(s))
		}
	}
	inner := a.withinRank(r.cols[:len(r.cols)-1])
	l.betweenDF, l.withinDF = l.groups+inner-l.rank, l.rows-l.groups-inner
	m := l.fit(negligible(rest, whole), negligible(l.within[len(l.within)-1], whole), a.largest)
	m.GroupIDs = a.ids
	m.Effects = a.effects(r.between, m)
	m.basis = absorbedBasis{a, m.at, a.dependences()}
	m.Coef, m.Aliased = a.coefficients(m)
	return m
}

// withinRank counts independent covariates once group means are taken out; it overwrites
// them.
func (a *absorption) withinRank(covariates [][]float64) int {
	rest := &qr{n: len(a.d.Y)}
	for j, c := range covariates {
		switch {
		case !rest.isNew(c, 1):
		case j == len(covariates)-1:
			return rest.rank + 1
		default:
			rest.push(c)
		}
	}
	return rest.rank
}

// effects returns λ ω (r̄ - its weighted mean in the level) for each group.
func (a *absorption) effects(b *absorbedLevels, m *Mixed) []float64 {
	out := make([]float64, len(a.ids))
	for i := range b.levels {
		l := &b.levels[i]
		b.work.weigh(l, m.at.lambda)
		for j, g := range a.groupsOf(i) {
			b.work.setDeviation(j)
			r := 0.0
			for c, at := range l.columns {
				r += float64(m.at.v[at] * b.work.dev[c])
			}
			out[g] = float64(m.at.lambda * b.work.w[j] * r)
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
	a           *absorption
	at          profileLikelihood
	dependences []dependence
}

// dependence says how an aliased column follows from the independent ones: G12' G11⁻¹ for the cross
// products G.
type dependence struct {
	column int
	on     []float64 // by place
}

func (b absorbedBasis) reduce(c []float64) (core []float64, value float64, estimable bool) {
	a := b.a
	core = make([]float64, a.p)
	for j, p := range a.place {
		if p >= 0 {
			core[p] = c[j] / a.unit(j)
		}
	}
	if !b.inRowSpace(c, core) {
		return nil, 0, false
	}
	return core, dot(core, a.ols) - dot(core, b.at.v), true
}

// dependences finds those of all aliased columns.
func (a *absorption) dependences() (all []dependence) {
	stride := len(a.place)
	for j, p := range a.place {
		if p >= 0 {
			continue
		}
		on := make([]float64, a.p)
		for k, i := range a.columns {
			on[k] = a.gram[i*stride+j]
		}
		a.chosen.solve(on)
		all = append(all, dependence{j, on})
	}
	return all
}

// inRowSpace checks that the entries for aliased columns are what their dependence on the
// independent ones implies.
func (b absorbedBasis) inRowSpace(c, core []float64) bool {
	largest := 0.0
	for _, v := range core {
		largest = math.Max(largest, math.Abs(v))
	}
	for _, d := range b.dependences {
		j, want, unit := d.column, dot(d.on, core), b.a.unit(d.column)
		if unit == 0 {
			unit = 1 // a covariate of which nothing was left
		}
		if math.Abs(want-c[j]/unit) > 1e-7*math.Max(largest, math.Abs(c[j]/unit)) {
			return false
		}
	}
	return true
}
