package figure

import (
	"math"
	"slices"

	"soletrial/pipeline/units"
)

// ToDate shows how one comparison moved as sessions came in: at each session the
// estimate from everything up to it, with its interval, and beside it that
// session's own estimate.
type ToDate struct {
	Head
	Axis   string // what is compared, with its unit
	Shoe   int
	Steps  []Step
	Beside []Step // of the panels beside this one, which share its scale
}

// Step is one session.
type Step struct {
	Label  string // its date
	Own    float64
	ToDate Estimate
}

// SVG draws the panel.
func (t ToDate) SVG(width Width) []byte {
	c := begin(t.Head, width, 250)
	shown := make([]Estimate, 0, 2*len(t.Steps))
	for _, s := range slices.Concat(t.Steps, t.Beside) {
		shown = append(shown, s.ToDate, Estimate{s.Own, units.Missing, units.Missing})
	}
	lo, hi := domain(shown)
	x := scale{-0.5, math.Max(0.5, float64(len(t.Steps))-0.5), traceLeft, float64(width) - 8}
	y := scale{lo, hi, 200, traceTop}
	c.words(0, 15, left, "label", cut(t.Axis, float64(width)))
	values, decimals := ticks(lo, hi, 6)
	for _, v := range values {
		c.line("grid", x.from, y.at(v), x.to, y.at(v)).at("stroke-opacity", 0.15).done()
		c.words(x.from-6, y.at(v)+4.5, right, "small", Signed(v, decimals))
	}
	c.line("zero", x.from, y.at(0), x.to, y.at(0)).at("stroke-width", 1.5).done()
	t.dates(c, x)
	c.inColour(t.Shoe)
	t.path(c, x, y)
	for i, s := range t.Steps {
		c.step(s, t.Shoe, x.at(float64(i)), y)
	}
	c.close("g")
	c.words(0, 244, left, "small", "Filled: all so far. Ring: that session alone.")
	return c.end()
}

// dates labels the first and the last session and as many between as fit.
func (t ToDate) dates(c *canvas, x scale) {
	fit := max(1, int((x.to-x.from)/88))
	every := (len(t.Steps) + fit - 1) / fit
	for i, s := range t.Steps {
		if i%every != 0 {
			continue
		}
		at := x.at(float64(i))
		c.line("tick", at, 200, at, 205).done()
		c.words(math.Min(math.Max(at, x.from+20), x.to-34), 220, centre, "small", s.Label)
	}
}

// path joins the estimates to date; a session without one parts the line.
func (t ToDate) path(c *canvas, x, y scale) {
	c.tag("path").is("class", "so-far").is("fill", "none").is("stroke", "currentColor").raw(` d="`)
	parted := true
	for i, s := range t.Steps {
		if !units.Known(s.ToDate.Value) {
			parted = true
			continue
		}
		place, _ := y.held(s.ToDate.Value)
		c.raw(map[bool]string{true: "M", false: "L"}[parted]).point(x.at(float64(i)), place)
		parted = false
	}
	c.raw(`"`).done()
}

func (c *canvas) step(s Step, shoe int, x float64, y scale) {
	if units.Known(s.Own) {
		c.tag("circle").is("class", "own").at("cx", x+7).at("cy", y.at(s.Own)).at("r", 2.5).is("fill", "none").
			is("stroke", "currentColor").done()
	}
	if !units.Known(s.ToDate.Value) {
		return
	}
	if s.ToDate.Bounded() {
		low, beyondLow := y.held(s.ToDate.Low)
		high, beyondHigh := y.held(s.ToDate.High)
		c.line("whisker", x, low, x, high).at("stroke-width", 2).done()
		c.capAcross(x, low, beyondLow, -6)
		c.capAcross(x, high, beyondHigh, 6)
	}
	c.marker(shoe, x, y.at(s.ToDate.Value), 4.5, !s.ToDate.Bounded())
}

// capAcross ends a vertical whisker, with an arrow where it goes on.
func (c *canvas) capAcross(x, y float64, beyond bool, inward float64) {
	if !beyond {
		c.line("cap", x-4, y, x+4, y).at("stroke-width", 2).done()
		return
	}
	c.tag("path").is("class", "arrow").raw(` d="M`).point(x, y).raw("L").point(x-4, y+inward).raw("L").
		point(x+4, y+inward).raw(`Z"`).done()
}
