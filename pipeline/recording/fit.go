package recording

import (
	"fmt"
	"time"

	"github.com/muktihari/fit/kit/datetime"

	"soletrial/pipeline/trial"
)

// fitMark stands at byte 8 of every FIT file.
const fitMark = ".FIT"

// deviceRelative is the FIT date below which a timestamp counts from when the
// device was switched on instead of from 1989-12-31 (FIT protocol, date_time).
const deviceRelative = 0x10000000

// readFIT reads a FIT file: one or several sequences of header, messages and
// CRC. One session of it becomes the samples; the others are named in a warning.
func readFIT(name string, src []byte, o Options) (*Import, error) {
	imp := &Import{Format: "fit", Zone: o.Zone}
	sequences, unread, err := splitSequences(name, src, imp)
	if err != nil {
		return nil, err
	}
	var parts []part
	for _, s := range sequences {
		m := newMessages()
		unread += s.decode(m, imp)
		if err := m.dropOutliers(name, imp); err != nil {
			return nil, err
		}
		imp.nameIgnored(m)
		parts = append(parts, m.parts()...)
	}
	imp.Unread = float64(unread) / float64(len(src))
	chosen, err := choosePart(name, parts, o.Part, imp)
	if err != nil {
		return nil, err
	}
	imp.fill(chosen)
	return imp, nil
}

// fill turns one part into samples, laps and sources.
func (imp *Import) fill(p part) {
	m, first := p.messages, p.times()[0]
	imp.Samples = &trial.Samples{Elapsed: make([]float64, 0, len(p.times()))}
	for _, t := range p.times() {
		imp.Samples.Elapsed = append(imp.Samples.Elapsed, float64(int64(t)-int64(first)))
	}
	imp.Sources = append(imp.Sources,
		Source{Column: trial.ElapsedColumn, From: "record field 253 (timestamp)", Values: len(p.times())})
	imp.setStart(first)
	developer := m.developerColumns(p)
	for c := range trial.ChannelCount {
		imp.choose(m.nativeColumn(p, c), developer[c])
	}
	for _, d := range developer[trial.ChannelCount] {
		imp.drop("%s, %d values: no channel for it", d.from, count(d.values))
	}
	if positions := p.count(m.positions); positions > 0 {
		imp.drop("positions (%d samples)", positions)
	}
	// What is no sample.
	imp.Laps, imp.Pauses, imp.device = m.lapsOf(p, imp), m.pausesOf(p), m.device
	if len(m.timer) > 0 {
		imp.warnOfGaps()
	}
	if imp.Zone == nil && !imp.Start.IsZero() {
		imp.Zone = m.zone
	}
}

// dropOutliers leaves out the records whose time cannot be right, before the
// sessions are cut by time. The error is that of a file where nothing is right.
func (m *messages) dropOutliers(name string, imp *Import) error {
	seconds := make([]float64, len(m.times))
	for i, t := range m.times {
		seconds[i] = float64(t)
	}
	outlier, n := timeOutliers(seconds)
	if message := imp.judgeOutliers(n, seconds); message != "" {
		return fitError(name, outlierHint, "%s", message)
	}
	if n == 0 {
		return nil
	}
	m.times = without(m.times, outlier)
	m.positions = without(m.positions, outlier)
	for i := range m.native {
		m.native[i] = without(m.native[i], outlier)
	}
	for i := range m.developer {
		m.developer[i] = without(m.developer[i], outlier)
	}
	return nil
}

// setStart keeps the first timestamp as UTC, unless the device's clock was
// never set.
func (imp *Import) setStart(first uint32) {
	at := datetime.ToTime(first).UTC()
	if first < deviceRelative {
		imp.warn("the clock of the device was not set (its own count reads %s), so the time of day is not known",
			at.Format(time.RFC3339))
		return
	}
	imp.Start = at
}

// choose takes a channel from the record's own field where that has values,
// otherwise from the first developer field that has; the others are dropped by
// name. Two sensors are never mixed within one channel.
func (imp *Import) choose(native column, developer []column) {
	taken := native.useful()
	if taken {
		imp.take(native)
	}
	for _, d := range developer {
		switch {
		case taken:
			imp.drop("%s, %d values: %s is taken from elsewhere", d.from, count(d.values), d.channel.Info().Label)
		case d.useful():
			imp.take(d)
			taken = true
		}
	}
	if !taken && count(native.values) > 0 {
		imp.take(native) // all zero: the person may want to know
	}
}

// nameIgnored says which messages were not needed, with their counts.
func (imp *Import) nameIgnored(m *messages) {
	if text := m.ignoredText(); text != "" {
		imp.drop("messages without samples: %s", text)
	}
	if n := m.undescribed(); n > 0 {
		imp.drop("developer fields that nothing describes (%d)", n)
	}
	if m.untimed > 0 {
		imp.drop("%d samples without a time", m.untimed)
	}
}

func fitError(name, hint, format string, args ...any) *Error {
	return &Error{File: name, Message: fmt.Sprintf(format, args...), Hint: hint}
}
