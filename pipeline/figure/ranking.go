package figure

import "soletrial/pipeline/units"

// Ranking shows shoes best first: each difference from the reference shoe with its interval
// around a line at zero.
type Ranking struct {
	Head
	Axis         string // what is compared, in words with its unit
	Unit         string // of the estimates, such as "%"
	Decimals     int
	Short        bool // the values are without their intervals, which the lines show
	Rows         []RankingRow
	Alternatives []string // names of what the rows' alternatives are, at most three
}

// RankingRow is one shoe.
type RankingRow struct {
	Label        string
	Shoe         int // place in the register, from 0
	Reference    bool
	Strong       bool // the row is the one that the page is about
	Estimate     Estimate
	Alternatives []Estimate // the same under other choices, see [Ranking.Alternatives]
}

// SVG draws the ranking.
func (r Ranking) SVG(width Width) []byte {
	n := len(r.Rows)
	bottom := rowsFor(width).bottom(n)
	height := bottom + 46 + float64(alternativeLine*float64(len(r.Alternatives)))
	c := begin(r.Head, width, height)
	// The scale holds every estimate.
	estimates := make([]Estimate, n)
	for i, row := range r.Rows {
		estimates[i] = row.Estimate
	}
	for _, row := range r.Rows {
		estimates = append(estimates, row.Alternatives...)
	}
	lo, hi := domain(estimates)
	f := newForest(c, width, n, lo, hi)
	f.axis(n)
	for i := range r.Rows {
		r.row(f, i)
	}
	c.words(0, bottom+38, left, "small", truncate(r.Axis, float64(width)))
	for k, name := range r.Alternatives {
		r.alternativeLegend(c, width, k, name, height)
	}
	return c.end()
}

func (r Ranking) row(f forest, i int) {
	row := r.Rows[i]
	if row.Strong {
		f.rect("strong", 0, f.rows.top(i)+1, f.edge, f.rows.height-2).num("fill-opacity", 0.07).selfClose()
	}
	f.rowWords(i, row.Label, r.value(row))
	r.alternatives(f, i)
	if row.Reference {
		f.inColour(row.Shoe)
		f.marker(row.Shoe, f.x.at(0), f.rows.markY(i), 6, false)
		f.close("g")
		return
	}
	f.mark(row.Estimate, row.Shoe, f.rows.markY(i))
}

func (r Ranking) value(row RankingRow) string {
	switch {
	case row.Reference:
		return "reference"
	case !units.Known(row.Estimate.Value):
		return "not compared"
	}
	if r.Short {
		return Signed(row.Estimate.Value, r.Decimals) + "\u00a0" + r.Unit
	}
	return row.Estimate.Words(r.Decimals, r.Unit)
}
