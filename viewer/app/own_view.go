package app

import (
	"fmt"
	"math"

	"soletrial/pipeline/figure"
	"soletrial/pipeline/recording/segment"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// ownView is how the reader looks at their recording.
type ownView struct {
	view  [2]float64 // stretch in view; missing or zero for all
	at    float64    // where it is read; 0 for nowhere
	panel cachedPanel
}

// Span returns how long the recording is, s.
func (o *OwnRecording) Span() float64 {
	last := 0.0
	for _, at := range o.samples.Elapsed {
		last = math.Max(last, at)
	}
	return math.Max(last, MinViewSeconds)
}

// View returns the stretch of the recording in view, in seconds from its start.
func (o *OwnRecording) View() (from, to float64) {
	if v := o.view.view; v[1] > v[0] {
		return v[0], v[1]
	}
	return 0, o.Span()
}

// changeOwnView changes what is in view of the reader's own recording.
func (m *Model) changeOwnView(kind, value string) {
	if m.own != nil {
		m.own.changeView(kind, value)
	}
}

func (o *OwnRecording) changeView(kind, value string) {
	from, to := o.View()
	switch kind {
	case DoOwnZoom:
		from, to = zoomRange(value, from, to, units.Missing, o.Span())
		o.view.view = clampView(from, to, o.Span())
	case DoOwnView:
		c := AsPublished()
		if c.setView(value) {
			o.view.view = clampView(c.View[0], c.View[1], o.Span())
		}
	case DoOwnCursor:
		at, err := units.ParseDecimal(value)
		if o.view.at = math.Round(at); err != nil {
			o.view.at = 0
		}
	}
}

// ValueAtCursor returns the time that the recording is read at and, in words, what it reads
// there; 0 and "" for nowhere.
func (o *OwnRecording) ValueAtCursor(m *Model) (at float64, words string) {
	channel, recorded := segment.Effort(o.samples)
	if o.view.at == 0 || !recorded {
		return 0, ""
	}
	line := o.line(m, channel)
	words = units.FormatClock(o.view.at) + ", nothing recorded"
	if v := valueAt(&line, o.view.at); units.Known(v) {
		info := channel.Info()
		words = fmt.Sprintf("%s, %s %s %s", units.FormatClock(o.view.at), info.Label,
			figure.Plain(v, min(info.Decimals, 2)), m.Conversion(info.Unit).Unit)
	}
	return o.view.at, words
}

// ownGapS is the longest step between two samples that is drawn as a line.
const ownGapS = 10

func (o *OwnRecording) line(m *Model, channel trial.Channel) figure.TraceLine {
	values := converted(o.samples.Values[channel], m.Conversion(channel.Info().Unit))
	return figure.TraceLine{Seconds: o.samples.Elapsed, Values: values, Gap: ownGapS}
}

// Panel returns the whole recording's effort to paint and to zoom, the same one
// as long as nothing in it changes; nil where nothing tells effort, and of a table of laps.
func (o *OwnRecording) Panel(m *Model) *figure.Panel {
	channel, recorded := segment.Effort(o.samples)
	if !recorded || !o.HasSamples() {
		return nil
	}
	from, to := o.View()
	key := panelKey{width: m.Width, imperial: m.choice.Imperial, from: from, to: to}
	if o.view.panel.panel == nil || o.view.panel.key != key {
		info, span := channel.Info(), o.Span()
		trace := figure.Trace{
			Head: figure.Head{
				ID: "own-trace", Title: info.Label + " over your recording",
				Desc: "Your blocks are shaded; the table below has their times.",
			},
			Axis: info.Label + ", " + m.Conversion(info.Unit).Unit, Clock: "min:s from the start of the recording",
			Span: span, From: 0, To: span, Lines: []figure.TraceLine{o.line(m, channel)},
		}
		panel := trace.Panel(m.Width, from, to)
		o.view.panel = cachedPanel{key, &panel}
	}
	return o.view.panel.panel
}

// Interval returns where a row's block begins and ends; false while it does not.
func (r OwnBlock) Interval() (from, to float64, ok bool) {
	from, errFrom := parseClock(r.Cells[OwnStart])
	to, errTo := parseClock(r.Cells[OwnEnd])
	return from, to, errFrom == nil && errTo == nil && to > from
}
