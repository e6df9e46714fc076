package view

import (
	"fmt"
	"slices"

	"soletrial/pipeline/derive"
	"soletrial/pipeline/figure"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
	"soletrial/viewer/app"
	"soletrial/viewer/tree"
)

// session is one session looked at closely: its traces and its blocks.
func session(m *app.Model) *tree.Node {
	s := m.Session()
	section := tree.El("section", tree.Key("session"), tree.A("aria-labelledby", "session-title"),
		tree.El("h2", tree.A("id", "session-title"), tree.Text("One session, block by block")))
	if s == nil {
		section.Children = append(section.Children, tree.El("p", tree.Text("This dataset has no session yet.")))
		return section
	}
	options := tree.Parts{}
	for i := range m.Dataset.Sessions {
		other := &m.Dataset.Sessions[i]
		options = append(options, option(other.ID, sessionTitle(other), other.ID == s.ID))
	}
	section.Children = append(section.Children, field("session", "Session", app.DoSession, options), order(m, s), blocks(m, s), channels(m))
	for _, channel := range m.Channels() {
		if trace, ok := m.Trace(channel); ok {
			section.Children = append(section.Children, tree.El("figure", tree.Key("trace "+channel.Info().Column),
				tree.A("class", "trace-figure"), tree.SVG("div", trace.SVG(m.Width))))
		}
	}
	return section
}

// channels has a box for each recorded channel.
func channels(m *app.Model) *tree.Node {
	recorded, shown := m.Recorded(), m.Channels()
	if len(recorded) == 0 {
		return tree.El("p", tree.Key("channels"), tree.Text("No recording: the means of the blocks were written down by hand."))
	}
	set := tree.El("fieldset", tree.Key("channels"), tree.A("class", "channels"), tree.El("legend", tree.Text("Traces shown")))
	for _, channel := range recorded {
		info := channel.Info()
		set.Children = append(set.Children, tree.El("label", tree.Key(info.Column),
			tree.El("input", tree.A("type", "checkbox"), tree.A("id", "channel-"+info.Column), tree.Flag("checked", slices.Contains(shown, channel)),
				tree.On("change", app.On(app.DoChannel, info.Column))),
			tree.Text(" "+info.Label)))
	}
	return set
}

// order is the strip of blocks in the order they were run.
func order(m *app.Model, s *trial.Session) *tree.Node {
	f := figure.Order{
		Head:     figure.Head{ID: "order", Title: "Blocks of " + s.ID + " in the order they were run", Desc: "The same is in the table below."},
		LimitPct: m.Dataset.Facts.Limits.EffortOffPct,
	}
	for _, b := range m.Yours().Session(s.ID).Blocks {
		f.Blocks = append(f.Blocks, figure.OrderBlock{
			Label: b.Block + ": " + m.ShoeLabel(b.Shoe), Shoe: m.ShoePlace(b.Shoe), Start: b.Start, End: b.End, From: b.From, To: b.To,
			OffPct: 100 * (b.Held/b.Target - 1), Excluded: !b.Included,
		})
	}
	return tree.El("figure", tree.Key("order"), tree.SVG("div", f.SVG(m.Width)))
}

// blocks is the table of blocks with a box to put each in or out.
func blocks(m *app.Model, s *trial.Session) *tree.Node {
	outcome := m.Decides(s)
	info := outcome.Info()
	head := headings("Counts", "Block", "Shoe", "Held", capital(info.Label)+", "+info.Unit, "Window, s", "Coverage, %", "Why not, or note")
	body := tree.El("tbody")
	published := m.Published().Session(s.ID)
	for i, b := range m.Yours().Session(s.ID).Blocks {
		body.Children = append(body.Children, blockRow(m, s, &b, &published.Blocks[i], outcome))
	}
	return scrollable("blocks", "Table of blocks", tree.El("table", tree.A("id", "blocks-table"),
		tree.El("caption", tree.Text("Blocks of this session, in the order run. Take a block out or put it back to see what it does to the answer.")), head, body))
}

func blockRow(m *app.Model, s *trial.Session, b, published *derive.Block, outcome trial.Outcome) *tree.Node {
	label := fmt.Sprintf("Block %s, %s, counts", figure.Visible(b.Block), m.ShoeLabel(b.Shoe))
	class := ""
	if b.Included != published.Included {
		class = "moved"
	}
	return tree.El("tr", tree.Key(b.Block), tree.A("class", class),
		tree.El("td", tree.El("input", tree.A("type", "checkbox"), tree.A("id", fmt.Sprintf("block-%d", b.Order)), tree.A("aria-label", label),
			tree.Flag("checked", b.Included), tree.On("change", app.On(app.DoBlock, s.ID+"/"+b.Block)))),
		tree.El("th", tree.A("scope", "row"), tree.Text(figure.Visible(b.Block))),
		tree.El("td", swatch(m, b.Shoe), tree.Text(m.ShoeLabel(b.Shoe))),
		tree.El("td", tree.Text(held(s.Effort(), b.Held))),
		tree.El("td", tree.Text(cell(b.Outcomes[outcome], min(outcome.Info().Decimals, 3)))),
		tree.El("td", tree.Text(cell(b.Window(), 0))),
		tree.El("td", tree.Text(cell(b.CoveragePct, 0))),
		tree.El("td", tree.Text(figure.Visible(b.Reason))),
	)
}

// held prints a held effort with its unit.
func held(effort trial.Effort, x float64) string {
	switch {
	case !units.Known(x):
		return "–"
	case effort == trial.Pace:
		return units.FormatPace(x) + " min/km"
	case effort == trial.HeartRate:
		return figure.Plain(x, 0) + " bpm"
	}
	return figure.Plain(x, 0) + " W"
}
