package recording

import (
	"fmt"
	"slices"
	"strings"

	"soletrial/pipeline/trial"
)

// heading is a chosen column: where it stands, and its unit if that is stated.
type heading struct {
	index int
	text  string
	unit  *unit
	scale float64 // of a time column: seconds per unit; 0 when not stated
}

func (h heading) from() string { return fmt.Sprintf("column %q", h.text) }

// elapsedWords and clockWords are headings of time, the most telling first. The
// former count from the start, the latter may be times of day or dates; what
// they really are is judged by their values.
var (
	elapsedWords = []string{
		"elapsed_s", "elapsed", "elapsed_seconds", "elapsed_time", "seconds", "secs", "sec", "time_s", "timer", "t",
	}
	clockWords = []string{
		"date_time", "datetime", "time_utc", "timestamp_utc", "utc", "posix_timestamp", "unix_timestamp", "unix_time",
		"unix", "epoch", "timestamp", "time", "date",
	}
)

// timeUnits are the units of a time that counts, in seconds.
var timeUnits = map[string]float64{"s": 1, "sec": 1, "second": 1, "seconds": 1, "ms": 1e-3, "msec": 1e-3,
	"milliseconds": 1e-3, "us": 1e-6, "µs": 1e-6, "min": 60, "minutes": 60, "h": 3600}

// positionWords are headings of positions, which are dropped by name.
var positionWords = []string{"lat", "latitude", "position_lat", "lon", "long", "lng", "longitude", "position_long"}

// findHeadings returns which of the first records holds the headings: the one in
// which most is recognised, the first of them where several are equal.
func findHeadings(records []record, o Options) int {
	best, bestScore := 0, 0
	for i, r := range records {
		score := 0
		if i > 0 && onlyUnits(r.cells) && isUnitRow(records[i-1].cells) &&
			len(r.cells) == len(records[i-1].cells) {
			continue // a row of units under the headings
		}
		for _, text := range r.cells {
			score += headingScore(strings.TrimSpace(text), o)
		}
		if score > bestScore {
			best, bestScore = i, score
		}
	}
	return best
}

func headingScore(text string, o Options) int {
	for _, wanted := range o.Columns {
		if wanted == text {
			return searchedRecords // a mapped heading outweighs any number of words
		}
	}
	for _, wanted := range o.Remembered {
		if wanted == text {
			return searchedRecords
		}
	}
	if _, _, ok := channelHeading(text); ok || isTimeHeading(text) {
		return 1
	}
	return 0
}

func isTimeHeading(text string) bool {
	name, _ := splitUnit(text)
	return slices.Contains(elapsedWords, plain(text)) || slices.Contains(clockWords, plain(text)) ||
		slices.Contains(elapsedWords, plain(name)) || slices.Contains(clockWords, plain(name))
}

// isUnitRow reports whether a record under the headings holds units: some cell
// is text and none is a number or a time.
func isUnitRow(cells []string) bool {
	words := 0
	for _, text := range cells {
		text = strings.TrimSpace(text)
		if missingWord(text) {
			continue
		}
		if strings.ContainsAny(text, "0123456789") && !strings.ContainsAny(text, "/^") {
			return false
		}
		words++
	}
	return words > 0
}

// splitUnit cuts a unit in brackets off a heading: "Speed (km/h)", "speed [m/s]".
func splitUnit(text string) (name, unitText string) {
	open := strings.LastIndexAny(text, "([")
	if open < 0 || !strings.HasSuffix(text, ")") && !strings.HasSuffix(text, "]") {
		return text, ""
	}
	return strings.TrimSpace(text[:open]), strings.TrimSpace(text[open+1 : len(text)-1])
}

// channelHeading returns the channel that a heading names by itself, and the
// unit that it states, if any: "hr", "Heart rate (bpm)", "speed_kmh".
func channelHeading(text string) (trial.Channel, *unit, bool) {
	name, unitText := splitUnit(text)
	if c, ok := channelCalled(name); ok {
		if name == c.Info().Column {
			return c, &unitTable[c][0], true
		}
		return c, unitNamed(c, unitText), true
	}
	words := strings.Split(plain(name), "_")
	for tail := 1; tail <= 2 && tail < len(words); tail++ {
		c, ok := channelCalled(strings.Join(words[:len(words)-tail], "_"))
		if !ok {
			continue
		}
		if u := unitNamed(c, strings.Join(words[len(words)-tail:], "_")); u != nil {
			return c, u, true
		}
	}
	return 0, nil, false
}

// statedUnit returns the unit that a mapped heading states for its channel.
func statedUnit(c trial.Channel, text string) *unit {
	name, unitText := splitUnit(text)
	if unitText != "" {
		return unitNamed(c, unitText)
	}
	words := strings.Split(plain(name), "_")
	for tail := min(2, len(words)-1); tail > 0; tail-- {
		if u := unitNamed(c, strings.Join(words[len(words)-tail:], "_")); u != nil {
			return u
		}
	}
	return nil
}

// timeScale returns the seconds per unit that a time heading states, or 0.
func timeScale(text, unitRow string) float64 {
	_, unitText := splitUnit(text)
	if scale, ok := timeUnits[strings.ToLower(unitText)]; ok {
		return scale
	}
	if scale, ok := timeUnits[strings.ToLower(strings.TrimSpace(unitRow))]; ok {
		return scale
	}
	words := strings.Split(plain(text), "_")
	if len(words) < 2 {
		return 0
	}
	return timeUnits[words[len(words)-1]]
}
