package screen

import (
	"strconv"
	"strings"

	"soletrial/viewer/track/session"
	"soletrial/viewer/tree"
)

// home is the first screen: what to do with this page, and what to know before.
func (v *View) home() *tree.Node {
	main := tree.El("section class=home aria-labelledby=now").Keyed("home").
		Add(tree.El("h1 id=now tabindex=-1").AddText("At the track"))
	if v.Notice != "" {
		main.Add(tree.El("p class=notice role=alert").AddText(v.Notice))
	}
	main.Add(v.unfinished(), v.planned(), v.drawHere(), v.cautions(), v.lacks(), v.finished(),
		tree.El("p").Add(tree.El("a href=licences.txt").AddText("Licences of the software in this page")))
	return main
}

// unfinished lists the logs to go on with.
func (v *View) unfinished() *tree.Node {
	box := tree.El("div class=list")
	for _, k := range v.Kept {
		if !k.Done {
			box.Add(big("resume-"+k.Session, "resume "+k.Session,
				"Go on with "+k.Session+": "+blocksRun(k)))
		}
	}
	return filled(box)
}

func blocksRun(k Kept) string {
	return count(k.Run, "block", "blocks") + " of " + strconv.Itoa(k.All) + " run"
}

// filled is the box where it holds something, else nil.
func filled(box *tree.Node) *tree.Node {
	if len(box.Children) == 0 {
		return nil
	}
	return box
}

// planned lists the plans of the dataset, the one that the address names first.
func (v *View) planned() *tree.Node {
	box := tree.El("div class=list")
	found := false
	for _, p := range v.Plans {
		if p.Session == v.Wanted {
			found = true
			box.Add(v.planCard(p, "big"))
		}
	}
	class := ""
	if len(v.Plans) == 1 {
		class = "big"
	}
	for _, p := range v.Plans {
		if p.Session != v.Wanted {
			box.Add(v.planCard(p, class))
		}
	}
	if v.Wanted != "" && !found && v.kept(v.Wanted) == nil {
		box.Children = append([]*tree.Node{tree.El("p class=notice").AddText("This site has no plan for " + v.Wanted +
			" that is still to be run. Publish the site after planning, then open this page once with a network.")},
			box.Children...)
	}
	return filled(box)
}

func (v *View) planCard(p session.Plan, class string) *tree.Node {
	label := "Start this session"
	if k := v.kept(p.Session); k != nil {
		label, class = "Run it once more, as "+v.free(p.Session), ""
	}
	var names []string
	for _, shoe := range p.Shoes {
		names = append(names, p.Label(shoe.ID))
	}
	blocks := count(len(p.Order), "block", "blocks")
	if l := length(&p); l != "" {
		blocks += " of " + l
	}
	facts := joined(" · ", p.Venue, blocks+" at "+target(&p), strings.Join(names, ", "))
	card := tree.El("div class=card role=group").Set("aria-label", p.Session).Add(
		tree.El("h2").AddText(joined(" · ", day(p.Date), p.Effort.Name())), para(facts))
	if p.Date != v.Today {
		card.Add(tree.El("p class=notice").AddText("Planned for " + day(p.Date) + ". Today is " + day(v.Today) + "."))
	}
	return card.Add(tree.El("button type=button").Class(class).Set("id", "plan-"+p.Session).
		On("click", "plan "+p.Session).AddText(label))
}

// joined puts the facts that are not blank into one line.
func joined(between string, facts ...string) string {
	line := ""
	for _, fact := range facts {
		if fact != "" && line != "" {
			line += between
		}
		line += fact
	}
	return line
}

func (v *View) drawHere() *tree.Node {
	label := "Plan a session here"
	if len(v.Plans) > 0 {
		label = "Plan another session here"
	}
	class := ""
	if len(v.Plans)+len(v.Kept) == 0 {
		class = "big"
	}
	return tree.El("div class=list").Add(tree.El("button type=button id=form").Class(class).
		On("click", "menu "+menuForm).AddText(label))
}

func (v *View) cautions() *tree.Node {
	list := tree.El("ul")
	for _, caution := range Cautions {
		list.Add(tree.El("li").AddText(caution))
	}
	return tree.El("div class=care").Add(tree.El("h2").AddText("Take care"), list)
}

