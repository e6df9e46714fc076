package plaintext

import (
	"slices"
	"strings"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// readPlanFacts turns plan.yaml into facts.
func readPlanFacts(n *Node, known registers, r *report) *trial.PlanFacts {
	facts := bind[trial.PlanFacts](n, r)
	b := binder{r}
	b.shoeList(n, "shoes", facts.Shoes, known.shoes, "add it to "+shoesFile, shoesFile)
	b.shoeList(n, "order", facts.Order, facts.Shoes, "add it to shoes", "shoes")
	b.start(n, facts.Start)
	b.sessionTarget(n, facts.Effort, facts.Target)
	b.draw(n.Get("draw"), facts.Draw)
	b.aim(n.Get("aim"), facts.Aim)
	return &facts
}

// shoeList reports ids that are not known; nothing can be said when known is nil.
func (b binder) shoeList(n *Node, key string, ids, known []string, hint, where string) {
	if ids != nil && len(ids) < 2 {
		b.complain(n.at(key), key, "name two or more", "the list has %d values", len(ids))
	}
	for i, id := range ids {
		if id != "" && known != nil && !slices.Contains(known, id) {
			b.complain(n.Get(key).Items[i].At, key, suggestOr(id, known, hint), "%q is not in %s", id, where)
		}
	}
}

// draw reports counts that are no counts, and a place that is not among the
// orders.
func (b binder) draw(n *Node, draw trial.PlanDraw) {
	if n == nil {
		return // reported as missing
	}
	for _, count := range []struct {
		key   string
		value float64
	}{{"seed", draw.Seed}, {"place", draw.Place}, {"orders", draw.Orders}, {"considered", draw.Considered}} {
		if strings.Contains(n.child(count.key).text(), ".") && count.value == count.value {
			b.complain(n.at(count.key), count.key, "leave plan.yaml as plan wrote it", "%s is not a whole number",
				n.child(count.key).text())
		}
	}
	if draw.Place > draw.Orders {
		b.complain(n.at("place"), "place", "leave plan.yaml as plan wrote it", "order %s is not among %s",
			n.Get("place").Text, n.Get("orders").Text)
	}
}

// aim reports a number of sessions that is no count, and an aim that is two.
func (b binder) aim(n *Node, aim trial.PlanAim) {
	if n == nil {
		return
	}
	sessions := n.child("sessions").text()
	if strings.Contains(sessions, ".") && units.Known(aim.Sessions) {
		b.complain(n.at("sessions"), "sessions", "write a whole number", "%s is not a whole number", sessions)
	}
	if units.Known(aim.WidthPct) && units.Known(aim.Sessions) {
		b.complain(n.at("sessions"), "aim", "keep one of the two", "a width and a number of sessions are two aims")
	}
}

// text is what a scalar says; "" for nothing and for what is none.
func (n *Node) text() string {
	if n == nil {
		return ""
	}
	return n.Text
}
