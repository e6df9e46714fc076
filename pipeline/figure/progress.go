package figure

import (
	"math"

	"soletrial/pipeline/units"
)

// Progress shows how the answer for one shoe moved as sessions came in: at each session the
// estimate from everything up to it, with its interval. The scale is that of the later half
// of the sessions, so that they can be read; what is wider before ends in an arrow.
type Progress struct {
	Head
	Axis   string // what is compared, with its unit
	Shoe   int
	Steps  []Step
	Beside [][]Step // of the panels beside this one, which share its scale
}

// Step is one session.
type Step struct {
	Label      string // its date
	Cumulative Estimate
}

// SVG draws the panel.
func (t Progress) SVG(width Width) []byte {
	c := begin(t.Head, width, 228)
	var shown []Estimate
	for _, steps := range append([][]Step{t.Steps}, t.Beside...) {
		for _, s := range steps[len(steps)/2:] {
			shown = append(shown, s.Cumulative)
		}
	}
	// The later half sets the scale, of all panels alike: early intervals would flatten it.
	lo, hi := domain(shown)
	x := scale{-0.5, math.Max(0.5, float64(len(t.Steps))-0.5), traceLeft, float64(width) - 8}
	y := scale{lo, hi, 200, traceTop}
	c.words(0, 15, left, "label", truncate(t.Axis, float64(width)))
	// The grid, then the steps.
	values, decimals := ticks(lo, hi, 6)
	for _, v := range values {
		c.line("grid", x.from, y.at(v), x.to, y.at(v)).num("stroke-opacity", 0.15).selfClose()
		c.words(x.from-6, y.at(v)+4.5, right, "small", Signed(v, decimals))
	}
	c.line("zero", x.from, y.at(0), x.to, y.at(0)).num("stroke-width", 1.5).selfClose()
	t.dates(c, x)
	c.inColour(t.Shoe)
	t.path(c, x, y)
	for i, s := range t.Steps {
		c.step(s, t.Shoe, x.at(float64(i)), y)
	}
	c.close("g")
	return c.end()
}

// dates labels the first and the last session and as many between as fit.
func (t Progress) dates(c *canvas, x scale) {
	fit := max(1, int((x.to-x.from)/88))
	every := (len(t.Steps) + fit - 1) / fit
	for i, s := range t.Steps {
		if i%every != 0 {
			continue
		}
		at := x.at(float64(i))
		c.line("tick", at, 200, at, 205).selfClose()
		c.words(math.Min(math.Max(at, x.from+20), x.to-34), 220, centre, "small", s.Label)
	}
}

// path joins the estimates to date; a session without one parts the line.
func (t Progress) path(c *canvas, x, y scale) {
	c.tag("path").attr("class", "so-far").attr("fill", "none").attr("stroke", "currentColor").raw(` d="`)
	broken := true
	for i, s := range t.Steps {
		if !units.Known(s.Cumulative.Value) {
			broken = true
			continue
		}
		place, _ := y.clamp(s.Cumulative.Value)
		c.raw(map[bool]string{true: "M", false: "L"}[broken]).point(x.at(float64(i)), place)
		broken = false
	}
	c.raw(`"`).selfClose()
}

func (c *canvas) step(s Step, shoe int, x float64, y scale) {
	if !units.Known(s.Cumulative.Value) {
		return
	}
	if s.Cumulative.Bounded() {
		low, beyondLow := y.clamp(s.Cumulative.Low)
		high, beyondHigh := y.clamp(s.Cumulative.High)
		c.line("whisker", x, low, x, high).num("stroke-width", 2).selfClose()
		c.whiskerCap(x, low, beyondLow, -6)
		c.whiskerCap(x, high, beyondHigh, 6)
	}
	place, _ := y.clamp(s.Cumulative.Value)
	c.marker(shoe, x, place, 4.5, !s.Cumulative.Bounded())
}

// whiskerCap ends a vertical whisker, with an arrow where it goes on.
func (c *canvas) whiskerCap(x, y float64, beyond bool, inwards float64) {
	if !beyond {
		c.line("cap", x-4, y, x+4, y).num("stroke-width", 2).selfClose()
		return
	}
	c.tag("path").attr("class", "arrow").raw(` d="M`).point(x, y).raw("L").point(x-4, y+inwards).raw("L").
		point(x+4, y+inwards).raw(`Z"`).selfClose()
}