// lacks says what this browser, or the way the page was opened, does not offer. No page
// can find out whether its window is a private one, so that is always said.
func (v *View) lacks() *tree.Node {
	list := tree.El("ul class=lacks")
	say := func(missing bool, text string) {
		if missing {
			list.Add(tree.El("li").AddText(text))
		}
	}
	o := v.Offers
	say(!o.Keeps, "This browser keeps nothing for this page (a private window, perhaps). What you tap is lost when "+
		"the page is closed or reloaded: use a normal window.")
	say(o.Keeps, "Every tap is kept on this phone at once. Is this a private window? Then it is gone when you close "+
		"the window: use a normal one.")
	say(!o.Secure, "Opened over plain http: it works while it is open, but it will not open again without a network, "+
		"and the screen may switch off. Set the phone's screen timeout to its longest, or use an https address.")
	say(o.Secure && !o.Offline, "This browser does not keep the page: it works while it is open, but it will not open "+
		"again without a network.")
	say(o.Secure && !o.Wake, "This browser cannot keep the screen on: set the phone's screen timeout to its longest.")
	say(!o.Sounds, "This browser makes no sound at the end of a block: watch the clock.")
	say(o.Sounds && !o.Vibrates, "This browser cannot vibrate: turn the sound up and silent mode off.")
	return filled(list)
}

// finished lists the logs that are closed.
func (v *View) finished() *tree.Node {
	box := tree.El("div class=list")
	for _, k := range v.Kept {
		if k.Done {
			box.Add(plain("resume-"+k.Session, "resume "+k.Session, "Log of "+k.Session+": "+blocksRun(k)))
		}
	}
	if len(box.Children) == 0 {
		return nil
	}
	return tree.El("div").Add(tree.El("h2").AddText("Finished logs on this phone"), box)
}

func (v *View) weigh(s *session.State, _ float64) *tree.Node {
	label, none := s.Plan.Label(s.Plan.Shoes[s.Weighing].ID), "No scale here"
	if s.Weighing > 0 {
		none = "Stop weighing"
	}
	return v.frame(s, "Weigh "+label,
		v.pair("left", "Left, g", "right", "Right, g"),
		tree.El("p class=hint").AddText("As worn: insole and laces in, dry. You can weigh them at home instead."),
		two(big("keep", "keep", "Next"), plain("pass", string(session.Pass), none)))
}

func (v *View) day(s *session.State, _ float64) *tree.Node {
	return v.frame(s, "How is the weather?",
		v.pair("air", "Air, °C", "wind", "Wind, m/s"),
		tree.El("p class=hint").AddText("Wind: leaves rustle 2, twigs move 5, small trees sway 9."),
		v.choice("sky", "Sky", "sun", "cloud", "rain"), v.choice("surface", "Surface", "dry", "damp", "wet"),
		two(big("keep", "keep", "Next"), plain("pass", string(session.Pass), "Skip")))
}

func (v *View) sensor(s *session.State, _ float64) *tree.Node {
	return v.frame(s, "Where is the foot sensor?",
		tree.El("p class=hint").AddText("Move it from shoe to shoe, to the same place: it can read differently "+
			"elsewhere."),
		v.choice("side", "Shoe", "left", "right"), v.field("sensor", "Where on the shoe?", "", ""),
		two(big("keep", "keep", "Next"), plain("pass", string(session.Pass), "No foot sensor")))
}

func (v *View) warmUp(s *session.State, _ float64) *tree.Node {
	text := "Start the watch's recording first. Any shoes will do."
	if known(s.Plan.WarmUpS) {
		text = minutes(s.Plan.WarmUpS) + " easy. " + text
	}
	return v.frame(s, "Warm up", para(text), buttons(
		big("warm-start", string(session.WarmStart), "Start warm-up"), plain("pass", string(session.Pass),
			"No warm-up")))
}

func (v *View) warming(s *session.State, now float64) *tree.Node {
	run := now - s.WarmStart.S
	return v.frame(s, "Warm-up", countdown(run, s.Plan.WarmUpS, "left", "", "End it when you are ready."),
		buttons(big("warm-end", string(session.WarmEnd), "End warm-up")))
}

// countdown shows what is left of a planned length, what is over, or what has run
// where none is planned. What is planned is named in over, such as "rest" for a rest of
// 2:00, and then is what to do when it is over.
func countdown(run, planned float64, left, over, then string) *tree.Node {
	switch {
	case !known(planned):
		return clock(span(run), "so far")
	case run < planned:
		return clock(span(planned-float64(int(run))), left+" of "+span(planned))
	}
	past := "over " + span(planned)
	if over != "" {
		past = "over the " + over + " of " + span(planned)
	}
	if then != "" {
		past += ". " + then
	}
	return clock("+"+span(run-planned), past)
}
