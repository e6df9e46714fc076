package view

import (
	"strconv"

	"soletrial/pipeline/units"
	"soletrial/viewer/app"
	"soletrial/viewer/tree"
)

// ownTrace is the whole recording with its blocks shaded, whose edges can be
// dragged; nil where no channel shows the effort. With the keyboard, the fields of
// the table do the same.
func ownTrace(m *app.Model, o *app.OwnRecording) *tree.Node {
	panel := o.Panel(m)
	if panel == nil {
		return nil
	}
	axis := newAxis(o.View())
	plot := plotArea(panel, axis, app.DoOwnCursor, app.DoOwnView).Set("id", "own-plot")

	// One shaded window for each block, with its number and two edges.
	for i, row := range o.Rows {
		begin, end, ok := row.Interval()
		if !ok {
			continue
		}
		end = min(end, max(begin, o.Span())) // rounded, it may be just after the last sample
		n := strconv.Itoa(i + 1)
		left, right := axis.clipped(begin), axis.clipped(end)
		plot.Add(
			tree.El("div class=window").Keyed("block "+n).Set("style", horizontal(left, right-left)),
			ownEdge(i, app.OwnStart, axis.percent(begin)), ownEdge(i, app.OwnEnd, axis.percent(end)))
		if right > left {
			number := tree.El("div class=number aria-hidden=true").Keyed("number " + n)
			plot.Add(number.Set("style", horizontal((left+right)/2, 0)).AddText(n))
		}
	}

	at, words := o.ValueAtCursor(m)
	if axis.shows(at) && words != "" {
		plot.Add(cursorLine(axis, at))
	}
	return tree.El("figure class=trace-figure id=own-trace").Keyed("trace").Add(
		tree.El("div class=trace-plot").Add(tree.El("div class=frame").SetFigure(panel.Frame), plot),
		ownZoom(o, axis), tree.El("figcaption class=quiet").Keyed("at").AddText(words))
}

// ownEdge is one end of a block, for pointers; nil out of view.
func ownEdge(row, cell int, percent float64) *tree.Node {
	if outside(percent) {
		return nil
	}
	edge := tree.El("div class=edge aria-hidden=true").Keyed("edge " + ownCell(row, cell))
	edge.Set("id", "own-edge-"+ownLabels[cell]+"-"+strconv.Itoa(row+1))
	return edge.Draggable(app.On(app.DoOwnEdge, ownCell(row, cell))).Set("style", horizontal(percent, 0))
}

// ownZoom changes the interval of the recording in view, and says which it is.
func ownZoom(o *app.OwnRecording, axis axis) *tree.Node {
	words := units.FormatClock(axis.from) + " to " + units.FormatClock(axis.to) + " from the start"
	buttons := zoomButtons("own-zoom-", app.DoOwnZoom, "Whole recording", axis, o.Span())
	return buttons.Set("aria-label", "Time in your recording").Add(tree.El("span class=in-view").AddText(words))
}
