package figure

import "soletrial/pipeline/units"

// ghostLine is the height of a line that names a ghost.
const ghostLine = 18.0

// ghostShifts are how far below the row's own mark the ghosts are drawn, and ghostDashes how
// their lines are broken, so that they can be distinguished without colour.
var (
	ghostShifts = [...]float64{9, -9, 13}
	ghostDashes = [...]string{"", "2 3", "6 3"}
)

// ghosts draws the small hollow marks of a row: the same difference under other choices.
func (r Ranking) ghosts(f forest, i int) {
	row := r.Rows[i]
	for k, e := range row.Ghosts {
		if k >= len(ghostShifts) || !units.Known(e.Value) {
			continue
		}
		f.tag("g").attr("class", "ghost").content()
		f.inColour(row.Shoe)
		y := f.rows.markY(i) + ghostShifts[k]
		if e.Bounded() {
			low, _ := f.x.clamp(e.Low)
			high, _ := f.x.clamp(e.High)
			f.ghostWhisker(k, low, high, y)
		}
		x, _ := f.x.clamp(e.Value)
		f.marker(row.Shoe, x, y, 3.5, true)
		f.close("g")
		f.close("g")
	}
}

func (c *canvas) ghostWhisker(k int, from, to, y float64) {
	line := c.line("whisker", from, y, to, y).num("stroke-width", 1)
	if ghostDashes[k] != "" {
		line.attr("stroke-dasharray", ghostDashes[k])
	}
	line.selfClose()
}

// ghostLegend names a ghost below the figure.
func (r Ranking) ghostLegend(c *canvas, width Width, k int, name string, height float64) {
	if k >= len(ghostShifts) {
		return
	}
	y := height - 6 - float64(ghostLine*float64(len(r.Ghosts)-1-k))
	c.ghostWhisker(k, 0, 28, y-4)
	c.words(36, y, left, "small", truncate(name, float64(width)-40))
}
