package figure

import "soletrial/pipeline/units"

// Ranking shows shoes best first: each difference from the reference shoe with
// its interval around a line at zero, and lines that join the shoes which cannot
// be told apart.
type Ranking struct {
	Head
	Axis     string // what is compared, in words with its unit
	Unit     string // of the estimates, such as "%"
	Decimals int
	Rows     []RankingRow
	Ghosts   []string // names of what the rows' ghosts are, at most three
}

// RankingRow is one shoe. Apart lists the rows, by index, that the adjusted
// comparisons tell apart from this one.
type RankingRow struct {
	Label     string
	Shoe      int // place in the register, from 0
	Reference bool
	Estimate  Estimate
	Ghosts    []Estimate // the same under other choices, see [Ranking.Ghosts]
	Apart     []int
}

// laneWidth is the width that one lane of lines between shoes takes.
const laneWidth = 12.0

// SVG draws the ranking.
func (r Ranking) SVG(width Width) []byte {
	lanes, leftOut := lanes(groupsByRank(r.Rows))
	n := len(r.Rows)
	bottom := rowsFor(width).bottom(n)
	height := bottom + 46 + float64(ghostLine*float64(len(r.Ghosts)))
	if len(lanes) > 0 {
		height += 20
	}
	c := begin(r.Head, width, height)
	// The scale holds every estimate.
	estimates := make([]Estimate, n)
	for i, row := range r.Rows {
		estimates[i] = row.Estimate
	}
	for _, row := range r.Rows {
		estimates = append(estimates, row.Ghosts...)
	}
	lo, hi := domain(estimates)
	f := newForest(c, width, n, lo, hi, float64(laneWidth*float64(len(lanes))))
	f.axis(n)
	// The rows, the lines that join them, and what the lines mean.
	for i := range r.Rows {
		r.row(f, i)
	}
	f.joinGroups(lanes)
	c.words(0, bottom+38, left, "small", truncate(r.Axis, float64(width)))
	if len(lanes) > 0 {
		text := "Joined by a line: cannot be told apart."
		if leftOut > 0 {
			text = "Joined by a line: cannot be told apart. More such groups are in the table."
		}
		c.words(0, bottom+58, left, "small", truncate(text, float64(width)))
	}
	for k, name := range r.Ghosts {
		r.ghostLegend(c, width, k, name, height)
	}
	return c.end()
}

func (r Ranking) row(f forest, i int) {
	row := r.Rows[i]
	f.rowWords(i, row.Label, r.value(row))
	r.ghosts(f, i)
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
	return row.Estimate.Words(r.Decimals, r.Unit)
}

// joinGroups draws one line per group right of the plot, with a dot at each member.
func (f forest) joinGroups(lanes [][][]int) {
	for lane, groups := range lanes {
		x := f.x.to + 14 + float64(laneWidth*float64(lane))
		for _, members := range groups {
			f.tag("g").attr("class", "alike").content()
			top, bottom := f.rows.markY(members[0]), f.rows.markY(members[len(members)-1])
			f.line("join", x, top, x, bottom).num("stroke-width", 2).selfClose()
			for _, i := range members {
				f.tag("circle").num("cx", x).num("cy", f.rows.markY(i)).num("r", 3.5).selfClose()
			}
			f.close("g")
		}
	}
}
