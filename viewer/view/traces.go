package view

import (
	"slices"
	"strconv"

	"soletrial/pipeline/english"
	"soletrial/pipeline/figure"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
	"soletrial/viewer/app"
	"soletrial/viewer/tree"
)

// traces is everything about the samples of the session shown: which channels and
// sessions, which interval of time, one plot for each channel, and the values at the
// cursor.
func traces(m *app.Model) *tree.Node {
	part, recorded := tree.El("div").Keyed("traces"), m.RecordedChannels()
	if len(recorded) == 0 {
		return part.Add(tree.El("p").AddText("No recording: the block means were typed in."))
	}
	part.Add(channels(m, recorded), overlays(m), traceZoom(m))
	focusable := map[bool]bool{true: true, false: true} // by whether it is heart rate: one pair of edges for each
	for _, channel := range m.Channels() {
		panel := m.Panel(channel)
		if panel == nil {
			continue
		}
		heart := channel == trial.HeartRateBpm
		part.Add(traceFigure(m, channel, panel, focusable[heart]))
		focusable[heart] = false
	}
	return part.Add(legend(m), cursorValues(m))
}

func traceFigure(m *app.Model, channel trial.Channel, panel *figure.Panel, focusable bool) *tree.Node {
	info := channel.Info()
	id, label := app.TraceID+info.Column, "Save its data as CSV"
	csv := saveButton("csv", id, label).Set("aria-label", label+": "+info.Label)
	return tree.El("figure class=trace-figure").Keyed("trace "+info.Column).Add(
		tracePlot(m, channel, panel, focusable), saveButtons(id, info.Label).Add(csv))
}

// overlays chooses the sessions whose blocks are drawn over those of the one shown.
func overlays(m *app.Model) *tree.Node {
	legend := "Add the blocks of up to " + strconv.Itoa(app.MaxOverlaid) + " more sessions"
	set := tree.El("fieldset class=channels").Keyed("beside").Add(tree.El("legend").AddText(legend))
	chosen, shown := m.Choice().Overlaid, m.Session()
	for i, id := range m.SessionIDs() {
		if s := m.Dataset.Session(id); s == shown || s != nil && len(s.Facts.Recordings) == 0 {
			continue
		}
		box := tree.El("input type=checkbox").Set("id", "beside-"+strconv.Itoa(i+1))
		box.SetIf("checked", slices.Contains(chosen, id)).On("change", app.On(app.DoOverlay, id))
		set.Add(tree.El("label").Keyed(id).Add(box).AddText(" " + figure.Visible(id)))
	}
	if len(set.Children) == 1 {
		return nil // the legend alone
	}
	summary := tree.El("summary").AddText("Other sessions")
	return tree.El("details class=beside").Keyed("beside").Add(summary, set)
}

// traceZoom changes the interval of time in view, and says which it is.
func traceZoom(m *app.Model) *tree.Node {
	a := newAxis(m.View())
	words := units.FormatClock(a.from) + " to " + units.FormatClock(a.to) + " from block start"
	return zoomButtons("zoom-", app.DoZoom, "Whole blocks", a, m.Span()).Set("aria-label", "Time").Add(
		tree.El("span class=in-view id=in-view").AddText(words))
}

// tracePlot is one channel: its frame, its lines on a canvas, and above them, on a
// layer of their own, the steady window with its two edges and the cursor.
func tracePlot(m *app.Model, channel trial.Channel, panel *figure.Panel, focusable bool) *tree.Node {
	a := newAxis(m.View())
	plot := plotArea(panel, a, app.DoCursor, app.DoView)

	// The steady window. Heart rate has a trim of its own at the start.
	begin, end := m.Window(channel)
	left, right := a.clipped(begin), a.clipped(end)
	start := app.TrimStart
	if channel == trial.HeartRateBpm {
		start = app.HeartRateTrimStart
	}
	plot.Add(
		tree.El("div class=window").Keyed("window").Set("style", horizontal(left, max(0, right-left))),
		windowEdge(m, channel, start, a, begin, focusable), windowEdge(m, channel, app.TrimEnd, a, end, focusable))

	if at := m.Cursor(); a.shows(at) {
		plot.Add(cursorLine(a, at))
	}
	return tree.El("div class=trace-plot").Add(tree.El("div class=frame").SetFigure(panel.Frame), plot)
}

