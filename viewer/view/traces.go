package view

import (
	"cmp"
	"slices"
	"strconv"

	"soletrial/pipeline/english"
	"soletrial/pipeline/figure"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
	"soletrial/viewer/app"
	"soletrial/viewer/tree"
)

// traces is everything about the samples of the session looked at: which
// channels and sessions, which stretch of time, one panel for each channel, and
// what they read at the cursor.
func traces(m *app.Model) *tree.Node {
	part, recorded := tree.El("div").Keyed("traces"), m.RecordedChannels()
	if len(recorded) == 0 {
		return part.Add(tree.El("p").AddText("No recording: the means of the blocks were written down by hand."))
	}
	part.Add(channels(m, recorded), beside(m), lensButtons(m))
	handles := map[bool]bool{} // one pair of handles for heart rate and one for the rest is in the tab order
	for _, channel := range m.Channels() {
		if panel := m.Panel(channel); panel != nil {
			heart := channel == trial.HeartRateBpm
			part.Add(tree.El("figure class=trace-figure").Keyed("trace "+channel.Info().Column).Add(
				lens(m, channel, panel, !handles[heart]),
				saves(app.TraceID+channel.Info().Column, channel.Info().Label).Add(
					save("csv", app.TraceID+channel.Info().Column, "Save its data as CSV").Set("aria-label",
						"Save its data as CSV: "+channel.Info().Label))))
			handles[heart] = true
		}
	}
	return part.Add(legend(m), readings(m))
}

// beside chooses the sessions that are sessions over the one looked at.
func beside(m *app.Model) *tree.Node {
	set := tree.El("fieldset class=channels").Keyed("beside").Add(tree.El("legend").AddText("Lay over them the " +
		"blocks of up to " + strconv.Itoa(app.MaxOverlaid) + " more sessions"))
	chosen, looked := m.Choice().Overlaid, m.Session()
	for i, id := range m.SessionIDs() {
		if s := m.Dataset.Session(id); s == looked || s != nil && len(s.Facts.Recordings) == 0 {
			continue
		}
		box := tree.El("input type=checkbox").Set("id", "beside-"+strconv.Itoa(i+1)).SetIf("checked",
			slices.Contains(chosen, id)).
			On("change", app.On(app.DoOverlay, id))
		set.Add(tree.El("label").Keyed(id).Add(box).AddText(" " + figure.Visible(id)))
	}
	if len(set.Children) == 1 {
		return nil
	}
	return tree.El("details class=beside").Keyed("beside").Add(tree.El("summary").AddText("Other sessions over this one"), set)
}

var zoomLabels = map[string]string{"in": "Closer", "out": "Further", "left": "Earlier", "right": "Later"}

// lensButtons change the stretch of time in view, and say which it is.
func lensButtons(m *app.Model) *tree.Node {
	from, to := m.View()
	return zoomButtons("zoom-", app.DoZoom, "Whole blocks", from, to, m.Span()).Set("aria-label", "Time").Add(
		tree.El("span class=in-view id=in-view").AddText(units.FormatClock(from) + " to " + units.FormatClock(to) +
			" from block start"))
}

// zoomButtons has a button for each way to zoom from a stretch of a span, the last
// one back to the whole.
func zoomButtons(id, action, all string, from, to, span float64) *tree.Node {
	row := tree.El("p class=buttons role=group").Keyed("zoom")
	whole := to-from >= span
	useful := map[string]bool{"in": to-from > 5, "out": !whole, "left": from > 0, "right": to < span, "all": !whole}
	for _, way := range app.Zooms {
		row.Add(tree.El("button type=button").Set("id", id+way).Set("value", way).Set("aria-disabled",
			strconv.FormatBool(!useful[way])).
			On("click", action).AddText(cmp.Or(zoomLabels[way], all)))
	}
	return row
}

// lens is one channel: its frame, its lines on a canvas, and above them, on a
// layer of their own, the steady window with its two edges and the cursor.
func lens(m *app.Model, channel trial.Channel, panel *figure.Panel, inOrder bool) *tree.Node {
	from, to := m.View()
	plot := tree.El("div class=plot").TimeAxis(decimal(from), decimal(to), app.DoCursor, app.DoView).
		Set("style", box(panel.Left, panel.Width)+";top:"+decimal(panel.Top)+"%;height:"+decimal(panel.Height)+"%")
	place := func(at float64) float64 { return 100 * (at - from) / (to - from) }
	begin, end := m.Window(channel)
	shaded := [2]float64{min(max(place(begin), 0), 100), min(max(place(end), 0), 100)}
	plot.Add(
		&tree.Node{Tag: "canvas", Key: "lines", Attrs: []tree.Attr{{Name: "aria-hidden", Value: "true"}}, Paint: panel},
		tree.El("div class=window").Keyed("window").Set("style", box(shaded[0], max(0, shaded[1]-shaded[0]))))
	head := app.TrimStart
	if channel == trial.HeartRateBpm {
		head = app.HeartRateTrimStart
	}
	plot.Add(edge(m, channel, head, begin, place(begin), inOrder),
		edge(m, channel, app.TrimEnd, end, place(end), inOrder))
	if at := m.Cursor(); at >= from && at <= to {
		plot.Add(tree.El("div class=cursor").Keyed("cursor").Set("style", box(place(at), 0)))
	}
	return tree.El("div class=lens").Add(tree.El("div class=frame").SetFigure(panel.Frame), plot)
}

