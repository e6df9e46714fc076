package view

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"soletrial/pipeline/english"
	"soletrial/pipeline/figure"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
	"soletrial/viewer/app"
	"soletrial/viewer/tree"
)

// controls is everything that changes the analysis as a whole.
func controls(m *app.Model) *tree.Node {
	return section("controls", "Question the answer").Class("explorer-controls").Add(
		trims(m),
		methods(m),
		references(m),
		outcomes(m),
		levels(m),
		unitSystems(m),
		tree.El("p class=notice").SetIf("hidden", m.Notice == "").AddText(m.Notice),
		tree.El("p class=buttons").Add(
			button(app.DoReset, "Back to published", m.Choice().Changed()),
			button(app.DoUndo, "Undo last change", m.CanUndo()),
		),
		savedViews(m),
		summaryLine(m),
	)
}

// summaryLine repeats the leading figures in one line, which a narrow screen keeps in
// view while the controls fill it; the status line says the same to screen readers.
func summaryLine(m *app.Model) *tree.Node {
	for _, r := range m.Yours().Compare.Rankings {
		if level := m.Choice().Level; level != "" && level != r.Level {
			continue
		}
		words := "As published: "
		if m.Choice().Changed() {
			words = "Yours: "
		}
		words += r.Outcome.Info().Label + " " + m.AtLevel(r.Level) + " from " + m.ShoeLabel(m.Reference())
		for _, place := range r.Places {
			if !place.Reference {
				difference := figure.Signed(place.Estimate, app.Decimals) + "\u00a0" + app.Unit(r.Outcome)
				words += "; " + m.ShoeLabel(place.Shoe) + " " + difference
			}
		}
		return tree.El("p class=now aria-hidden=true").Keyed("now").AddText(words)
	}
	return nil
}

// button is greyed out rather than disabled when there is nothing to do, so that
// it never loses the focus to nowhere.
func button(action, label string, useful bool) *tree.Node {
	b := tree.El("button type=button").Set("id", "do-"+action).Set("aria-disabled", strconv.FormatBool(!useful))
	return b.On("click", action).AddText(label)
}

// trims has a field and a slider for each part of the trim.
func trims(m *app.Model) *tree.Node {
	set := tree.El("fieldset").Add(tree.El("legend").AddText("Steady window: what is cut off every block"))
	trim, published, longest := m.Trim(), m.Dataset.Facts.Method.Trim, longestBlock(m)
	for p := range app.TrimCount {
		seconds := *p.Of(&trim)
		set.Add(trimField(p, seconds, *p.Of(&published), math.Max(longest, seconds)))
	}
	return set
}

// trimField is one part of the trim: as a number, as a slider, and as published.
func trimField(p app.TrimPart, seconds, published, longest float64) *tree.Node {
	id, action := "trim-"+p.Key(), app.On(app.DoTrim, p.Key())
	label := english.Capitalise(app.TrimLabels[p]) + ", seconds"
	slider := tree.El("input type=range min=0 step=1").Set("id", id+"-slider").Set("max", app.FormatSeconds(longest))
	slider.Set("value", app.FormatSeconds(seconds)).Set("aria-label", label+", slider").On("input", action)
	return tree.El("div class=trim").Add(
		tree.El("label").Set("for", id).AddText(label),
		secondsInput(id, seconds).Set("aria-describedby", id+"-published").On("input", action),
		slider,
		publishedNote(id, app.FormatSeconds(published)+" s"),
	)
}

// secondsInput is a field for a length of time; blank where it is missing.
func secondsInput(id string, seconds float64) *tree.Node {
	input := tree.El("input type=number min=0 step=any inputmode=decimal")
	return input.Set("id", id).Set("value", app.FormatSeconds(seconds))
}

// publishedNote says beside the control with an id what the published value is.
func publishedNote(id, value string) *tree.Node {
	return tree.El("span class=quiet").Set("id", id+"-published").AddText("published: " + value)
}