// windowEdge is one end of the steady window; nil out of view. A focusable one is a
// slider, the others are the same for pointers only.
func windowEdge(m *app.Model, channel trial.Channel, part app.TrimPart, a axis, at float64, focusable bool) *tree.Node {
	if outside(a.percent(at)) {
		return nil
	}
	edge := tree.El("div class=edge").Keyed("edge " + part.Key()).Draggable(app.On(app.DoEdge, part.Key()))
	edge.Set("style", horizontal(a.percent(at), 0))
	if !focusable {
		return edge.Set("aria-hidden", "true")
	}

	label, words := "Steady window begins", app.FormatSeconds(at)+" seconds after block start"
	if part == app.TrimEnd {
		label, words = "Steady window ends", app.FormatSeconds(m.Span()-at)+" seconds before block end"
	}
	if channel == trial.HeartRateBpm {
		label += ", heart rate"
	}
	edge.Set("role", "slider").Set("tabindex", "0").Set("id", "edge-"+channel.Info().Column+"-"+part.Key())
	edge.Set("aria-label", label).Set("aria-valuemin", "0").Set("aria-valuemax", app.FormatSeconds(m.Span()))
	return edge.Set("aria-valuenow", app.FormatSeconds(at)).Set("aria-valuetext", words)
}

// legend says which line is which shoe.
func legend(m *app.Model) *tree.Node {
	line := tree.El("p class=legend").Keyed("legend")
	var seen []string
	for _, s := range m.OverlaidSessions() {
		for _, b := range s.Blocks {
			if slices.Contains(seen, b.Shoe) {
				continue
			}
			seen = append(seen, b.Shoe)
			label := figure.Letter(m.ShoeIndex(b.Shoe)) + "  " + m.ShoeLabel(b.Shoe)
			line.Add(tree.El("span").Keyed(b.Shoe).Add(swatch(m, b.Shoe)).AddText(label))
		}
	}
	return line.AddText("Thin lines are excluded blocks.")
}

// cursorValues is the cursor as a slider, and a table of every block's values there.
func cursorValues(m *app.Model) *tree.Node {
	at := m.Cursor()
	slider := "0"
	if units.Known(at) {
		slider = app.FormatSeconds(at)
	}
	control := tree.El("div class=trim").Keyed("cursor").Add(
		tree.El("label for=cursor-at").AddText("Read the traces at (seconds from block start)"),
		secondsInput("cursor-at", at).On("input", app.DoCursor),
		tree.El("input type=range min=0 step=1 id=cursor-slider aria-label=Cursor").
			Set("max", app.FormatSeconds(m.Span())).Set("value", slider).On("input", app.DoCursor))
	values := m.CursorValues()
	if values == nil {
		return tree.El("div").Keyed("readings").Add(control)
	}

	// One row for each block, one column for each channel.
	columns := []string{"Session", "Block", "Shoe"}
	for _, channel := range m.Channels() {
		columns = append(columns, english.Capitalise(channel.Info().Label)+", "+m.Conversion(channel.Info().Unit).Unit)
	}
	body := tree.El("tbody")
	for _, v := range values {
		row := tree.El("tr").Keyed(v.Session+"/"+v.Block).Add(
			cell(figure.Visible(v.Session)), tree.El("th scope=row").AddText(figure.Visible(v.Block)),
			cell(m.ShoeLabel(v.Shoe)))
		for i, channel := range m.Channels() {
			row.Add(cell(numberText(v.Values[i], min(channel.Info().Decimals, 3))))
		}
		body.Add(row)
	}
	table := tree.El("table id=readings-table").Add(
		caption("What every block reads "+units.FormatClock(at)+" after its start"), headings(columns...), body)
	return tree.El("div").Keyed("readings").Add(control, scrollable("Table of values at the cursor", table))
}
