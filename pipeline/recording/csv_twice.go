package recording

import (
	"fmt"
	"slices"

	"soletrial/pipeline/trial"
)

// checkTwice refuses a heading that stands over several columns and is used, or
// would be if it stood over one: nobody can say which column is meant.
func (t *table) checkTwice(o Options) error {
	for index, text := range t.headings {
		if !slices.Contains(t.headings[index+1:], text) {
			continue
		}
		if key, source := t.useOf(text, o); key != "" {
			return t.fail(t.headLine, index,
				fmt.Sprintf("there are several columns %q for %s%s", text, key, source),
				"rename one of them in the file")
		}
	}
	return nil
}

// useOf returns what a heading is used for, and where that comes from when it is
// remembered; "" for one that is not used.
func (t *table) useOf(text string, o Options) (key, source string) {
	for c := range trial.ChannelCount {
		key := c.Info().Column
		if h, ok := t.channels[c]; ok && h.text == text {
			return key, t.sourceOf(key, text, o)
		}
		if named, _, ok := channelHeading(text); ok && named == c && t.channels[c].text == "" {
			return key, ""
		}
	}
	if t.elapsed != nil && t.elapsed.text == text {
		return trial.ElapsedColumn, t.sourceOf(trial.ElapsedColumn, text, o)
	}
	if t.clock != nil && t.clock.text == text {
		return "the date and time", ""
	}
	return "", ""
}

// sourceOf returns where the choice of a column comes from when it is remembered.
func (t *table) sourceOf(key, text string, o Options) string {
	if _, ok := o.Columns[key]; !ok && o.Remembered[key] == text {
		return remembered
	}
	return ""
}
