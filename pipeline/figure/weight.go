package figure

import (
	"math"

	"soletrial/pipeline/units"
)

// Weight splits one measured difference into what the shoes' masses lead one to
// expect and the rest, which keeps the interval of the measurement.
type Weight struct {
	Head
	Axis, Unit               string
	Decimals                 int
	Shoe                     int
	Measured, Expected, Rest Estimate
}

// SVG draws the split: three rows around one line at zero.
func (w Weight) SVG(width Width) []byte {
	rowHeight := aboveHeight
	if width.roomy() {
		rowHeight = besideHeight
	}
	bottom := 8 + float64(3*rowHeight)
	c := begin(w.Head, width, bottom+46)
	lo, hi := domain([]Estimate{w.Measured, w.Expected, w.Rest})
	from, to := 14.0, float64(width)-14
	if width.roomy() {
		from, to = 0.27*float64(width), 0.7*float64(width)
	}
	f := forest{canvas: c, x: scale{lo, hi, from, to}, top: 4, bottom: bottom, unit: w.Unit}
	f.axis()
	rows := []struct {
		label    string
		estimate Estimate
		bar      bool
	}{{"measured", w.Measured, false}, {"expected from weight", w.Expected, true}, {"not explained by weight", w.Rest, false}}
	for i, row := range rows {
		top := 8 + float64(rowHeight*float64(i))
		text, plot := top+20, top+36
		if width.roomy() {
			text, plot = top+22, top+17
		}
		f.label(0, text, float64(width)-170, row.label)
		f.words(float64(width), text, right, "value", row.estimate.Words(w.Decimals, w.Unit))
		if row.bar {
			f.bar(row.estimate, plot)
			continue
		}
		f.mark(row.estimate, w.Shoe, plot)
	}
	c.words(0, bottom+38, left, "small", w.Axis)
	return c.end()
}

// bar draws an expectation: from zero to its value, its range as a thin line.
func (f forest) bar(e Estimate, y float64) {
	if !units.Known(e.Value) {
		return
	}
	zero := f.x.at(0)
	value, _ := f.x.held(e.Value)
	f.rect("expected", math.Min(zero, value), y-6, math.Abs(value-zero), 12).at("fill-opacity", 0.45).done()
	if e.Bounded() {
		low, _ := f.x.held(e.Low)
		high, _ := f.x.held(e.High)
		f.line("range", low, y, high, y).done()
	}
}
