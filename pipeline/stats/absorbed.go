package stats

import (
	"errors"
	"fmt"
	"slices"
)

// Absorbed is a mixed model whose fixed effects are one for each level of a nuisance
// factor, which may have thousands of levels and is eliminated within them, one for each
// class of a second factor, and a few dense covariates.
type Absorbed struct {
	// Y holds the responses.
	Y []float64
	// Level and Group hold any labels of the nuisance level and of the random group of each
	// row. Every group lies within one level and one class.
	Level, Group []int
	// Class holds the class of each row, 0 to Classes-1.
	Class   []int
	Classes int
	// Covariates has one row for each response; it may have no columns.
	Covariates Matrix
}

// REMLAbsorbed fits y = X b + Z u + e with a random intercept for each group by restricted
// maximum likelihood to a large, sparse design: time and memory grow linearly with the rows.
// The ratio σb²/σ² is the root of the profiled score to full precision (Patterson & Thompson
// 1971; Searle, Casella & McCulloch 1992, ch. 6); a maximum at zero, groups that repeat
// nothing and the like are results with a status, not errors. The coefficients are those of the classes, then of the
// covariates; the level effects are not returned. Differences between classes are
// estimable when levels connect them, a single class never is: the last class of each
// connected set is aliased and the others' coefficients are relative to it.
//
// With a group of its own for every row the status is [NoWithinDF] and the numbers are
// those of least squares with one effect for each level, at the same cost.
//
// Columns count as aliased when what is left of them after the levels and the columns
// before is below 1e-6 of the column (the products of columns are formed here, which costs
// half the digits that QR keeps). Groups that are not nested in levels and classes are an
// error.
func REMLAbsorbed(d Absorbed) (*Mixed, error) {
	a, err := newAbsorption(d)
	if err != nil {
		return nil, fmt.Errorf("mixed model: %w", err)
	}
	a.removeLevelMeans()
	a.scaleCovariates()
	a.pickColumns()
	a.subtractLeastSquares()
	return a.fit(), nil
}

func (d Absorbed) check() error {
	n := len(d.Y)
	switch {
	case len(d.Level) != n || len(d.Group) != n || len(d.Class) != n:
		return fmt.Errorf("%d responses but %d levels, %d groups, %d classes", n, len(d.Level), len(d.Group),
			len(d.Class))
	case n == 0:
		return errors.New("no rows")
	}
	c := d.Covariates
	if c.Cols == 0 {
		c = NewMatrix(n, 0)
	}
	return checkRegression(c, d.Y)
}

// absorption is the work in progress: rows of dense numbers (covariates, then the
// response) and who belongs where.
type absorption struct {
	d             Absorbed
	k             int         // covariates
	dense         [][]float64 // covariate columns, then the response: level means removed
	whole         []float64   // norm of each covariate as it came
	scale         []float64   // what each covariate was divided by; 0 where nothing is left of it
	ids           []int       // group labels
	group         []int       // group number of each row
	size          []float64   // rows of each group
	largest       float64     // rows of the largest
	level         []int       // level number of each row
	levelSize     []float64
	classOf       []int     // class of each group
	levelOf       []int     // level of each group
	groupsByLevel []int     // group numbers by level
	from          []int     // where each level begins among them, and where the last ends
	place         []int     // place of each column (classes, covariates) among the independent, or -1
	p             int       // independent columns
	columns       []int     // the column at each place
	gram          []float64 // cross products of all columns, levels eliminated
	chosen        *growing  // their factor over the independent columns
	ols           []float64 // least squares coefficients by place
}

func newAbsorption(d Absorbed) (*absorption, error) {
	if err := d.check(); err != nil {
		return nil, err
	}
	a := &absorption{d: d, k: d.Covariates.Cols}
	a.ids, a.group, a.size = numberGroups(d.Group)
	_, a.level, a.levelSize = numberGroups(d.Level)
	a.largest = largestOf(a.size)
	if err := a.findHomes(); err != nil {
		return nil, err
	}
	a.sortGroups()
	for j := range a.k {
		c := d.Covariates.column(j)
		a.dense, a.whole = append(a.dense, c), append(a.whole, norm(c))
	}
	a.dense = append(a.dense, slices.Clone(d.Y))
	return a, nil
}

