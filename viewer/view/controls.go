package view

import (
	"strconv"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/english"
	"soletrial/pipeline/figure"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
	"soletrial/viewer/app"
	"soletrial/viewer/tree"
)

// controls is everything that changes the analysis as a whole, what matters most first.
func controls(m *app.Model) *tree.Node {
	more := tree.El("details class=more id=more").Keyed("more").SetIf("open", m.Width == figure.Wide).Add(
		tree.El("summary").AddText("More to change"),
		trims(m, app.TrimEnd, app.HeartRateTrimStart),
		methods(m),
		references(m),
		outcomes(m),
		efforts(m),
		unitSystems(m),
		savedViews(m))
	trim, published := m.Trim(), m.Dataset.Facts.Method.Trim
	return section("controls", "Try first: drag, and watch the answer").
		Class("explorer-controls").Add(trimField(app.TrimStart, trim.HeadS, published.HeadS, m.LongestBlock()),
		changeNote(m),
		tree.El("p class=quiet").Keyed("first").AddText("Nothing leaves your device."),
		tree.El("p class=notice").Keyed("notice").SetIf("hidden", m.Notice == "").AddText(m.Notice), history(m), more)
}

// history has what leads back and forth among the reader's changes; it stays in sight.
func history(m *app.Model) *tree.Node {
	return tree.El("p").Class("buttons history").Keyed("history").Add(
		button(app.DoUndo, "Undo", m.CanUndo()), button(app.DoRedo, "Redo", m.CanRedo()),
		button(app.DoReset, "Back to published", m.Changed()))
}

// button is greyed out rather than disabled when there is nothing to do, so that
// it never loses the focus to nowhere.
func button(action, label string, useful bool) *tree.Node {
	b := tree.El("button type=button").Set("id", "do-"+action).Set("aria-disabled", strconv.FormatBool(!useful))
	return b.On("click", action).AddText(label)
}

// trims has a field and a slider for parts of the trim.
func trims(m *app.Model, parts ...app.TrimPart) *tree.Node {
	set := tree.El("fieldset").Keyed("trim " + parts[0].Key())
	set.Add(tree.El("legend").AddText("Steady window: trim end and heart rate"))
	trim, published := m.Trim(), m.Dataset.Facts.Method.Trim
	for _, p := range parts {
		set.Add(trimField(p, *p.Of(&trim), *p.Of(&published), m.LongestBlock()))
	}
	return set
}

// trimField is one part of the trim: as a number, as a slider, and as published. The ends of
// the slider never move.
func trimField(p app.TrimPart, seconds, published, longest float64) *tree.Node {
	id, action := "trim-"+p.Key(), app.On(app.DoTrim, p.Key())
	label := english.Capitalise(app.TrimLabels[p]) + " of every block, seconds"
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

// methods has what else the answer depends on.
func methods(m *app.Model) *tree.Node {
	published := m.Dataset.Facts.Method
	drift := tree.El("input type=checkbox id=drift aria-describedby=drift-published")
	drift.SetIf("checked", m.Drift() != trial.DriftNone).On("change", app.DoDrift)
	trim := m.Trim()
	laps := tree.El("input type=checkbox id=laps").SetIf("checked", trim.Laps == trial.WholeLaps)
	exponent := tree.El("input type=number min=0 max=3 step=any inputmode=decimal id=exponent")
	exponent.Set("aria-describedby", "exponent-published").Set("value", app.FormatSeconds(m.Exponent()))
	publishedExponent := "estimated"
	if units.Known(published.PowerExponent) {
		publishedExponent = app.FormatSeconds(published.PowerExponent)
	}
	return tree.El("fieldset").Keyed("methods").Add(
		tree.El("legend").AddText("How shoes are compared"),
		tree.El("p class=tick").Add(drift,
			tree.El("label for=drift").AddText("Correct for a straight drift, such as tiring, in each session"),
			tree.Text(" "), publishedNote("drift", english.YesNo(published.Drift != trial.DriftNone))),
		tree.El("p class=tick").Add(laps.On("change", app.DoLaps),
			tree.El("label for=laps").AddText("Cut every block to whole laps")),
		tree.El("div class=trim").Add(
			tree.El("label for=exponent").AddText("Correct for uneven power: % of speed for 1 % of power, 0 for none"),
			exponent.On("input", app.DoExponent),
			publishedNote("exponent", publishedExponent)),
	)
}

// efforts chooses among the efforts that shoes were compared at; nil when there is
// one only.
func efforts(m *app.Model) *tree.Node {
	all := m.Efforts()
	if len(all) < 2 {
		return nil
	}
	chosen := m.Choice().Effort
	list := selectFrom("effort", app.DoEffort).Add(option("", "at every effort", chosen == ""))
	for _, effort := range all {
		list.Add(option(string(effort), "at "+effort.Same(), chosen == effort))
	}
	return field("Efforts shown", list)
}

// unitSystems chooses between metric and imperial units.
func unitSystems(m *app.Model) *tree.Node {
	chosen := m.Choice().Imperial
	return field("Units", selectFrom("units", app.DoUnits).Add(
		option("metric", "metric: km, m, °C", !chosen), option("imperial", "imperial: miles, feet, °F", chosen)))
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
	return field("Reference shoe", list)
}

// outcomes chooses what the answer compares; nil when there is one outcome only.
func outcomes(m *app.Model) *tree.Node {
	all := m.AnswerOutcomes()
	if len(all) < 2 {
		return nil
	}
	chosen := m.Choice().Outcome
	list := selectFrom("answer-outcome", app.DoOutcome).Add(option("", "what decides at each effort", chosen == ""))
	for _, o := range all {
		info := o.Info()
		list.Add(option(info.ID, info.Label, chosen == info.ID))
	}
	return field("What is compared", list)
}

// plainOutcomes chooses the outcome of the comparisons without assumptions.
func plainOutcomes(m *app.Model) *tree.Node {
	chosen := m.Choice().Outcome
	list := selectFrom("outcome", app.DoOutcome).Add(option("", "what decides", chosen == ""))
	for _, o := range m.Outcomes() {
		info := o.Info()
		list.Add(option(info.ID, info.Label, chosen == info.ID))
	}
	return field("Outcome", list)
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
	title := figure.Visible(answer.SessionName(m.Dataset, s.ID))
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
