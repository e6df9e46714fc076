package screen

import (
	"strconv"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
	"soletrial/viewer/track/session"
	"soletrial/viewer/tree"
)

func (v *View) closing(s *session.State, _ float64) *tree.Node {
	return v.frame(s, "All blocks are run", para("Cool down easily, then stop the recording on your watch."),
		v.field("remark", "Anything else a reader should know?", "", ""),
		buttons(big("keep", "keep", "Finish the log")))
}

func (v *View) stopped(s *session.State, _ float64) *tree.Node {
	return v.frame(s, "Stopped. Why?", tree.El("p class=notice").
		AddText("Somebody unwell? Help them first, and call the emergency number if in doubt. Everything is kept."),
		mistakes(s), v.reasons("why"))
}

// mistakes are the ways back from a stop.
func mistakes(s *session.State) *tree.Node {
	list := buttons(plain("mistake", string(session.Undo), "A mistake: go on"))
	if s.EndedByStop() {
		list.Add(plain("only", string(session.OnlyBlock), "I meant only block "+s.Last().Name+": it ended then"))
	}
	return list
}

func (v *View) done(s *session.State, _ float64) *tree.Node {
	main := v.frame(s, "The log is complete", para(summary(s)))
	if len(s.Deviations) > 0 {
		list := tree.El("ul class=deviations")
		for _, d := range s.Deviations {
			list.Add(tree.El("li").AddText(deviation(s, d)))
		}
		main.Add(list)
	}
	for _, c := range s.Changes {
		main.Add(tree.El("p class=notice").AddText(changeText(c)))
	}
	list := tree.El("div class=buttons")
	if v.Offers.Share {
		list.Add(big("share", string(Share), "Share fieldlog.yaml"), plain("save", string(Save),
			"Save it on this phone"))
	} else {
		list.Add(big("save", string(Save), "Save fieldlog.yaml"))
	}
	list.Add(plain("text", "menu "+menuText, "Show it as text"), plain("leave", string(Leave), "Back to the start"),
		plain("delete", "menu "+menuDelete, "Delete it from this phone"))
	return main.Add(
		list, tree.El("p class=hint").AddText("Then, on the computer with your dataset: soletrial log fieldlog.yaml"),
		table(s))
}

// summary says what was run.
func summary(s *session.State) string {
	text := s.Plan.Session + ": " + count(len(s.Blocks), "block", "blocks") + " of " + strconv.Itoa(len(s.Plan.Order)) +
		" planned"
	if n := len(s.Deviations); n > 0 {
		text += ", " + count(n, "deviation", "deviations")
	}
	return text + "."
}

// deviation is what was not as planned, in a line.
func deviation(s *session.State, d trial.Deviation) string {
	block := "Block " + d.Block
	switch d.Kind {
	case trial.Skipped:
		block += " skipped"
	case trial.Repeated:
		block += " run again"
	case trial.Swapped:
		block += " in " + s.Plan.Label(d.Worn) + ", not " + s.Plan.Label(d.Planned)
	case trial.Short:
		block += " ended early"
	default:
		block = "Session ended early"
	}
	return block + ": " + d.Reason
}

// changeText says where the clocks parted, for people.
func changeText(c trial.ClockChange) string {
	by := c.ByS
	switch {
	case c.Kind == trial.ClockSet && by > 0:
		return "The phone's clock was put forward by " + span(by) + ". The stopwatch ran on: block lengths are right."
	case c.Kind == trial.ClockSet:
		return "The phone's clock was put back by " + span(-by) + ". The stopwatch ran on: block lengths are right."
	case c.Kind == trial.ClockAsleep:
		return "The phone slept for " + span(by) + ". The stopwatch was set forward by the phone's clock."
	}
	return "Opened again after " + span(by) + ". Nothing is lost: the stopwatch went on by the phone's clock."
}

// table lists the blocks as they will be written.
func table(s *session.State) *tree.Node {
	if len(s.Blocks) == 0 {
		return nil
	}
	head := tree.El("tr")
	for _, name := range []string{"Block", "Shoe", "Length", "Laps", "Exertion"} {
		head.Add(tree.El("th scope=col").AddText(name))
	}
	body := tree.El("tbody")
	for _, b := range s.FieldLog().Blocks {
		shoe := s.Plan.Label(b.Shoe)
		if b.Excluded != "" {
			shoe += " (excluded: " + b.Excluded + ")"
		}
		row := tree.El("tr").Add(tree.El("th scope=row").AddText(b.Block))
		for _, cell := range []string{shoe, units.FormatClock(b.EndS - b.StartS), orDash(b.Laps), orDash(b.RPE)} {
			row.Add(tree.El("td").AddText(cell))
		}
		body.Add(row)
	}
	return tree.El("table").Add(tree.El("caption").AddText("What was run"), tree.El("thead").Add(head), body)
}

func orDash(x float64) string {
	if !units.Known(x) {
		return "–"
	}
	return units.FormatExact(x)
}
