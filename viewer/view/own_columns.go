package view

import (
	"soletrial/pipeline/english"
	"soletrial/pipeline/figure"
	"soletrial/pipeline/trial"
	"soletrial/viewer/app"
	"soletrial/viewer/tree"
)

// ownColumns is the form in which a reader says which column of a CSV holds what; nil where
// there is nothing to say. It is open while the file cannot be read without it.
func ownColumns(m *app.Model) *tree.Node {
	c := m.OwnColumns()
	if c == nil {
		return nil
	}
	form := tree.El("div class=columns-form")
	for _, key := range app.ColumnKeys() {
		form.Add(ownColumn(c, key))
	}
	return tree.El("details id=own-columns").Keyed("columns").SetIf("open", c.Unread || c.Changed).Add(
		tree.El("summary").AddText("Which column of "+figure.Visible(c.Name)+" holds what"),
		tree.El("p class=quiet").AddText("Needed are the time and what was held: power, speed or heart rate. The rest "+
			"may be left out."),
		form,
		tree.El("p class=buttons").Add(button(app.DoOwnRead, "Read it with these columns", c.Changed || c.Unread)))
}

// ownColumn chooses the column of one channel, or of the time.
func ownColumn(c *app.OwnColumns, key string) *tree.Node {
	label := "Time"
	if channel, known := trial.ChannelNamed(key); known {
		label = english.Capitalise(channel.Info().Label)
	}
	list := selectFrom("column-"+key, app.On(app.DoOwnColumn, key))
	list.Add(option("", "not in this file", c.Chosen[key] == ""))
	for _, heading := range c.Headings {
		if heading != "" {
			list.Add(option(heading, figure.Visible(heading), c.Chosen[key] == heading))
		}
	}
	return field(label, list)
}

// ownFolder saves the recording as a session of a dataset.
func ownFolder(o *app.OwnRecording) *tree.Node {
	day := tree.El("input type=text autocomplete=off maxlength=10 id=own-day").Set("value", o.Day)
	what := "the samples"
	if !o.HasSamples() {
		what = "the means of the laps"
	}
	return tree.El("fieldset").Keyed("folder").Add(
		tree.El("legend").AddText("Keep it as a session of your own"),
		tree.El("p class=field").Add(tree.El("label for=own-day").AddText("Day of the run, such as 2026-03-07"),
			day.On("input", app.DoOwnDay)),
		tree.El("p class=buttons").Add(button(app.DoOwnSave, "Save as a session folder (ZIP)", o.Day != "")),
		tree.El("p class=quiet").AddText("It holds "+what+", your blocks and your shoes. The program's import "+
			"takes it into a dataset of your own."))
}
