package view

import (
	"cmp"
	"strconv"

	"soletrial/pipeline/figure"
	"soletrial/pipeline/units"
	"soletrial/viewer/app"
	"soletrial/viewer/tree"
)

// axis is the interval of time that a plot shows, in seconds.
type axis struct{ from, to float64 }

func newAxis(from, to float64) axis { return axis{from, to} }

// percent returns where a time is along the axis: 0 at its left end, 100 at its right.
func (a axis) percent(at float64) float64 { return 100 * (at - a.from) / (a.to - a.from) }

// clipped is percent, between 0 and 100.
func (a axis) clipped(at float64) float64 { return min(max(a.percent(at), 0), 100) }

func (a axis) shows(at float64) bool { return at >= a.from && at <= a.to }

// outside reports whether a place in percent is not on the axis, apart from rounding.
func outside(percent float64) bool { return percent < -0.01 || percent > 100.01 }

// horizontal is the style that places an element along an axis, in percent of it.
func horizontal(left, width float64) string {
	return "left:" + units.FormatDecimal(left, 3) + "%;width:" + units.FormatDecimal(width, 3) + "%"
}

// plotArea is the part of a panel between its axes, with the lines on a canvas. The
// pointer moves the cursor and the view by the two actions.
func plotArea(panel *figure.Panel, a axis, cursor, view string) *tree.Node {
	style := horizontal(panel.Left, panel.Width) +
		";top:" + app.FormatSeconds(panel.Top) + "%;height:" + app.FormatSeconds(panel.Height) + "%"
	lines := tree.El("canvas aria-hidden=true").Keyed("lines")
	lines.Paint = panel
	area := tree.El("div class=plot").TimeAxis(app.FormatSeconds(a.from), app.FormatSeconds(a.to), cursor, view)
	return area.Set("style", style).Add(lines)
}

func cursorLine(a axis, at float64) *tree.Node {
	return tree.El("div class=cursor").Keyed("cursor").Set("style", horizontal(a.percent(at), 0))
}

var zoomLabels = map[string]string{"in": "Zoom in", "out": "Zoom out", "left": "←", "right": "→"}

// zoomButtons has a button for each way to change the interval of a span that is
// shown, the last one back to the whole.
func zoomButtons(id, action, whole string, a axis, span float64) *tree.Node {
	row := tree.El("p class=buttons role=group").Keyed("zoom")
	all := a.to-a.from >= span
	useful := map[string]bool{
		"in": a.to-a.from > app.MinViewSeconds, "out": !all, "left": a.from > 0, "right": a.to < span, "all": !all,
	}
	for _, way := range app.Zooms {
		b := tree.El("button type=button").Set("id", id+way).Set("value", way)
		b.Set("aria-disabled", strconv.FormatBool(!useful[way])).On("click", action)
		row.Add(b.AddText(cmp.Or(zoomLabels[way], whole)))
	}
	return row
}
