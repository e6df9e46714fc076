package recording

import (
	"math"
	"strings"
	"time"

	"github.com/muktihari/fit/kit/datetime"

	"soletrial/pipeline/units"
)

// dateLayouts are the dates that are understood; those with a zone come first. A
// date with slashes that starts with the day or the month is not among them:
// nobody can tell which it is.
var dateLayouts = []struct {
	layout string
	zoned  bool
}{
	{time.RFC3339Nano, true},
	{"2006-01-02 15:04:05.999999999Z07:00", true},
	{"2006-01-02T15:04:05.999999999Z0700", true},
	{"2006-01-02 15:04:05.999999999 Z0700", true},
	{"2006-01-02 15:04:05.999999999 MST", true},
	{"2006-01-02T15:04:05.999999999", false},
	{"2006-01-02 15:04:05.999999999", false},
	{"2006/01/02 15:04:05.999999999", false},
	{"2.1.2006 15:04:05.999999999", false},
}

// dateReader reads a column of dates in the layout of its first value.
type dateReader struct {
	layout string
	zoned  bool
	first  time.Time
}

// newDateReader returns nil when first is no date.
func newDateReader(first string) *dateReader {
	for _, l := range dateLayouts {
		at, err := time.Parse(l.layout, first)
		if err != nil || l.zoned && strings.HasSuffix(l.layout, "MST") && at.Location() != time.UTC {
			continue // a zone by its letters means different zones in different places
		}
		return &dateReader{layout: l.layout, zoned: l.zoned, first: at}
	}
	return nil
}

func (d *dateReader) seconds(text string) (float64, bool) {
	at, err := time.Parse(d.layout, text)
	if err != nil {
		return units.Missing, false
	}
	return at.Sub(d.first).Seconds(), true
}

func (d *dateReader) finish(out *times, h heading, imp *Import) {
	out.said = "dates to seconds from the first"
	switch {
	case d.zoned:
		out.origin = d.first.UTC()
		imp.setZone(d.first)
		return
	case imp.Zone != nil:
		y, month, day := d.first.Date()
		hour, minute, second := d.first.Clock()
		out.origin = time.Date(y, month, day, hour, minute, second, d.first.Nanosecond(), imp.Zone).UTC()
		return
	}
	out.local = d.first
	imp.warn("time: %s has no time zone, so the UTC time of the start is not known; its clock reads %s",
		h.from(), d.first.Format("2006-01-02 15:04:05"))
}

// colonSeconds reads m:ss or h:mm:ss, with decimals of a second.
func colonSeconds(text string) (float64, bool) {
	text = strings.Replace(strings.TrimSpace(text), ",", ".", 1)
	fields := strings.Split(text, ":")
	if len(fields) < 2 || len(fields) > 3 {
		return units.Missing, false
	}
	total := 0.0
	for i, field := range fields {
		v, ok := foreignNumber(field, false)
		if !ok || v < 0 || i > 0 && v >= 60 || strings.HasPrefix(field, "-") {
			return units.Missing, false
		}
		total = float64(total*60) + v
	}
	return total, true
}

// finishColons makes times of day count from the first: one that starts an hour
// or more after zero is no count from the start. Midnight adds a day.
func finishColons(out *times) {
	const hour, day = 3600, 24 * 3600
	out.said = "h:mm:ss to seconds"
	first, last, days := units.Missing, 0.0, 0.0
	for i, s := range out.seconds {
		if !units.Known(s) {
			continue
		}
		if !units.Known(first) {
			if first, last = s, s; first >= hour {
				out.said = "time of day to seconds from the first"
			} else {
				return
			}
		}
		if s < last-day/2 {
			days++
		}
		last = s
		out.seconds[i] = s - first + float64(days*day)
	}
}

// Numbers from which on a time is a count since 1970 in seconds, milliseconds,
// microseconds or nanoseconds. Below deviceRelative it counts from the start.
const (
	fromMillis = 1e11
	fromMicros = 1e14
	fromNanos  = 1e17
	// A count of seconds below this would be before December 2009 since 1970, but
	// is after 2012 since the epoch of FIT, 1989-12-31.
	unixFrom = 1.26e9
)

// finishNumbers tells counts from the start from counts since an epoch.
func finishNumbers(out *times, h heading, imp *Import) {
	// The size of the first value tells the unit and the epoch.
	first := units.Missing
	for _, s := range out.seconds {
		if first = s; units.Known(s) {
			break
		}
	}
	scale := 1.0
	switch {
	case !(first >= deviceRelative):
		finishElapsed(out, h, imp)
		return
	case first >= fromNanos:
		scale = 1e9
	case first >= fromMicros:
		scale = 1e6
	case first >= fromMillis:
		scale = 1e3
	}
	// Count from the first.
	for i, s := range out.seconds {
		out.seconds[i] = (s - first) / scale
	}
	// The date of the first by its epoch.
	if first >= unixFrom {
		out.said = "time since 1970 to seconds from the first"
		whole, part := math.Modf(first / scale)
		out.origin = time.Unix(int64(whole), int64(units.Round(part, 6)*1e9)).UTC()
		return
	}
	out.said = "time since 1989-12-31 (the epoch of FIT) to seconds from the first"
	out.origin = datetime.ToTime(uint32(first)).UTC()
	imp.warn("time: %s was taken to count from 1989-12-31, as in FIT; counted from 1970 it would lie before 2010",
		h.from())
}

// finishElapsed scales a count from the start to seconds: as the heading says, or
// else as the usual step between rows tells.
func finishElapsed(out *times, h heading, imp *Import) {
	scale := h.scale
	if scale == 0 {
		scale = 1
		if step := usualStep(out.seconds); step >= 100 {
			scale = 1e-3
			imp.warn("time: %s states no unit; taken as milliseconds, since its usual step is %.4g", h.from(), step)
		}
	}
	if scale == 1 {
		return
	}
	for i, s := range out.seconds {
		if out.seconds[i] = s * scale; scale < 1 {
			out.seconds[i] = s / math.Round(1/scale)
		}
	}
	out.said = "to seconds"
}

// usualStep is the median of the steps from row to row.
func usualStep(seconds []float64) float64 {
	steps := make([]float64, 0, len(seconds))
	for i := 1; i < len(seconds); i++ {
		steps = append(steps, seconds[i]-seconds[i-1])
	}
	return median(steps)
}
