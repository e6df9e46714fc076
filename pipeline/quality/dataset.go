package quality

import (
	"fmt"
	"slices"
	"strings"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// shoesFile and datasetFile are where findings about registers and method point.
var (
	shoesFile   = trial.Position{File: "shoes.csv"}
	datasetFile = trial.Position{File: "dataset.yaml"}
)

// levels lists, in order of the first block, the levels that blocks were run at
// with the sessions and the shoes of each.
func (c *datasetCheck) levels() []*level {
	var list []*level
	for _, b := range c.blocks {
		name := string(trial.Level(c.sessions[b.Session].Effort(), b.Target))
		i := slices.IndexFunc(list, func(l *level) bool { return l.name == name })
		if i < 0 {
			i = len(list)
			list = append(list, &level{name: name, group: map[string]string{}})
		}
		list[i].link(b.Session, b.Shoe)
	}
	return list
}

// level is the blocks of one effort and target. Group maps each shoe to the first
// shoe of those it is linked with.
type level struct {
	name    string
	group   map[string]string
	session string // of the last block, and the shoe it was run in
	shoe    string
}

// link joins a shoe with those of the same session.
func (l *level) link(session, shoe string) {
	if l.group[shoe] == "" {
		l.group[shoe] = shoe
	}
	if session == l.session {
		from, to := max(l.group[shoe], l.group[l.shoe]), min(l.group[shoe], l.group[l.shoe])
		for other, group := range l.group { // every entry is treated alike
			if group == from {
				l.group[other] = to
			}
		}
	}
	l.session, l.shoe = session, shoe
}

func shoesUnlinked(c *datasetCheck) {
	for _, l := range c.levels() {
		members := map[string][]string{}
		for _, shoe := range sortedKeys(l.group) {
			members[l.group[shoe]] = append(members[l.group[shoe]], shoe)
		}
		if len(members) < 2 {
			continue
		}
		var groups []string
		for _, first := range sortedKeys(members) {
			groups = append(groups, strings.Join(members[first], " "))
		}
		c.report(trial.Finding{Severity: trial.Warn, Value: float64(len(groups)), Limit: 1, At: datasetFile,
			Message: fmt.Sprintf("at %s no session links these shoes: %s", l.name, strings.Join(groups, " | ")),
			Hint:    "they are not compared; run one shoe of each group in the same session"})
	}
}

func referenceNotRun(c *datasetCheck) {
	reference := c.dataset.Reference()
	if run := perShoe(c.blocks); len(run) > 0 && run[reference] == 0 {
		c.report(trial.Finding{Severity: trial.Warn, Value: units.Missing, Limit: units.Missing, At: datasetFile,
			Message: fmt.Sprintf("the reference shoe %q has no block that is compared", reference),
			Hint:    "run it, or name another in method.reference"})
	}
}

// recordingTwice looks for a recording that was imported twice: from the same
// original, or with the same content.
func recordingTwice(c *datasetCheck) {
	seen := map[string]Print{}
	for _, p := range c.prints {
		for _, hash := range []string{p.Source, p.Content} {
			first, twice := seen[hash]
			if hash == "" || twice && first.Session == p.Session && first.File == p.File {
				continue
			}
			if !twice {
				seen[hash] = p
				continue
			}
			c.report(trial.Finding{Session: p.Session, Severity: trial.Stop, Value: units.Missing, Limit: units.Missing,
				Message: fmt.Sprintf("%q is the same recording as %q of session %q", p.File, first.File, first.Session),
				Hint:    "one run counts once: remove one of the two, or import the right file"})
			break
		}
	}
}

func planMissing(c *datasetCheck) {
	var without []string
	sessions := c.compared()
	for _, s := range sessions {
		if s.Plan == nil {
			without = append(without, s.ID)
		}
	}
	if len(without) > 0 {
		c.report(trial.Finding{Severity: trial.Note, Value: float64(len(without)), Limit: 0, At: datasetFile,
			Message: fmt.Sprintf("%d of %s without a plan.yaml, first %q", len(without), counted(len(sessions), "session"), without[0]),
			Hint:    "an order that was committed before the run cannot have been chosen to suit"})
	}
}

// compared lists the sessions that have blocks which are compared, in their order.
func (c *datasetCheck) compared() []*trial.Session {
	var list []*trial.Session
	for _, b := range c.blocks {
		if n := len(list); n == 0 || list[n-1].ID != b.Session {
			list = append(list, c.sessions[b.Session])
		}
	}
	return list
}

// sortsOf lists the different texts that sessions of one effort give, in order,
// each with the first session that gives it; blank ones are passed over.
func sortsOf(sessions []*trial.Session, effort trial.Effort, text func(*trial.Session) string) (sorts []string) {
	var seen []string
	for _, s := range sessions {
		if t := text(s); s.Effort() == effort && t != "" && !slices.Contains(seen, t) {
			seen = append(seen, t)
			sorts = append(sorts, fmt.Sprintf("%q (first %s)", t, s.ID))
		}
	}
	return sorts
}

func sensorChanged(c *datasetCheck) {
	sessions := c.compared()
	for _, effort := range trial.Efforts {
		if sorts := sortsOf(sessions, effort, wornIn); len(sorts) > 1 {
			c.report(trial.Finding{Severity: trial.Note, Value: float64(len(sorts)), Limit: 1, At: datasetFile,
				Message: fmt.Sprintf("sessions at held %s were recorded differently: %s", strings.ReplaceAll(string(effort), "_", " "), strings.Join(sorts, ", ")),
				Hint:    "shoes are compared within sessions, so this does no harm by itself; calibrate each sensor the same way"})
		}
	}
}

// wornIn says with what a session was recorded, and where it was worn.
func wornIn(s *trial.Session) string {
	var list []string
	for _, r := range s.Facts.Recordings {
		text := r.Device
		if r.Mount != "" {
			text += " on " + r.Mount
		}
		if text != "" {
			list = append(list, text)
		}
	}
	slices.Sort(list)
	return strings.Join(list, " and ")
}

func conditionsChanged(c *datasetCheck) {
	sessions, limits := c.compared(), c.dataset.Facts.Limits
	for _, effort := range trial.Efforts {
		c.apart(sessions, effort, "air temperature", "°C", limits.AirApartC, func(f *trial.Conditions) float64 { return f.AirC })
		c.apart(sessions, effort, "wind", "m/s", limits.WindApartMps, func(f *trial.Conditions) float64 { return f.WindMps })
		surfaces := sortsOf(sessions, effort, func(s *trial.Session) string { return strings.ToLower(strings.TrimSpace(s.Facts.Conditions.Surface)) })
		if len(surfaces) > 1 {
			c.changed(effort, float64(len(surfaces)), 1, "different surfaces: "+strings.Join(surfaces, ", "))
		}
	}
}

// apart reports a condition that differs between sessions of one effort by more
// than a limit.
func (c *datasetCheck) apart(sessions []*trial.Session, effort trial.Effort, name, unit string, limit float64, of func(*trial.Conditions) float64) {
	low, high := units.Missing, units.Missing
	for _, s := range sessions {
		if x := of(&s.Facts.Conditions); s.Effort() == effort && units.Known(x) {
			if !(x >= low) {
				low = x
			}
			if !(x <= high) {
				high = x
			}
		}
	}
	if high-low > limit {
		c.changed(effort, high-low, limit, fmt.Sprintf("%s from %s to %s %s", name, units.FormatDecimal(low, 1), units.FormatDecimal(high, 1), unit))
	}
}

func (c *datasetCheck) changed(effort trial.Effort, value, limit float64, what string) {
	c.report(trial.Finding{Severity: trial.Note, Value: value, Limit: limit, At: datasetFile,
		Message: fmt.Sprintf("sessions at held %s had %s", strings.ReplaceAll(string(effort), "_", " "), what),
		Hint:    "shoes are compared within sessions; a difference that depends on conditions shows as one that varies from session to session"})
}

// run lists the shoes that have blocks which are compared, in register order.
func (c *datasetCheck) run() []*trial.Shoe {
	count := perShoe(c.blocks)
	var list []*trial.Shoe
	for i := range c.dataset.Shoes {
		if s := &c.dataset.Shoes[i]; count[s.ID] > 0 {
			list = append(list, s)
		}
	}
	return list
}

func wearApart(c *datasetCheck) {
	if low, high := furthest(c.run(), func(s *trial.Shoe) float64 { return s.WornKm }); low != nil {
		if apart := high.WornKm - low.WornKm; apart > c.dataset.Facts.Limits.WearApartKm {
			c.report(trial.Finding{Severity: trial.Note, Value: apart, Limit: c.dataset.Facts.Limits.WearApartKm, At: shoesFile,
				Message: fmt.Sprintf("%s had been worn for %s km, %s for %s km", low.ID, units.FormatDecimal(low.WornKm, 0), high.ID, units.FormatDecimal(high.WornKm, 0)),
				Hint:    "the comparison is of these pairs as they are, not of the models; compare pairs with similar wear"})
		}
	}
}

func sizeDiffers(c *datasetCheck) {
	if low, high := furthest(c.run(), func(s *trial.Shoe) float64 { return s.SizeEU }); low != nil && high.SizeEU > low.SizeEU {
		c.report(trial.Finding{Severity: trial.Note, Value: high.SizeEU - low.SizeEU, Limit: 0, At: shoesFile,
			Message: fmt.Sprintf("%s is size %s, %s is size %s", low.ID, units.FormatDecimal(low.SizeEU, 1), high.ID, units.FormatDecimal(high.SizeEU, 1)),
			Hint:    "mass and fit go with size; compare shoes in the same size where they fit"})
	}
}

// furthest returns the shoes with the lowest and the highest known number, nil
// without any.
func furthest(shoes []*trial.Shoe, number func(*trial.Shoe) float64) (low, high *trial.Shoe) {
	for _, s := range shoes {
		x := number(s)
		if units.Known(x) && (low == nil || x < number(low)) {
			low = s
		}
		if units.Known(x) && (high == nil || x > number(high)) {
			high = s
		}
	}
	return low, high
}

func oneRunner(c *datasetCheck) {
	var runners []string
	for _, s := range c.compared() {
		if !slices.Contains(runners, s.Facts.Runner) {
			runners = append(runners, s.Facts.Runner)
		}
	}
	if len(runners) == 1 && len(c.run()) > 1 {
		c.report(trial.Finding{Severity: trial.Note, Value: 1, Limit: 2, At: datasetFile,
			Message: "every block was run by one runner",
			Hint:    "the answer holds for that runner; runners differ in what a shoe does for them"})
	}
}
