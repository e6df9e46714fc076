package screen

import (
	"strconv"

	"soletrial/viewer/track/session"
	"soletrial/viewer/tree"
)

func (v *View) change(s *session.State, now float64) *tree.Node {
	_, shoe := s.Next()
	heading := "Put on " + s.Plan.Label(shoe)
	if last := s.Last(); last != nil && last.Shoe == shoe {
		heading = "Keep " + s.Plan.Label(shoe) + " on"
	}
	var rest *tree.Node
	if last := s.Last(); last != nil && last.Ended {
		rest = countdown(now-last.End.S, s.Plan.RestS, "rest left", "rest", "")
	}
	facts := "Hold " + tied(target(&s.Plan))
	if l := length(&s.Plan); l != "" {
		facts += " for " + tied(l)
	}
	if len(s.Blocks) == 0 {
		rest = tree.El("p class=hint").AddText(firstHint(s))
	}
	return v.frame(s, heading, tree.El("p class=target").AddText(facts), rest,
		buttons(big("start", string(session.Start), "Start block "+s.NextName())))
}

// firstHint says before the first block how a block goes.
func firstHint(s *session.State) string {
	hint := "Tap Start as you set off, at a line you will find again, and press the lap button of your watch. " +
		"A helper can tap Lap at the line; you can also note the laps afterwards."
	if l := length(&s.Plan); l != "" {
		hint += " You hear a sound after " + l + "."
	}
	return hint
}

func (v *View) running(s *session.State, now float64) *tree.Node {
	last := s.Last()
	lap := "Lap"
	if n := len(last.Laps); n > 0 {
		lap = "Lap: " + strconv.Itoa(n)
	}
	return v.frame(s, s.Plan.Label(last.Shoe), tree.El("p class=target").AddText(target(&s.Plan)),
		countdown(now-last.Start.S, s.Plan.BlockS, "left", "", "Stop running and tap End."),
		buttons(plain("lap", string(session.Lap), lap).Class("lap"), big("end", string(session.End),
			"End block "+last.Name)))
}

func (v *View) late(s *session.State, now float64) *tree.Node {
	return v.frame(s, "You tapped End "+span(s.Over())+" after the signal. When did you stop running?",
		v.rest(s, now), buttons(big("signal", string(session.Signal), "At the signal ("+length(&s.Plan)+")"),
			plain("tap", string(session.End), "When I tapped End")))
}

func (v *View) early(s *session.State, now float64) *tree.Node {
	return v.frame(s, "Block "+s.Last().Name+" ended "+span(-s.Over())+" early. Why?",
		v.rest(s, now), v.reasons("early"), two(plain("mistake", string(session.Undo), "End was a mistake: it runs on"),
			plain("pass", string(session.Pass), "No reason")))
}

func (v *View) exertion(s *session.State, now float64) *tree.Node {
	grid := tree.El("div class=scale role=group aria-labelledby=now")
	for n := range 11 {
		button := tree.El("button type=button").Set("id", "exertion-"+strconv.Itoa(n)).
			On("click", string(session.Exertion)+" "+strconv.Itoa(n)).AddText(strconv.Itoa(n))
		switch n {
		case 0:
			button.Add(tree.El("small").AddText(" none"))
		case 10:
			button.Add(tree.El("small").AddText(" all-out"))
		}
		grid.Add(button)
	}
	grid.Add(tree.El("button type=button id=pass class=small").On("click", string(session.Pass)).AddText("Skip"))
	return v.frame(s, "How hard was block "+s.Last().Name+"?", v.rest(s, now), grid)
}

func (v *View) comfort(s *session.State, now float64) *tree.Node {
	// The line starts one below its end, where nobody can point, so that every touch
	// of it is a change: browsers tell of changes only.
	slider := tree.El("input type=range id=comfort min=-1 max=100 step=1 aria-labelledby=now").
		On("input", "draft comfort")
	if x := v.Draft["comfort"]; x != "" {
		slider.Set("value", x).Set("aria-valuetext", x+" of 100").Class("touched")
	} else {
		slider.Set("value", "-1").Set("aria-valuetext", "not answered").Class("untouched")
	}
	hint := tree.El("p class=hint").AddText("Touch the line where it belongs.")
	if v.Notice != "" { // in the place of the hint, so that the line does not move away from a finger
		hint = tree.El("p class=told role=alert").AddText(v.Notice)
	}
	line := tree.El("div class=line").Add(slider,
		tree.El("p class=ends").Add(tree.El("span").AddText("worst imaginable"),
			tree.El("span").AddText("best imaginable")), hint)
	return v.bareFrame(s, "How comfortable was "+s.Plan.Label(s.Last().Shoe)+"?", v.rest(s, now), line,
		two(big("keep", "keep", "Next"), plain("pass", string(session.Pass), "Skip")))
}

func (v *View) note(s *session.State, now float64) *tree.Node {
	hint := "Laps in this block; half laps as 4.5."
	if n := len(s.Last().Laps); n > 0 {
		hint = count(n, "lap", "laps") + " tapped. Write a number only if that is wrong."
	}
	return v.frame(s, "Anything to note on block "+s.Last().Name+"?", v.rest(s, now),
		v.pair("laps", "Laps", "metres", "or metres"),
		tree.El("p class=hint").AddText(hint), v.field("note", "Note", "", ""),
		two(big("keep", "keep", "Next"), plain("pass", string(session.Pass), "Nothing to note")))
}

// care speaks of stopping after a block that was ended or skipped because somebody was
// unwell, until the next block.
func care(s *session.State) *tree.Node {
	n, last := len(s.Deviations), s.Last()
	if n == 0 || s.Deviations[n-1].Reason != ill || s.Step >= session.StepWhy ||
		last != nil && last.Start.S >= s.Deviations[n-1].AtS {
		return nil
	}
	return tree.El("p class=notice").AddText(
		"Unwell or in pain? Do not run on to finish a plan. Stop the session, and get help if it does not pass.",
	)
}

// rest is the rest clock in small, while a question is asked.
func (v *View) rest(s *session.State, now float64) *tree.Node {
	last := s.Last()
	if last == nil || !last.Ended || len(s.Queue) == 0 {
		return nil
	}
	run := now - last.End.S
	text := "Rest " + span(run)
	if known(s.Plan.RestS) {
		text += " of " + span(s.Plan.RestS)
	}
	return tree.El("p class=rest role=timer aria-live=off").AddText(text)
}

// reasons is a list of likely reasons, and a field for another.
func (v *View) reasons(of string) *tree.Node {
	box := tree.El("div class=reasons")
	for i, reason := range reasons[of] {
		box.Add(plain("reason-"+strconv.Itoa(i), "why "+reason, reason))
	}
	return box.Add(tree.El("div class=own").Add(v.field("reason", "Another reason", "", ""),
		plain("own", "why own", "Next")))
}
