package view

import (
	"strconv"

	"soletrial/pipeline/units"
	"soletrial/viewer/app"
	"soletrial/viewer/tree"
)

// ownTrace is the whole recording with its blocks shaded, whose edges can be
// dragged; nil where nothing tells effort. The fields of the table are the same
// for the keyboard.
func ownTrace(m *app.Model, o *app.OwnRecording) *tree.Node {
	panel := o.Panel(m)
	if panel == nil {
		return nil
	}
	from, to := o.View()
	place := func(at float64) float64 { return 100 * (at - from) / (to - from) }
	plot := tree.El("div class=plot id=own-plot").TimeAxis(decimal(from), decimal(to), app.DoOwnCursor, app.DoOwnView).
		Set("style", box(panel.Left, panel.Width)+";top:"+decimal(panel.Top)+"%;height:"+decimal(panel.Height)+"%")
	plot.Add(&tree.Node{Tag: "canvas", Key: "lines", Attrs: []tree.Attr{{Name: "aria-hidden", Value: "true"}},
		Paint: panel})
	for i, row := range o.Rows {
		begin, end, ok := row.Interval()
		if !ok {
			continue
		}
		end = min(end, max(begin, o.Span())) // rounded, it may lie just behind the last sample
		n := strconv.Itoa(i + 1)
		left, right := min(max(place(begin), 0), 100), min(max(place(end), 0), 100)
		plot.Add(tree.El("div class=window").Keyed("block "+n).Set("style", box(left, right-left)),
			ownEdge(i, app.OwnStart, place(begin)), ownEdge(i, app.OwnEnd, place(end)))
		if right > left {
			plot.Add(tree.El("div class=number aria-hidden=true").Keyed("number "+n).Set("style",
				box((left+right)/2, 0)).AddText(n))
		}
	}
	at, words := o.ValueAtCursor(m)
	if at >= from && at <= to && words != "" {
		plot.Add(tree.El("div class=cursor").Keyed("cursor").Set("style", box(place(at), 0)))
	}
	return tree.El("figure class=trace-figure id=own-trace").Keyed("trace").Add(
		tree.El("div class=lens").Add(tree.El("div class=frame").SetFigure(panel.Frame), plot),
		ownZoom(o, from, to), tree.El("figcaption class=quiet").Keyed("at").AddText(words))
}

// ownEdge is one end of a block, for pointers; nil out of view.
func ownEdge(row, cell int, place float64) *tree.Node {
	if place < -0.01 || place > 100.01 {
		return nil
	}
	return tree.El("div class=edge aria-hidden=true").Keyed("edge "+ownCell(row, cell)).Set("id",
		"own-edge-"+ownLabels[cell]+"-"+strconv.Itoa(row+1)).
		Draggable(app.On(app.DoOwnEdge, ownCell(row, cell))).Set("style", box(place, 0))
}

// ownZoom changes the stretch of the recording in view, and says which it is.
func ownZoom(o *app.OwnRecording, from, to float64) *tree.Node {
	words := units.FormatClock(from) + " to " + units.FormatClock(to) + " from the start"
	return zoomButtons("own-zoom-", app.DoOwnZoom, "Whole recording", from, to, o.Span()).Set("aria-label",
		"Time in your recording").Add(tree.El("span class=in-view").AddText(words))
}
