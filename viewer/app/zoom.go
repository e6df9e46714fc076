package app

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"soletrial/pipeline/figure"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Zooms are the values of [DoZoom].
var Zooms = []string{"in", "out", "left", "right", "all"}

// MinViewSeconds is the shortest stretch of time that fills a trace, s.
const MinViewSeconds = 5

// OverlaidSessions lists the sessions whose blocks are drawn over each other, the one looked
// at first.
func (m *Model) OverlaidSessions() []*trial.Session {
	var sessions []*trial.Session
	if s := m.Session(); s != nil {
		sessions = append(sessions, s)
	}
	for _, id := range m.choice.Overlaid {
		if s := m.Dataset.Session(id); s != nil && !slices.Contains(sessions, s) {
			sessions = append(sessions, s)
		}
	}
	return sessions
}

// overlay puts a session's traces over those of the one shown, or takes them
// away.
func (m *Model) overlay(session string, on bool) {
	beside := slices.DeleteFunc(slices.Clone(m.choice.Overlaid), func(id string) bool { return id == session })
	if on && slices.Contains(m.SessionIDs(), session) {
		if beside = append(beside, session); len(beside) > MaxOverlaid {
			m.Notice = fmt.Sprintf("At most %d more sessions are drawn with this one; remove one first.",
				MaxOverlaid)
			return
		}
	}
	m.choice.Overlaid = beside
}

// Span returns the length of the longest block in view, s.
func (m *Model) Span() float64 {
	span := 0.0
	for _, s := range m.OverlaidSessions() {
		for i := range s.Blocks {
			if length := s.Blocks[i].Duration(); length > span {
				span = length
			}
		}
	}
	return math.Max(span, MinViewSeconds)
}

// Window returns where the steady window of the longest block in view begins and
// ends under the reader's choice, in seconds from block start.
func (m *Model) Window(channel trial.Channel) (from, to float64) {
	return m.Trim().Trimmed(0, m.Span(), channel == trial.HeartRateBpm)
}

// View returns the stretch of time in view, in seconds from block start.
func (m *Model) View() (from, to float64) {
	if span := m.Span(); units.Known(m.choice.View[0]) && m.choice.View[0] < span {
		return m.choice.View[0], math.Min(m.choice.View[1], span)
	}
	return 0, m.Span()
}

// Cursor returns the time that values are read at, in seconds from block start;
// missing for none.
func (m *Model) Cursor() float64 { return m.cursor }

// changeView changes what is in view.
func (m *Model) changeView(kind, value string) {
	switch kind {
	case DoZoom:
		m.zoom(value)
	case DoView:
		if c := m.choice; c.setView(value) {
			m.setView(c.View[0], c.View[1])
		}
	case DoCursor:
		if at, err := units.ParseDecimal(value); err == nil || value == "" {
			m.cursor = units.Round(math.Min(math.Max(at, 0), m.Span()), 1)
		}
		if value == "" {
			m.cursor = units.Missing
		}
	}
}

func (m *Model) zoom(way string) {
	from, to := m.View()
	m.setView(zoomRange(way, from, to, m.cursor, m.Span()))
}

// zoomRange returns the stretch that one of [Zooms] leads to, about the cursor where
// it is in view.
func zoomRange(way string, from, to, cursor, span float64) (float64, float64) {
	width, centre := to-from, (from+to)/2
	if cursor >= from && cursor <= to {
		centre = cursor
	}
	switch way {
	case "in":
		return centre - width/4, centre + width/4
	case "out":
		return centre - width, centre + width
	case "left":
		return from - width/4, to - width/4
	case "right":
		return from + width/4, to + width/4
	case "all":
		return 0, span
	}
	return from, to
}

// setView brings a stretch into view, moved and cut to what there is.
func (m *Model) setView(from, to float64) { m.choice.View = clampView(from, to, m.Span()) }

// clampView returns a stretch moved and cut to a span, missing for all of it.
func clampView(from, to, span float64) [2]float64 {
	width := math.Min(math.Max(to-from, MinViewSeconds), span)
	from = math.Min(math.Max((from+to-width)/2, 0), span-width)
	if width >= span {
		return [2]float64{units.Missing, units.Missing}
	}
	return [2]float64{units.Round(from, 1), units.Round(from+width, 1)}
}

// moveEdge moves where the window of the longest block in view begins or ends.
func (m *Model) moveEdge(key, value string) {
	part, known := trimPartNamed(key)
	at, err := units.ParseDecimal(value)
	if !known || err != nil {
		return
	}
	cut := math.Round(at)
	if part == TrimEnd {
		cut = math.Round(m.Span() - at)
	}
	m.setTrim(key, FormatSeconds(math.Min(math.Max(cut, 0), m.Span())))
}

// panelKey is what a panel was made from.
type panelKey struct {
	width    figure.Width
	imperial bool
	from, to float64
	session  string
	beside   [MaxOverlaid]string
	excluded string // of every line, x for one that is
}

// cachedPanel is a panel with what it was made from.
type cachedPanel struct {
	key   panelKey
	panel *figure.Panel
}

func (m *Model) panelKey(lines []figure.TraceLine) panelKey {
	key := panelKey{width: m.Width, imperial: m.choice.Imperial, session: m.choice.Session}
	key.from, key.to = m.View()
	copy(key.beside[:], m.choice.Overlaid)
	for _, line := range lines {
		mark := "."
		if line.Excluded {
			mark = "x"
		}
		key.excluded += mark
	}
	return key
}

// Panel returns the trace of a channel to paint and to zoom, the same one as long
// as nothing in it changes; nil when it was not recorded. Its vertical scale does
// not move with the window.
func (m *Model) Panel(channel trial.Channel) *figure.Panel {
	trace, ok := m.Trace(channel)
	if !ok {
		return nil
	}
	key := m.panelKey(trace.Lines)
	cached := m.panels[channel]
	if cached.panel == nil || cached.key != key {
		published := m.Dataset.Facts.Method.Trim
		trace.From, trace.To = published.Trimmed(0, trace.Span, channel == trial.HeartRateBpm)
		panel := trace.Panel(m.Width, key.from, key.to)
		cached = cachedPanel{key, &panel}
		m.panels[channel] = cached
	}
	return cached.panel
}

// BlockValues is what the channels in view read in one block at the cursor; missing
// where nothing was recorded.
type BlockValues struct {
	Session, Block, Shoe string
	Values               []float64 // in the order of [Model.Channels]
}

// CursorValues lists what is read at the cursor, nothing when it is nowhere.
func (m *Model) CursorValues() []BlockValues {
	if !units.Known(m.cursor) {
		return nil
	}
	var readings []BlockValues
	for _, s := range m.OverlaidSessions() {
		first := len(readings)
		for _, b := range s.Blocks {
			readings = append(readings, BlockValues{Session: s.ID, Block: b.ID, Shoe: b.Shoe})
		}
		for _, channel := range m.Channels() {
			lines, ok := m.traceLines(s, channel)
			for i := range s.Blocks {
				value := units.Missing
				if ok {
					value = valueAt(&lines[i], m.cursor)
				}
				readings[first+i].Values = append(readings[first+i].Values, value)
			}
		}
	}
	return readings
}

// valueAt returns the last sample at or before a time, unless that lies further
// back than a gap.
func valueAt(l *figure.TraceLine, at float64) float64 {
	i := sort.Search(len(l.Seconds), func(i int) bool { return l.Seconds[i] > at }) - 1
	if i < 0 || at-l.Seconds[i] > l.Gap {
		return units.Missing
	}
	return l.Values[i]
}
