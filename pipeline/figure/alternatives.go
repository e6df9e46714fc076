package figure

import "soletrial/pipeline/units"

// alternativeLine is the height of a line that names an alternative.
const alternativeLine = 18.0

// alternativeShifts are how far below the row's own mark the alternatives are drawn, and
// alternativeDashes how their lines are broken, so that they can be distinguished without colour.
var (
	alternativeShifts = [...]float64{9, -9, 13}
	alternativeDashes = [...]string{"", "2 3", "6 3"}
)

// alternatives draws the small hollow marks of a row: the same difference under other choices.
func (r Ranking) alternatives(f forest, i int) {
	row := r.Rows[i]
	for k, e := range row.Alternatives {
		if k >= len(alternativeShifts) || !units.Known(e.Value) {
			continue
		}
		f.tag("g").attr("class", "alternative").content()
		f.inColour(row.Shoe)
		y := f.rows.markY(i) + alternativeShifts[k]
		if e.Bounded() {
			low, _ := f.x.clamp(e.Low)
			high, _ := f.x.clamp(e.High)
			f.alternativeWhisker(k, low, high, y)
		}
		x, _ := f.x.clamp(e.Value)
		f.marker(row.Shoe, x, y, 3.5, true)
		f.close("g")
		f.close("g")
	}
}

func (c *canvas) alternativeWhisker(k int, from, to, y float64) {
	line := c.line("whisker", from, y, to, y).num("stroke-width", 1)
	if alternativeDashes[k] != "" {
		line.attr("stroke-dasharray", alternativeDashes[k])
	}
	line.selfClose()
}

// alternativeLegend names an alternative below the figure.
func (r Ranking) alternativeLegend(c *canvas, width Width, k int, name string, height float64) {
	if k >= len(alternativeShifts) {
		return
	}
	y := height - 6 - float64(alternativeLine*float64(len(r.Alternatives)-1-k))
	c.alternativeWhisker(k, 0, 28, y-4)
	c.words(36, y, left, "small", truncate(name, float64(width)-40))
}
