package screen

import (
	"strconv"
	"strings"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
	"soletrial/viewer/track/session"
	"soletrial/viewer/tree"
)

// maxShoes is how many shoes the form asks for.
const maxShoes = 4

// form asks for what a session without a plan needs to know.
func (v *View) form() *tree.Node {
	main := tree.El("section class=home aria-labelledby=now").Keyed("form").
		Add(tree.El("h1 id=now tabindex=-1").AddText("Plan a session here"))
	shoes := tree.El("fieldset").Add(tree.El("legend").AddText("Shoes, two or more"))
	for i := range maxShoes {
		n := strconv.Itoa(i + 1)
		shoes.Add(v.field("shoe"+n, "Shoe "+n, "", ""))
	}
	hold := v.choice("effort", "What do you hold?", "power", "pace", "heart rate")
	main.Add(shoes, hold, v.field("target", targetLabel(v.Draft["effort"]), "", ""),
		v.pair("blocks", "Blocks", "block", "Block, min"),
		v.pair("rest", "Rest, min", "warm", "Warm-up, min"),
		tree.El("p class=hint").AddText("The order is drawn by chance from the orders that share tiredness "+
			"evenly. It is drawn once: do not draw again until you like it."))
	if v.Notice != "" {
		main.Add(tree.El("p class=notice role=alert").AddText(v.Notice))
	}
	return main.Add(buttons(big("draw", string(DrawOne), "Draw the order and start"), plain("back", "menu ", "Back")))
}

// targetLabel asks for the target in the unit of what is held.
func targetLabel(effort string) string {
	switch effort {
	case "pace":
		return "Target, min:s per km (such as 4:30)"
	case "heart rate":
		return "Target, beats per minute"
	}
	return "Target, watts"
}

// FormDefaults are the entries that the form starts with; the shoes are those of
// the dataset, where it has two or more.
func (v *View) FormDefaults() {
	v.Draft = map[string]string{"effort": "power", "blocks": "8", "block": "6", "rest": "2", "warm": "15"}
	for i, shoe := range v.Shoes {
		if i < maxShoes && len(v.Shoes) > 1 {
			v.Draft["shoe"+strconv.Itoa(i+1)] = label(shoe)
		}
	}
}

func label(shoe session.Shoe) string {
	if shoe.Label != "" {
		return shoe.Label
	}
	return shoe.ID
}

// FromForm makes the plan that the form describes, its order drawn by the seed. What
// is wrong becomes the notice; ok is false then.
func (v *View) FromForm(seed uint64) (p session.Plan, ok bool) {
	p = session.NoPlan()
	p.Date, p.Shoes, p.Target = v.Today, v.formShoes(), strings.TrimSpace(v.Draft["target"])
	p.Effort = trial.Effort(strings.ReplaceAll(v.Draft["effort"], " ", "_"))
	blocks, notice := v.formNumbers(&p)
	if t, err := trial.ParseTarget(p.Effort, p.Target); err != nil || t <= 0 {
		notice = targetLabel(v.Draft["effort"]) + ": write it like this, or leave it blank."
	}
	if v.Notice = notice; notice != "" {
		return p, false
	}
	p, err := session.WithOrder(p, blocks, seed)
	if err != nil {
		v.Notice = strings.ToUpper(err.Error()[:1]) + err.Error()[1:] + "."
		return p, false
	}
	p.Session = v.free(v.Today + "-" + strings.ReplaceAll(string(p.Effort), "_", "-"))
	return p, true
}

// formNumbers reads the lengths in minutes and the number of blocks.
func (v *View) formNumbers(p *session.Plan) (blocks int, notice string) {
	var n float64
	for _, f := range []struct {
		field, name string
		into        *float64
		low, high   float64
	}{{"blocks", "Blocks", &n, 2, 40}, {"block", "Block", &p.BlockS, 0.5, 120}, {"rest", "Rest", &p.RestS, 0, 60},
		{"warm", "Warm-up", &p.WarmUpS, 0, 120}} {
		x, err := units.ParseDecimal(decimal(strings.TrimSpace(v.Draft[f.field])))
		if err != nil || x < f.low || x > f.high {
			return 0, f.name + ": write a number from " + units.FormatExact(f.low) + " to " +
				units.FormatExact(f.high) + "."
		}
		*f.into = float64(60 * x)
	}
	return int(n / 60), ""
}

// formShoes returns the shoes that were named, with the ids of the dataset where it
// knows them.
func (v *View) formShoes() (list []session.Shoe) {
	for i := range maxShoes {
		name := strings.TrimSpace(v.Draft["shoe"+strconv.Itoa(i+1)])
		if name == "" {
			continue
		}
		shoe := session.Shoe{ID: slug(name), Label: name}
		for _, known := range v.Shoes {
			if strings.EqualFold(label(known), name) || known.ID == name {
				shoe = known
			}
		}
		if shoe.ID == "" {
			shoe.ID = "shoe-" + strconv.Itoa(i+1)
		}
		list = append(list, shoe)
	}
	return list
}

// slug makes an id of a name: small letters and digits, everything else a dash.
func slug(name string) string {
	id := strings.Map(func(c rune) rune {
		if c >= 'a' && c <= 'z' || c >= '0' && c <= '9' {
			return c
		}
		return '-'
	}, strings.ToLower(name))
	for strings.Contains(id, "--") {
		id = strings.ReplaceAll(id, "--", "-")
	}
	return strings.Trim(id, "-")
}