// edge is one end of the steady window; nil out of view. Those in the tab order
// are sliders, the others the same for pointers only.
func edge(m *app.Model, channel trial.Channel, part app.TrimPart, at, place float64, inOrder bool) *tree.Node {
	if place < -0.01 || place > 100.01 {
		return nil
	}
	node := tree.El("div class=edge").Keyed("edge "+part.Key()).Draggable(app.On(app.DoEdge, part.Key())).Set("style",
		box(place, 0))
	if !inOrder {
		return node.Set("aria-hidden", "true")
	}
	label, words := "Steady window begins", decimal(at)+" seconds after block start"
	if part == app.TrimEnd {
		label, words = "Steady window ends", decimal(m.Span()-at)+" seconds before block end"
	}
	if channel == trial.HeartRateBpm {
		label += ", heart rate"
	}
	return node.Set("role", "slider").Set("tabindex", "0").Set("id",
		"edge-"+channel.Info().Column+"-"+part.Key()).Set("aria-label", label).
		Set("aria-valuemin", "0").Set("aria-valuemax", decimal(m.Span())).Set("aria-valuenow",
		decimal(at)).Set("aria-valuetext", words)
}

// box places something along a lens, in percent of it.
func box(left, width float64) string {
	return "left:" + units.FormatDecimal(left, 3) + "%;width:" + units.FormatDecimal(width, 3) + "%"
}

func decimal(x float64) string { return app.FormatSeconds(x) }

// legend says which line is which shoe.
func legend(m *app.Model) *tree.Node {
	line := tree.El("p class=legend").Keyed("legend")
	var seen []string
	for _, s := range m.OverlaidSessions() {
		for _, b := range s.Blocks {
			if !slices.Contains(seen, b.Shoe) {
				seen = append(seen, b.Shoe)
				line.Add(tree.El("span").Keyed(b.Shoe).Add(swatch(m,
					b.Shoe)).AddText(figure.Letter(m.ShoeIndex(b.Shoe)) + "  " + m.ShoeLabel(b.Shoe)))
			}
		}
	}
	return line.AddText("Thin lines are blocks that do not count.")
}

// readings is the cursor as a slider and a table of what every block reads there.
func readings(m *app.Model) *tree.Node {
	at, span := m.Cursor(), m.Span()
	value := "0"
	if units.Known(at) {
		value = decimal(at)
	}
	part := tree.El("div class=trim").Keyed("cursor").Add(
		tree.El("label for=cursor-at").AddText("Read the traces at, seconds from block start"),
		tree.El("input type=number min=0 step=any inputmode=decimal id=cursor-at").Set("value",
			app.FormatSeconds(at)).On("input", app.DoCursor),
		tree.El("input type=range min=0 step=1 id=cursor-slider aria-label=Cursor").Set("max",
			decimal(span)).Set("value", value).On("input", app.DoCursor))
	list := m.CursorValues()
	if list == nil {
		return tree.El("div").Keyed("readings").Add(part)
	}
	columns := []string{"Session", "Block", "Shoe"}
	for _, channel := range m.Channels() {
		columns = append(columns, english.Capitalise(channel.Info().Label)+", "+m.Conversion(channel.Info().Unit).Unit)
	}
	body := tree.El("tbody")
	for _, r := range list {
		row := tree.El("tr").Keyed(r.Session+"/"+r.Block).Add(tree.El("td").AddText(figure.Visible(r.Session)),
			tree.El("th scope=row").AddText(figure.Visible(r.Block)), tree.El("td").AddText(m.ShoeLabel(r.Shoe)))
		for i, channel := range m.Channels() {
			row.Add(tree.El("td").AddText(cell(r.Values[i], min(channel.Info().Decimals, 3))))
		}
		body.Add(row)
	}
	return tree.El("div").Keyed("readings").Add(part,
		scrollable("Table of readings", tree.El("table id=readings-table").Add(
			caption("What every block reads "+units.FormatClock(at)+" after its start"), headings(columns...), body)))
}
