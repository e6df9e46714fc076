package view

import (
	"slices"
	"strconv"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/english"
	"soletrial/pipeline/figure"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
	"soletrial/viewer/app"
	"soletrial/viewer/tree"
)

// sessionSection is one session: the order of its blocks, their means, their traces.
func sessionSection(m *app.Model) *tree.Node {
	part, s := section("session", "One session, block by block"), m.Session()
	if s == nil && len(m.SessionIDs()) == 0 {
		return part.Add(tree.El("p").AddText("This dataset has no session yet."))
	}
	chosen := m.Choice().Session
	if s != nil {
		chosen = s.ID
	}
	list := selectFrom("session", app.DoSession)
	for _, id := range m.SessionIDs() {
		title := figure.Visible(id)
		if other := m.Dataset.Session(id); other != nil {
			title = sessionTitle(m, other)
		}
		list.Add(option(id, title, id == chosen))
	}
	if s == nil {
		words := "Fetching this session…"
		if m.Failed != "" {
			words = "This session could not be fetched. " + m.Failed
		}
		return part.Add(field("Session", list), tree.El("p").Keyed("wait").AddText(words))
	}
	return part.Add(field("Session", list), order(m, s), blocks(m, s), traces(m))
}

// channels has a box for each recorded channel.
func channels(m *app.Model, recorded []trial.Channel) *tree.Node {
	shown := m.Channels()
	set := tree.El("fieldset class=channels").Keyed("channels").Add(tree.El("legend").AddText("Traces shown"))
	for _, channel := range recorded {
		info := channel.Info()
		box := tree.El("input type=checkbox").Set("id", "channel-"+info.Column)
		box.SetIf("checked", slices.Contains(shown, channel)).On("change", app.On(app.DoChannel, info.Column))
		set.Add(tree.El("label").Keyed(info.Column).Add(box).AddText(" " + info.Label))
	}
	return set
}

// order is the strip of blocks in the order they were run.
func order(m *app.Model, s *trial.Session) *tree.Node {
	f := orderFigure(m, s)
	return tree.El("figure").Keyed("order").Add(tree.El("div").SetFigure(f.SVG(m.Width)), saveButtons(f.ID, f.Title))
}

func orderFigure(m *app.Model, s *trial.Session) figure.Order {
	f := figure.Order{
		Head: figure.Head{
			ID: orderID, Title: "Blocks of " + answer.SessionName(m.Dataset, s.ID) + " in the order they were run",
			Desc: "The same is in the table below.",
		},
		LimitPct: m.Dataset.Facts.Limits.EffortOffPct,
	}
	for _, b := range m.Yours().Session(s.ID).Blocks {
		f.Blocks = append(f.Blocks, figure.OrderBlock{
			Label: b.Block + ": " + m.ShoeLabel(b.Shoe), Shoe: m.ShoeIndex(b.Shoe), Start: b.Start, End: b.End,
			From: b.From, To: b.To, OffPct: 100 * (b.MeanEffort/b.Target - 1), Excluded: !b.Included,
		})
	}
	return f
}

// blocks is the table of blocks with a box to include or exclude each.
func blocks(m *app.Model, s *trial.Session) *tree.Node {
	info := m.PrimaryOutcome(s).Info()
	outcome := english.Capitalise(info.Label) + ", " + m.Conversion(info.Unit).Unit
	body, published := tree.El("tbody"), m.Published().Session(s.ID)
	for i, b := range m.Yours().Session(s.ID).Blocks {
		body.Add(blockRow(m, s, &b, published.Blocks[i].Included))
	}
	return scrollable("Table of blocks", tree.El("table id=blocks-table").Add(
		caption("Blocks of this session, in the order run. Exclude a block or include it to see what it does to "+
			"the answer, and write down why."),
		headings("Included", "Block", "Shoe", "Effort", outcome, "Window, s", "Coverage, %", "Why not, or note"), body))
}

func blockRow(m *app.Model, s *trial.Session, b *derive.Block, published bool) *tree.Node {
	name, shoe, class := figure.Visible(b.Block), m.ShoeLabel(b.Shoe), ""
	// Until all samples are there, what the reader chose stands before what is derived from it.
	included := b.Included
	if choice := m.Choice().BlockChoice(s.ID, b.Block); choice != nil && !m.Bundle.Complete() {
		included = choice.Included
	}
	if included != published {
		class = "moved"
	}
	box := tree.El("input type=checkbox").Set("id", "block-"+strconv.Itoa(b.Order))
	box.Set("aria-label", "Block "+name+", "+shoe+", included").SetIf("checked", included)
	box.On("change", app.On(app.DoBlock, s.ID+"/"+b.Block))
	outcome := m.PrimaryOutcome(s)
	mean := m.Conversion(outcome.Info().Unit).Of(b.Outcomes[outcome])
	return tree.El("tr").Keyed(b.Block).Class(class).Add(
		tree.El("td").Add(box),
		tree.El("th scope=row").AddText(name),
		tree.El("td").Add(swatch(m, b.Shoe)).AddText(shoe),
		cell(effortText(m, s.Effort(), b.MeanEffort)),
		cell(numberText(mean, min(outcome.Info().Decimals, 3))),
		cell(numberText(b.Window(), 0)),
		cell(numberText(b.CoveragePct, 0)),
		tree.El("td").Add(reasonCell(m, s, b)),
	)
}

// reasonCell is the reason beside a block; a field to write it in where the reader
// included or excluded the block.
func reasonCell(m *app.Model, s *trial.Session, b *derive.Block) *tree.Node {
	choice := m.Choice().BlockChoice(s.ID, b.Block)
	if choice == nil {
		return tree.Text(figure.Visible(b.Reason))
	}
	question := "Why exclude it?"
	if choice.Included {
		question = "Why include it?"
	}
	id := "reason-" + strconv.Itoa(b.Order)
	return tree.El("span class=why").Keyed("why").Add(
		tree.El("label").Set("for", id).AddText(question),
		tree.El("input type=text autocomplete=off maxlength=200").Set("id", id).Set("value", choice.Reason).
			On("input", app.On(app.DoReason, s.ID+"/"+b.Block)))
}

// effortText prints a held effort with its unit.
func effortText(m *app.Model, effort trial.Effort, x float64) string {
	switch {
	case !units.Known(x):
		return "–"
	case effort == trial.Pace:
		return m.Pace(x)
	case effort == trial.HeartRate:
		return figure.Plain(x, 0) + " bpm"
	}
	return figure.Plain(x, 0) + " W"
}