// findHomes finds the level and the class of every group.
func (a *absorption) findHomes() error {
	a.classOf, a.levelOf = make([]int, len(a.ids)), make([]int, len(a.ids))
	met := 0
	for i, g := range a.group {
		level, class := a.level[i], a.d.Class[i]
		if class < 0 || class >= a.d.Classes {
			return fmt.Errorf("row %d: class %d is not one of %d", i, class, a.d.Classes)
		}
		if g == met { // its first row
			a.levelOf[g], a.classOf[g] = level, class
			met++
		}
		if a.levelOf[g] != level || a.classOf[g] != class {
			return fmt.Errorf("row %d: group %d lies in more than one level or class", i, a.ids[g])
		}
	}
	return nil
}

// sortGroups lists the groups by level, those of a level in order of first appearance.
func (a *absorption) sortGroups() {
	a.groupsByLevel, a.from = make([]int, len(a.ids)), make([]int, len(a.levelSize)+1)
	for _, l := range a.levelOf {
		a.from[l+1]++
	}
	for l := range a.levelSize {
		a.from[l+1] += a.from[l]
	}
	next := slices.Clone(a.from)
	for g, l := range a.levelOf {
		a.groupsByLevel[next[l]] = g
		next[l]++
	}
}

// groupsOf returns the numbers of a level's groups.
func (a *absorption) groupsOf(level int) []int { return a.groupsByLevel[a.from[level]:a.from[level+1]] }

// removeLevelMeans centres every dense column within each level, twice, so that what the
// first mean lost to rounding goes as well.
func (a *absorption) removeLevelMeans() {
	for range 2 {
		a.centre(a.dense)
	}
}

func (a *absorption) centre(cols [][]float64) {
	removeMeans(cols, groupMeans(cols, a.level, a.levelSize), a.level)
}

// scaleCovariates brings every covariate to unit length; one that is constant within
// every level is set to zero.
func (a *absorption) scaleCovariates() {
	a.scale = make([]float64, a.k)
	for j := range a.k {
		left := norm(a.dense[j])
		if !(left > float64(RankTolerance*a.whole[j])) {
			clear(a.dense[j])
			continue
		}
		a.scale[j] = left
		for i := range a.dense[j] {
			a.dense[j][i] /= left
		}
	}
}

// pickColumns finds the independent columns from the pivots of their cross products.
func (a *absorption) pickColumns() {
	all := a.d.Classes + a.k
	a.place = make([]int, all)
	for j := range a.place {
		a.place[j] = j
	}
	covariates := make([][]float64, a.k)
	for j := range covariates {
		covariates[j] = slices.Clone(a.dense[j])
	}
	r := a.reduce(covariates, all)
	sums := newBetweenProducts(all, depthCriterion)
	r.between.addTo(sums, 0)
	a.gram = sums.xBx
	addScaled(a.gram, 1, r.within)
	a.choose(all)
}

// choose keeps, in order, every column whose pivot is above 1e-12 of its square.
func (a *absorption) choose(all int) {
	counts := make([]float64, a.d.Classes)
	for _, c := range a.d.Class {
		counts[c]++
	}
	a.columns = nil
	a.chosen = &growing{}
	for j := range all {
		whole := 1.0
		if j < a.d.Classes {
			whole = counts[j]
		}
		a.place[j] = -1
		if a.chosen.tryAdd(a.gram, all, j, a.columns, float64(1e-12*whole)) {
			a.place[j] = len(a.columns)
			a.columns = append(a.columns, j)
		}
	}
	a.p = len(a.columns)
}

// subtractLeastSquares replaces the response by its least squares residual; the second
// round removes what rounding left.
func (a *absorption) subtractLeastSquares() {
	a.ols = make([]float64, a.p)
	y := a.dense[a.k]
	for range 2 {
		b := make([]float64, a.p) // X'y, then the coefficients
		for i, v := range y {
			if p := a.place[a.d.Class[i]]; p >= 0 {
				b[p] += v
			}
		}
		for j := range a.k {
			if p := a.place[a.d.Classes+j]; p >= 0 {
				b[p] = dot(a.dense[j], y)
			}
		}
		a.chosen.solve(b)
		for i := range y {
			if p := a.place[a.d.Class[i]]; p >= 0 {
				y[i] -= b[p]
			}
		}
		for j := range a.k {
			if p := a.place[a.d.Classes+j]; p >= 0 {
				addScaled(y, -b[p], a.dense[j])
			}
		}
		addScaled(a.ols, 1, b)
		a.centre(a.dense[a.k:])
	}
}
