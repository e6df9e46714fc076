package session

import (
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/trial"
)

// Published reads the plans that are still to be run, the shoes of the dataset, and
// the version of the program that published them, as pipeline/site writes them.
func Published(root *plaintext.Node) (plans []Plan, shoes []Shoe, version string) {
	labels := map[string]string{}
	for _, n := range items(root, "shoes") {
		shoe := Shoe{ID: text(n, "id"), Label: text(n, "label")}
		shoes, labels[shoe.ID] = append(shoes, shoe), shoe.Label
	}
	for _, n := range items(root, "plans") {
		p := NoPlan()
		p.Session, p.Date, p.Venue, p.Source = text(n, "session"), text(n, "date"), text(n,
			"venue"), trial.PlanOfDataset
		p.Effort, p.Target = trial.Effort(text(n, "effort")), text(n, "target")
		p.BlockS, p.RestS, p.WarmUpS = parse(text(n, "block_s")), parse(text(n, "rest_s")), parse(text(n, "warm_up_s"))
		p.LapM = parse(text(n, "lap_m"))
		for _, id := range items(n, "shoes") {
			p.Shoes = append(p.Shoes, Shoe{id.Text, labels[id.Text]})
		}
		for _, id := range items(n, "order") {
			p.Order = append(p.Order, id.Text)
		}
		plans = append(plans, p)
	}
	return plans, shoes, text(root, "program")
}

func text(n *plaintext.Node, key string) string {
	if value := n.Get(key); value != nil {
		return value.Text
	}
	return ""
}

func items(n *plaintext.Node, key string) []*plaintext.Node {
	if list := n.Get(key); list != nil {
		return list.Items
	}
	return nil
}
