package screen

import (
	"strconv"

	"soletrial/viewer/track/session"
	"soletrial/viewer/tree"
)

// Page returns what the page shows: the session at a time of its stopwatch, or the
// first screen when s is nil.
func Page(v *View, s *session.State, now float64) []*tree.Node {
	if s == nil || s.Step == session.StepPlan {
		if v.Menu == menuForm {
			return []*tree.Node{v.form()}
		}
		return []*tree.Node{v.home()}
	}
	main := v.menu(s)
	if main == nil {
		main = steps[s.Step](v, s, now)
	}
	nodes := []*tree.Node{v.bar(s)}
	if news := parted(s); news != nil {
		nodes = append(nodes, news)
	}
	return append(nodes, main, v.foot(s))
}

// newsS is for how many seconds it is said that the clocks parted, and then until the
// next tap: nothing may move on the screen as a finger comes down.
const newsS = 60

// parted says that the clocks parted, while that is news.
func parted(s *session.State) *tree.Node {
	n := len(s.Changes)
	if n == 0 || s.Step == session.StepDone || s.LastEventS()-s.Changes[n-1].AtS > newsS {
		return nil
	}
	return tree.El("p class=notice role=status").Keyed("parted").AddText(changeText(s.Changes[n-1]))
}

// Key names what the page shows: when it changes, the person is at something new.
func Key(v *View, s *session.State) string {
	if s == nil {
		return "home " + v.Menu
	}
	return strconv.Itoa(int(s.Step)) + " " + strconv.Itoa(s.Weighing) + " " + s.NextName() + " " + v.Menu
}

// steps is what is shown of each step.
var steps map[session.Step]func(*View, *session.State, float64) *tree.Node

func init() { // a variable alone would be made from functions that read it
	steps = map[session.Step]func(*View, *session.State, float64) *tree.Node{
		session.StepWeigh: (*View).weigh, session.StepDay: (*View).day, session.StepSensor: (*View).sensor,
		session.StepWarmUp:  (*View).warmUp,
		session.StepWarming: (*View).warming, session.StepChange: (*View).change, session.StepRunning: (*View).running,
		session.StepLate: (*View).late, session.StepEarly: (*View).early, session.StepExertion: (*View).exertion,
		session.StepComfort: (*View).comfort, session.StepNote: (*View).note, session.StepClosing: (*View).closing,
		session.StepWhy: (*View).stopped, session.StepDone: (*View).done,
	}
}

// bar is the top of every screen of a session: where one is, and Stop.
func (v *View) bar(s *session.State) *tree.Node {
	bar := tree.El("header class=bar").Keyed("bar").Add(tree.El("p class=where").AddText(where(s)))
	if s.Step < session.StepWhy {
		bar.Add(tree.El("button type=button id=stop class=stop").On("click", string(session.Stop)).
			AddText("Stop session"))
	}
	return bar
}

// where says in a few words how far the session is.
func where(s *session.State) string {
	all := strconv.Itoa(len(s.Plan.Order))
	switch s.Step {
	case session.StepWeigh, session.StepDay, session.StepSensor, session.StepWarmUp, session.StepWarming:
		return "Before " + tied("block 1 of "+all)
	case session.StepChange:
		return "Next: " + tied("block "+s.NextName()+" of "+all)
	case session.StepClosing, session.StepWhy, session.StepDone:
		return strconv.Itoa(len(s.Blocks)) + " of " + all + " blocks run"
	}
	return "Block " + s.Last().Name + " of " + all
}

// foot is the bottom of every screen of a session: undo, redo, and what is seldom.
func (v *View) foot(s *session.State) *tree.Node {
	foot := tree.El("footer class=foot").Keyed("foot")
	if v.Menu != "" { // Back is the way out of a menu
		return foot
	}
	if s.Undoable != "" {
		foot.Add(small("undo", "Undo: "+actName(s.Undoable)).On("click", string(session.Undo)))
	}
	if s.Redoable != "" {
		foot.Add(small("redo", "Redo: "+actName(s.Redoable)).On("click", string(session.Redo)))
	}
	if s.Step < session.StepWhy {
		foot.Add(small("more", "More").On("click", "menu "+menuMore))
	}
	return foot
}

// frame is the middle of a screen: a heading that says what to do, then the rest.
func (v *View) frame(s *session.State, heading string, rest ...*tree.Node) *tree.Node {
	if v.Notice != "" {
		rest = append([]*tree.Node{tree.El("p class=notice role=alert").AddText(v.Notice)}, rest...)
	}
	return v.bareFrame(s, heading, rest...)
}

// bareFrame is a frame whose rest shows the notice itself.
func (v *View) bareFrame(s *session.State, heading string, rest ...*tree.Node) *tree.Node {
	return tree.El("section class=now aria-labelledby=now").Keyed(Key(v, s)).
		Add(tree.El("h1 id=now tabindex=-1").AddText(heading), care(s)).Add(rest...)
}

// big is a button for what one does most.
func big(id, action, label string) *tree.Node {
	return tree.El("button type=button class=big").Set("id", id).On("click", action).AddText(label)
}

// plain is a button for what may be done instead.
func plain(id, action, label string) *tree.Node {
	return tree.El("button type=button").Set("id", id).On("click", action).AddText(label)
}

func small(id, label string) *tree.Node {
	return tree.El("button type=button class=small").Set("id", id).AddText(label)
}

func para(text string) *tree.Node { return tree.El("p").AddText(text) }

// buttons are the answers to a question, one below the other; see two.
func buttons(list ...*tree.Node) *tree.Node { return tree.El("div class=buttons").Add(list...) }

// two are buttons side by side, below fields that need the room.
func two(list ...*tree.Node) *tree.Node { return tree.El("div").Class("buttons two").Add(list...) }

// clock is a time in large figures, with what it counts below it.
func clock(time, of string) *tree.Node {
	class := "time"
	if n := len(time); n > len("+5:59") {
		class = "time longest"
	} else if n > len("5:59") {
		class = "time long"
	}
	return tree.El("div class=clock").Add(
		tree.El("p role=timer aria-live=off").Class(class).AddText(time), tree.El("p class=of").AddText(of))
}

// field is a labelled field for a number or a line of text.
func (v *View) field(name, label, kind, hint string) *tree.Node {
	input := tree.El("input autocomplete=off").Set("id", "field-"+name).Set("value", v.Draft[name]).
		On("input", "draft "+name)
	if kind == "number" {
		input.Set("inputmode", "decimal")
	}
	label2 := tree.El("label").Set("for", "field-"+name).AddText(label)
	box := tree.El("div class=field").Add(label2, input)
	if hint != "" {
		input.Set("aria-describedby", "hint-"+name)
		box.Add(tree.El("p class=hint").Set("id", "hint-"+name).AddText(hint))
	}
	return box
}

// pair is two fields for numbers side by side.
func (v *View) pair(left, leftLabel, right, rightLabel string) *tree.Node {
	return tree.El("div class=pair").Add(v.field(left, leftLabel, "number", ""),
		v.field(right, rightLabel, "number", ""))
}

// choice is a row of buttons of which one is chosen.
func (v *View) choice(name, label string, options ...string) *tree.Node {
	row := tree.El("div class=options role=group").Set("aria-label", label)
	for _, option := range options {
		pressed := "false"
		if v.Draft[name] == option {
			pressed = "true"
		}
		row.Add(tree.El("button type=button").Set("aria-pressed", pressed).Set("value", option).
			On("click", "draft "+name).AddText(option))
	}
	return tree.El("div").Class("field choice").Add(tree.El("p class=label aria-hidden=true").AddText(label), row)
}
