package screen

import (
	"strings"

	"soletrial/viewer/track/session"
	"soletrial/viewer/tree"
)

// menu is what is open instead of the step, nil for nothing.
func (v *View) menu(s *session.State) *tree.Node {
	back := plain("back", "menu ", "Back")
	switch {
	case v.Menu == menuMore:
		return v.frame(s, "Something else", v.more(s).Add(back))
	case v.Menu == menuSwap:
		_, planned := s.Next()
		return v.frame(s, "Which shoe for block "+s.NextName()+"?", para("Planned: "+s.Plan.Label(planned)+"."),
			v.otherShoes(s, session.Swap, planned).Add(back))
	case v.Menu == menuWore:
		return v.frame(s, "Which shoe in block "+s.Last().Name+"?",
			v.otherShoes(s, session.Wore, s.Last().Shoe).Add(back))
	case v.Menu == menuText:
		return v.frame(s, "fieldlog.yaml", buttons(big("copy", string(Copy), "Copy"), back),
			tree.El("pre id=log tabindex=0").AddText(string(s.Text())))
	case v.Menu == menuDelete:
		return v.frame(s, "Delete this log?", para("It is nowhere else unless you shared or saved it."),
			buttons(plain("delete-now", string(Delete), "Delete it"), big("back", "menu ", "Keep it")))
	case strings.HasPrefix(v.Menu, menuWhy):
		asked, _, _ := strings.Cut(strings.TrimPrefix(v.Menu, menuWhy), " ")
		return v.frame(s, whyTitle(s, asked), v.reasons(asked), buttons(back))
	}
	return nil
}

// more lists what is seldom done in this step.
func (v *View) more(s *session.State) *tree.Node {
	list := tree.El("div class=buttons")
	last := s.Last()
	if s.Step == session.StepChange {
		list.Add(plain("skip", "menu "+menuWhy+string(session.Skip), "Skip block "+s.NextName()))
	}
	if last != nil && last.Ended && last.Excluded == "" && s.Step < session.StepWhy {
		list.Add(plain("again", "menu "+menuWhy+string(session.Again), "Run block "+last.Name+" again"))
	}
	if s.Step == session.StepChange {
		list.Add(plain("swap", "menu "+menuSwap, "Another shoe for block "+s.NextName()))
	}
	if last != nil && s.Step >= session.StepChange && s.Step < session.StepWhy {
		list.Add(plain("wore", "menu "+menuWore, "Another shoe in block "+last.Name))
	}
	return list.Add(plain("leave", string(Leave), "To the first screen (the clock runs on)"))
}

// otherShoes offers all shoes but one.
func (v *View) otherShoes(s *session.State, asked session.Kind, but string) *tree.Node {
	list := tree.El("div class=buttons")
	for _, shoe := range s.Plan.Shoes {
		if shoe.ID != but {
			list.Add(plain("shoe-"+shoe.ID, "menu "+menuWhy+string(asked)+" "+shoe.ID, s.Plan.Label(shoe.ID)))
		}
	}
	return list
}

func whyTitle(s *session.State, asked string) string {
	switch session.Kind(asked) {
	case session.Skip:
		return "Skip block " + s.NextName() + ". Why?"
	case session.Again:
		return "Run block " + s.Last().Name + " again. Why?"
	}
	return "Another shoe. Why?"
}
