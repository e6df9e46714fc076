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
	bottom := rowsFor(width).bottom(3)
	c := begin(w.Head, width, bottom+46)
	lo, hi := domain([]Estimate{w.Measured, w.Expected, w.Rest})
	f := newForest(c, width, 3, lo, hi)
	f.axis(3)
	for i, row := range []struct {
		label    string
		estimate Estimate
	}{{"measured", w.Measured}, {"expected from weight", w.Expected}, {"the rest", w.Rest}} {
		f.rowWords(i, row.label, row.estimate.Words(w.Decimals, w.Unit))
		if i == 1 {
			f.bar(row.estimate, f.rows.markY(i))
			continue
		}
		f.mark(row.estimate, w.Shoe, f.rows.markY(i))
	}
	c.words(0, bottom+38, left, "small", truncate(w.Axis, float64(width)))
	return c.end()
}

// bar draws an expectation: from zero to its value, its range as a thin line.
func (f forest) bar(e Estimate, y float64) {
	if !units.Known(e.Value) {
		return
	}
	zero := f.x.at(0)
	value, _ := f.x.clamp(e.Value)
	f.rect("expected", math.Min(zero, value), y-6, math.Abs(value-zero), 12).num("fill-opacity",
		0.45).selfClose()
	if e.Bounded() {
		low, _ := f.x.clamp(e.Low)
		high, _ := f.x.clamp(e.High)
		f.line("range", low, y, high, y).selfClose()
	}
}
