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
}

// RankingRow is one shoe. Apart lists the rows, by index, that the adjusted
// comparisons tell apart from this one.
type RankingRow struct {
	Label     string
	Shoe      int // place in the register, from 0
	Reference bool
	Estimate  Estimate
	Apart     []int
}

// The rows' heights where labels stand beside the plot and above it.
const (
	besideHeight = 34.0
	aboveHeight  = 50.0
)

// SVG draws the ranking.
func (r Ranking) SVG(width Width) []byte {
	groups := alike(r.Rows)
	rowHeight := aboveHeight
	if width.roomy() {
		rowHeight = besideHeight
	}
	bottom := 8 + float64(rowHeight*float64(len(r.Rows)))
	height := bottom + 46
	if len(groups) > 0 {
		height += 20
	}
	c := begin(r.Head, width, height)
	f := r.plot(c, width, bottom, len(groups))
	f.axis()
	for i := range r.Rows {
		r.row(f, width, i, 8+float64(rowHeight*float64(i)))
	}
	r.joins(f, groups, rowHeight)
	c.words(0, bottom+38, left, "small", r.Axis)
	if len(groups) > 0 {
		c.words(0, bottom+58, left, "small", "Joined by a line: cannot be told apart.")
	}
	return c.end()
}

// plot places the scale: beside the labels where there is room, else below.
func (r Ranking) plot(c *canvas, width Width, bottom float64, groups int) forest {
	estimates := make([]Estimate, len(r.Rows))
	for i, row := range r.Rows {
		estimates[i] = row.Estimate
	}
	lo, hi := domain(estimates)
	from, to := 14.0, float64(width)-14-12*float64(groups)
	if width.roomy() {
		from, to = 0.27*float64(width), 0.7*float64(width)-12*float64(groups)
	}
	return forest{canvas: c, x: scale{lo, hi, from, to}, top: 4, bottom: bottom, unit: r.Unit}
}

func (r Ranking) row(f forest, width Width, i int, top float64) {
	row := r.Rows[i]
	text, line, plot := top+20, float64(width), top+36
	labelRoom := float64(width) - 175
	if width.roomy() {
		text, plot, labelRoom = top+22, top+17, f.x.from-24
	}
	f.label(0, text, labelRoom, row.Label)
	f.words(line, text, right, "value", r.value(row))
	if row.Reference {
		row.Estimate = Estimate{Value: 0, Low: 0, High: 0}
		f.inColour(row.Shoe)
		f.marker(row.Shoe, f.x.at(0), plot, 6, false)
		f.close("g")
		return
	}
	f.mark(row.Estimate, row.Shoe, plot)
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

// joins draws one line per group right of the plot, with a dot at each member.
func (r Ranking) joins(f forest, groups [][]int, rowHeight float64) {
	for g, members := range groups {
		x := f.x.to + 14 + float64(12*float64(g))
		y := func(i int) float64 { return 8 + float64(rowHeight*float64(i)) + rowHeight/2 }
		f.tag("g").is("class", "alike").hold()
		f.line("alike", x, y(members[0]), x, y(members[len(members)-1])).at("stroke-width", 2).done()
		for _, i := range members {
			f.tag("circle").at("cx", x).at("cy", y(i)).at("r", 3.5).done()
		}
		f.close("g")
	}
}
