package recording

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"soletrial/pipeline/english"
	"soletrial/pipeline/trial"
)

// checkColumnNames refuses a column map whose keys are no channels.
func checkColumnNames(name string, columns map[string]string) error {
	known := []string{trial.ElapsedColumn}
	for c := range trial.ChannelCount {
		known = append(known, c.Info().Column)
	}
	for _, key := range slices.Sorted(maps.Keys(columns)) {
		if !slices.Contains(known, key) {
			return &Error{
				File:    name,
				Message: fmt.Sprintf("the column map names %q, which is no channel%s", key, didYouMean(key, known)),
				Hint:    "the channels are " + strings.Join(known, ", "),
			}
		}
	}
	return nil
}

// choose decides which column holds what: the map first, then the headings that
// speak for themselves.
func (t *table) choose(o Options, imp *Import) error {
	// What the person mapped comes first, then what was mapped before, then headings.
	t.channels = map[trial.Channel]heading{}
	taken := map[int]bool{}
	for _, key := range slices.Sorted(maps.Keys(o.Columns)) {
		if err := t.chooseMapped(key, o.Columns[key], taken, imp); err != nil {
			return err
		}
	}
	if err := t.chooseRemembered(o, taken, imp); err != nil {
		return err
	}
	t.chooseNamed(taken, imp)
	t.chooseTime(taken)
	// Refuse what cannot be used, with the map to write.
	if err := t.checkTwice(o); err != nil {
		return err
	}
	if len(t.channels) == 0 {
		return t.unknown("none of the columns is known: "+quoted(t.headings)+notThere(o),
			"power_w="+quoteArgument(t.example()))
	}
	if t.elapsed == nil {
		return t.unknown("no column is known to be the time: "+quoted(t.headings)+notThere(o),
			"elapsed_s="+quoteArgument(cmp.Or(cmp.Or(t.headings...), "COLUMN")))
	}
	t.nameUnmapped(taken, imp)
	imp.Columns = &Columns{t.headings, t.chosen()}
	return nil
}

// unknown is the error for a table whose headings do not tell which column holds what. The
// example is of a map that does.
func (t *table) unknown(message, example string) *Error {
	suggestions := t.suggestions()
	columns := &Columns{t.headings, t.chosen()}
	for _, s := range suggestions {
		columns.Chosen[s.key] = s.heading
	}
	err := t.fail(t.headLine, -1, message, mapHint(suggestions, example))
	if err.Columns = columns; t.form {
		err.Hint = "choose the columns below"
	}
	return err
}

// chosen maps what is chosen so far to its headings.
func (t *table) chosen() map[string]string {
	chosen := map[string]string{}
	for c, h := range t.channels {
		chosen[c.Info().Column] = h.text
	}
	if t.elapsed != nil {
		chosen[trial.ElapsedColumn] = t.elapsed.text
	}
	return chosen
}

func (t *table) chooseMapped(key, wanted string, taken map[int]bool, imp *Import) error {
	index := slices.Index(t.headings, wanted)
	if index < 0 {
		return t.fail(t.headLine, -1,
			fmt.Sprintf("there is no column %q for %s%s", wanted, key, didYouMean(wanted, t.headings)),
			"the columns are "+quoted(t.headings))
	}
	taken[index] = true
	if key == trial.ElapsedColumn {
		t.elapsed = t.timeHeading(index)
		return nil
	}
	c, _ := trial.ChannelNamed(key)
	t.channels[c] = heading{index: index, text: wanted, unit: t.unitOf(c, index, statedUnit(c, wanted), imp)}
	return nil
}

// chooseNamed takes the columns whose headings name a channel that is not mapped
// already. The channel's own column name is certain; of other words there must
// be only one.
func (t *table) chooseNamed(taken map[int]bool, imp *Import) {
	// Every column whose heading is a channel's own name, or one of its words.
	candidates := map[trial.Channel][]int{}
	for i, text := range t.headings {
		c, _, ok := channelHeading(t.meaning(text))
		if _, mapped := t.channels[c]; !ok || mapped || taken[i] {
			continue
		}
		if text == c.Info().Column {
			candidates[c] = []int{i}
			continue
		}
		if found := candidates[c]; len(found) != 1 || t.headings[found[0]] != c.Info().Column {
			candidates[c] = append(found, i)
		}
	}
	// A channel with one candidate has it; of several the person chooses.
	for c := range trial.ChannelCount {
		found := candidates[c]
		if len(found) > 1 {
			example := fmt.Sprintf(", such as --map %s=%s", c.Info().Column, quoteArgument(t.headings[found[0]]))
			if t.form {
				example = ""
			}
			imp.warn("%s: several columns could be it (%s); choose one%s", c.Info().Label, t.named(found), example)
		}
		if len(found) != 1 {
			continue
		}
		taken[found[0]] = true
		_, stated, _ := channelHeading(t.meaning(t.headings[found[0]]))
		t.channels[c] = heading{index: found[0], text: t.headings[found[0]], unit: t.unitOf(c, found[0], stated, imp)}
	}
}