// methods has what else the comparison depends on.
func methods(m *app.Model) *tree.Node {
	published := m.Dataset.Facts.Method
	publishedDrift := "no"
	if published.Drift == trial.DriftLinear {
		publishedDrift = "yes"
	}
	drift := tree.El("input type=checkbox id=drift aria-describedby=drift-published")
	drift.SetIf("checked", m.Drift() == trial.DriftLinear).On("change", app.DoDrift)
	exponent := tree.El("input type=number min=0 max=3 step=any inputmode=decimal id=exponent")
	exponent.Set("aria-describedby", "exponent-published").Set("value", app.FormatSeconds(m.Exponent()))
	return tree.El("fieldset").Add(
		tree.El("legend").AddText("How shoes are compared"),
		tree.El("p class=tick").Add(
			drift, tree.El("label for=drift").AddText("Take out a straight drift over each session")),
		tree.El("p class=quiet id=drift-published").AddText("published: "+publishedDrift),
		tree.El("div class=trim").Add(
			tree.El("label for=exponent").AddText("Adjustment to equal effort: exponent, 0 for none"),
			exponent.On("input", app.DoExponent),
			publishedNote("exponent", app.FormatSeconds(published.PowerExponent))),
	)
}

// levels chooses among the efforts that shoes were compared at; nil when there is
// one only.
func levels(m *app.Model) *tree.Node {
	all := m.Levels()
	if len(all) < 2 {
		return nil
	}
	chosen := m.Choice().Level
	list := selectFrom("level", app.DoLevel).Add(option("", "at every effort", chosen == ""))
	for _, level := range all {
		list.Add(option(level, m.AtLevel(level), chosen == level))
	}
	return field("Show", list)
}

// unitSystems chooses between metric and imperial units.
func unitSystems(m *app.Model) *tree.Node {
	chosen := m.Choice().Imperial
	return field("Units", selectFrom("units", app.DoUnits).Add(
		option("metric", "metric: km, m, °C", !chosen), option("imperial", "imperial: miles, feet, °F", chosen)))
}

// longestBlock returns the length of the longest block of all sessions, s; 60 at least.
func longestBlock(m *app.Model) float64 {
	longest := 60.0
	for _, s := range m.Dataset.Sessions {
		for _, b := range s.Blocks {
			if length := b.Duration(); length > longest {
				longest = length
			}
		}
	}
	return math.Ceil(longest)
}

func references(m *app.Model) *tree.Node {
	list := selectFrom("reference", app.DoReference)
	for _, shoe := range m.Dataset.Shoes {
		label := m.ShoeLabel(shoe.ID)
		if shoe.ID == m.Dataset.Reference() {
			label += " (published)"
		}
		list.Add(option(shoe.ID, label, shoe.ID == m.Reference()))
	}
	return field("Compare with", list)
}

func outcomes(m *app.Model) *tree.Node {
	chosen := m.Choice().Outcome
	list := selectFrom("outcome", app.DoOutcome).Add(option("", "what decides: "+primaryOutcomes(m), chosen == ""))
	for _, o := range m.Outcomes() {
		info := o.Info()
		list.Add(option(info.ID, info.Label, chosen == info.ID))
	}
	return field("Compare in", list)
}

// primaryOutcomes names the outcomes that decide in this dataset.
func primaryOutcomes(m *app.Model) string {
	var labels []string
	for _, ranking := range m.Published().Compare.Rankings {
		if label := ranking.Outcome.Info().Label; !slices.Contains(labels, label) {
			labels = append(labels, label)
		}
	}
	return strings.Join(labels, " or ")
}

// selectFrom is a list to choose from.
func selectFrom(what, action string) *tree.Node {
	return tree.El("select").Set("id", "choose-"+what).On("change", action)
}

// field puts a label to a control.
func field(label string, control *tree.Node) *tree.Node {
	id, _ := control.Attr("id")
	return tree.El("p class=field").Keyed(id).Add(tree.El("label").Set("for", id).AddText(label), control)
}

func option(value, label string, selected bool) *tree.Node {
	return tree.El("option").Keyed("value "+value).Set("value", value).SetIf("selected", selected).AddText(label)
}

// sessionTitle names a session in a list.
func sessionTitle(m *app.Model, s *trial.Session) string {
	title := figure.Visible(s.ID)
	if s.Facts.Date != "" && !strings.Contains(s.ID, s.Facts.Date) {
		title += ", " + s.Facts.Date
	}
	if len(s.Blocks) > 0 {
		title += ", " + m.AtLevel(trial.Level(s.Effort(), s.Blocks[0].Target))
	}
	return title
}

// numberText prints a number for a table; a dash where it is missing.
func numberText(x float64, decimals int) string {
	if !units.Known(x) {
		return "–"
	}
	return figure.Plain(x, decimals)
}
