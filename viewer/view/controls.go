package view

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"soletrial/pipeline/compare"
	"soletrial/pipeline/figure"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
	"soletrial/viewer/app"
	"soletrial/viewer/tree"
)

// controls is everything that changes the analysis as a whole.
func controls(m *app.Model) *tree.Node {
	choice := m.Choice()
	return tree.El("section", tree.Key("controls"), tree.A("class", "explorer-controls"), tree.A("aria-labelledby", "controls-title"),
		tree.El("h2", tree.A("id", "controls-title"), tree.Text("Question the answer")),
		trims(m),
		references(m),
		outcomes(m),
		notice(m),
		tree.El("p", tree.A("class", "buttons"),
			button(app.DoReset, "Back to published", choice.Changed()),
			button(app.DoUndo, "Undo last change", m.CanUndo()),
		),
	)
}

// button is greyed out rather than disabled when there is nothing to do, so that
// it never loses the focus to nowhere.
func button(action, label string, useful bool) *tree.Node {
	return tree.El("button", tree.Key(action), tree.A("type", "button"), tree.On("click", action), tree.A("id", "do-"+action),
		tree.A("aria-disabled", fmt.Sprint(!useful)), tree.Text(label))
}

func notice(m *app.Model) *tree.Node {
	return tree.El("p", tree.Key("notice"), tree.A("class", "notice"), tree.Flag("hidden", m.Notice == ""), tree.Text(m.Notice))
}

// trims has a field and a slider for each length that is cut off.
func trims(m *app.Model) *tree.Node {
	set := tree.El("fieldset", tree.Key("trims"), tree.El("legend", tree.Text("Steady window: what is cut off every block")))
	trim, published := m.Trim(), m.Dataset.Facts.Method.Trim
	most := longest(m)
	for p := range app.TrimCount {
		key, now := p.Key(), *p.Of(&trim)
		action, id := app.On(app.DoTrim, key), "trim-"+key
		set.Children = append(set.Children, tree.El("div", tree.Key(key), tree.A("class", "trim"),
			tree.El("label", tree.A("for", id), tree.Text(capital(app.TrimLabels[p])+", seconds")),
			tree.El("input", tree.A("id", id), tree.A("type", "number"), tree.A("min", "0"), tree.A("step", "any"), tree.A("inputmode", "decimal"),
				tree.A("value", app.Seconds(now)), tree.A("aria-describedby", id+"-published"), tree.On("input", action)),
			tree.El("input", tree.A("id", id+"-slider"), tree.A("type", "range"), tree.A("min", "0"), tree.A("max", app.Seconds(math.Max(most, now))), tree.A("step", "1"),
				tree.A("value", app.Seconds(now)), tree.A("aria-label", capital(app.TrimLabels[p])+", seconds, slider"), tree.On("input", action)),
			tree.El("span", tree.A("id", id+"-published"), tree.A("class", "quiet"), tree.Text("published: "+app.Seconds(*p.Of(&published))+" s")),
		))
	}
	return set
}

// longest returns the length of the longest block of all sessions, in seconds.
func longest(m *app.Model) float64 {
	most := 60.0
	for _, s := range m.Dataset.Sessions {
		for _, b := range s.Blocks {
			if length := b.Duration(); length > most {
				most = length
			}
		}
	}
	return math.Ceil(most)
}

func references(m *app.Model) *tree.Node {
	options := tree.Parts{}
	for _, shoe := range m.Dataset.Shoes {
		label := m.ShoeLabel(shoe.ID)
		if shoe.ID == m.Dataset.Reference() {
			label += " (published)"
		}
		options = append(options, option(shoe.ID, label, shoe.ID == m.Reference()))
	}
	return field("reference", "Compare with", app.DoReference, options)
}

func outcomes(m *app.Model) *tree.Node {
	chosen := m.Choice().Outcome
	options := tree.Parts{option("", "what decides: "+deciding(m), chosen == "")}
	for _, o := range m.Outcomes() {
		info := o.Info()
		options = append(options, option(info.ID, info.Label, chosen == info.ID))
	}
	return field("outcome", "Compare in", app.DoOutcome, options)
}

// deciding names the outcomes that decide in this dataset.
func deciding(m *app.Model) string {
	var labels []string
	for _, ranking := range m.Published().Compare.Rankings {
		if label := ranking.Outcome.Info().Label; !slices.Contains(labels, label) {
			labels = append(labels, label)
		}
	}
	return strings.Join(labels, " or ")
}

// field is a labelled list to choose from.
func field(id, label, action string, options tree.Parts) *tree.Node {
	return tree.El("p", tree.Key(id), tree.A("class", "field"),
		tree.El("label", tree.A("for", "choose-"+id), tree.Text(label)),
		tree.El("select", tree.A("id", "choose-"+id), tree.On("change", action), options),
	)
}

func option(value, label string, selected bool) *tree.Node {
	return tree.El("option", tree.Key("value "+value), tree.A("value", value), tree.Flag("selected", selected), tree.Text(label))
}

// sessionTitle names a session in a list.
func sessionTitle(s *trial.Session) string {
	title := figure.Visible(s.ID)
	if s.Facts.Date != "" && !strings.Contains(s.ID, s.Facts.Date) {
		title += ", " + s.Facts.Date
	}
	if len(s.Blocks) > 0 {
		title += ", " + compare.AtLevel(trial.Level(s.Effort(), s.Blocks[0].Target))
	}
	return title
}

// cell prints a number for a table; a dash where it is missing.
func cell(x float64, decimals int) string {
	if !units.Known(x) {
		return "–"
	}
	return figure.Plain(x, decimals)
}

// capital writes a label's first letter large.
func capital(label string) string { return strings.ToUpper(label[:1]) + label[1:] }