// unitOf returns the unit of a column: what its heading states, else what the
// row of units says. A unit that is stated but not understood is worth a warning.
func (t *table) unitOf(c trial.Channel, index int, stated *unit, imp *Import) *unit {
	if stated != nil {
		return stated
	}
	_, text := splitUnit(t.headings[index])
	if index < len(t.unitRow) && text == "" {
		text = strings.Trim(strings.TrimSpace(t.unitRow[index]), "()[]")
	}
	u := unitNamed(c, text)
	if u == nil && text != "" {
		imp.warn("%s: the unit %q of column %q is not understood and was not used",
			c.Info().Label, text, t.headings[index])
	}
	return u
}

// chooseTime takes the first column that a word of time names, and a second one
// that may tell the date; in a table of laps the column that tells how long they are.
func (t *table) chooseTime(taken map[int]bool) {
	if t.elapsed == nil && t.laps {
		t.elapsed = t.firstNamed(durationWords, taken)
	}
	if t.elapsed == nil {
		t.elapsed = t.firstNamed(slices.Concat(elapsedWords, clockWords), taken)
	}
	t.clock = t.firstNamed(clockWords, taken)
}

func (t *table) firstNamed(words []string, taken map[int]bool) *heading {
	for _, word := range words {
		for i, text := range t.headings {
			name, _ := splitUnit(text)
			if !taken[i] && (plain(text) == word || plain(name) == word) {
				taken[i] = true
				return t.timeHeading(i)
			}
		}
	}
	return nil
}

func (t *table) timeHeading(index int) *heading {
	unitText := ""
	if index < len(t.unitRow) {
		unitText = t.unitRow[index]
	}
	return &heading{index: index, text: t.headings[index], scale: timeScale(t.headings[index], unitText)}
}

// nameUnmapped says which columns were left behind.
func (t *table) nameUnmapped(taken map[int]bool, imp *Import) {
	var positions, others []int
	for i, text := range t.headings {
		switch {
		case taken[i]:
		case slices.Contains(positionWords, plain(text)):
			positions = append(positions, i)
		default:
			others = append(others, i)
		}
	}
	if len(positions) > 0 {
		imp.drop("positions (columns %s)", t.named(positions))
	}
	if len(others) > 0 {
		imp.drop("columns that are not mapped: %s", t.named(others))
	}
}

// named lists headings by index.
func (t *table) named(indexes []int) string {
	names := make([]string, len(indexes))
	for i, index := range indexes {
		names[i] = t.headings[index]
	}
	return quoted(names)
}

// example is a heading to show in a hint: the first that is not a time.
func (t *table) example() string {
	for _, text := range t.headings {
		if !isTimeHeading(text) && text != "" {
			return text
		}
	}
	return "COLUMN"
}

// didYouMean ends a message with the name that was probably meant, if any is near.
func didYouMean(word string, known []string) string {
	if suggestion := english.Suggest(word, known); suggestion != "" {
		return ", " + suggestion
	}
	return ""
}

// quoted lists headings for a message, no more than 40 of them; those that are blank are
// counted.
func quoted(names []string) string {
	const most = 40
	text := make([]string, 0, len(names))
	named := slices.DeleteFunc(slices.Clone(names), func(name string) bool { return name == "" })
	for _, name := range named[:min(len(named), most)] {
		text = append(text, fmt.Sprintf("%q", name))
	}
	if len(named) > most {
		text = append(text, fmt.Sprintf("and %d more", len(named)-most))
	}
	if blank := len(names) - len(named); blank > 0 {
		text = append(text, fmt.Sprintf("%d without a heading", blank))
	}
	return strings.Join(text, ", ")
}

// quoteArgument writes a heading as an argument of a shell.
func quoteArgument(text string) string {
	if strings.ContainsAny(text, " \t'\"()[]$&;|<>*?#\\") || text == "" {
		return "'" + strings.ReplaceAll(text, "'", `'\''`) + "'"
	}
	return text
}
