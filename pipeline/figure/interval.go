package figure

import "soletrial/pipeline/units"

// forest is the part of a figure where estimates with intervals stand over one
// another around a line at zero.
type forest struct {
	*canvas
	x           scale
	top, bottom float64
	unit        string
}

// axis draws the line at zero, the ticks and their numbers below.
func (f forest) axis() {
	values, decimals := ticks(f.x.lo, f.x.hi, max(3, int((f.x.to-f.x.from)/55)))
	for _, v := range values {
		x := f.x.at(v)
		f.line("grid", x, f.top, x, f.bottom).at("stroke-opacity", 0.15).done()
		f.words(x, f.bottom+17, centre, "small", Signed(v, decimals))
	}
	zero := f.x.at(0)
	f.line("zero", zero, f.top, zero, f.bottom+4).at("stroke-width", 1.5).done()
}

// interval draws the whisker of e at height y: a line with end caps, or with an
// arrow where it goes on beyond the scale.
func (f forest) interval(e Estimate, y float64) {
	if !e.Bounded() {
		return
	}
	low, beyondLow := f.x.held(e.Low)
	high, beyondHigh := f.x.held(e.High)
	f.line("whisker", low, y, high, y).at("stroke-width", 2.5).done()
	f.whiskerEnd(low, y, beyondLow, 6)
	f.whiskerEnd(high, y, beyondHigh, -6)
}

func (f forest) whiskerEnd(x, y float64, beyond bool, inward float64) {
	if !beyond {
		f.line("cap", x, y-6, x, y+6).at("stroke-width", 2.5).done()
		return
	}
	f.tag("path").is("class", "beyond").raw(` d="M`).point(x, y).raw("L").point(x+inward, y-5).raw("L").point(x+inward, y+5).raw(`Z"`).done()
}

// mark draws an estimate of a shoe with its interval.
func (f forest) mark(e Estimate, shoe int, y float64) {
	if !units.Known(e.Value) {
		return
	}
	f.inColour(shoe)
	f.interval(e, y)
	x, _ := f.x.held(e.Value)
	f.marker(shoe, x, y, 6, !e.Bounded())
	f.close("g")
}
