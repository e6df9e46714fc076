package quality

import (
	"cmp"
	"strconv"
	"strings"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// shoesFile and datasetFile are where findings about registers and method point.
var (
	shoesFile   = trial.Position{File: "shoes.csv"}
	datasetFile = trial.Position{File: "dataset.yaml"}
)

// level is the shoes run at one effort and target, by id; each knows the first of
// those it is linked with.
type level struct {
	name    string
	words   string // "270 W"; "the same power" without a target
	shoes   []linked
	session string // of the last block, and the shoe it was run in
	shoe    string
}

type linked struct{ shoe, group string }

// group returns the group of a shoe, which is added when it is new.
func (l *level) group(shoe string) string {
	i := 0
	for i < len(l.shoes) && l.shoes[i].shoe != shoe {
		i++
	}
	if i == len(l.shoes) {
		l.shoes = append(l.shoes, linked{})
		for ; i > 0 && l.shoes[i-1].shoe > shoe; i-- {
			l.shoes[i] = l.shoes[i-1]
		}
		l.shoes[i] = linked{shoe, shoe}
	}
	return l.shoes[i].group
}

// link joins the shoe of a block with that of the block before in the same
// session.
func (l *level) link(session, shoe string) {
	into := l.group(shoe)
	if session == l.session && shoe != l.shoe {
		l.join(into, l.group(l.shoe))
	}
	l.session, l.shoe = session, shoe
}

// join makes one group of two, which gets the lower name.
func (l *level) join(a, b string) {
	if a == b {
		return
	}
	for i := range l.shoes {
		if s := &l.shoes[i]; s.group == max(a, b) {
			s.group = min(a, b)
		}
	}
}

// groups writes the groups, each in order, and counts them.
func (l *level) groups() (text string, n int) {
	for _, first := range l.shoes {
		if first.group != first.shoe {
			continue
		}
		if n++; n > 1 {
			text += " |"
		}
		for _, s := range l.shoes {
			if s.group == first.shoe {
				text += " " + s.shoe
			}
		}
	}
	return text, n
}

// levelWords names an effort and its target for people.
func levelWords(effort trial.Effort, target float64) string {
	if !units.Known(target) {
		return effort.Same()
	}
	return trial.FormatTarget(effort, target) + effortUnit(effort)
}

func shoesUnlinked(c *datasetCheck) {
	var levels []level
	var names trial.Levels
	session, at := -1, -1 // of the block in hand: its place in c.sessions, that of its level
	for i, b := range c.blocks {
		if i == 0 || b.Session != c.blocks[i-1].Session {
			session++
		}
		name := names.Name(c.sessions[session].Effort(), b.Target)
		if at < 0 || levels[at].name != name {
			for at = 0; at < len(levels) && levels[at].name != name; {
				at++
			}
		}
		if at == len(levels) {
			levels = append(levels, level{name: name, words: levelWords(c.sessions[session].Effort(), b.Target)})
		}
		levels[at].link(b.Session, b.Shoe)
	}
	for i := range levels {
		if text, n := levels[i].groups(); n > 1 {
			c.say(datasetFile, trial.Warn, float64(n), 1, "no session at "+levels[i].words+
				" links these groups of shoes:"+text)
		}
	}
}

func referenceNotRun(c *datasetCheck) {
	reference := c.dataset.Reference()
	if len(c.run) > 0 && blocksOf(c.run, reference) == 0 {
		c.say(datasetFile, trial.Warn, units.Missing, units.Missing,
			"the reference shoe "+strconv.Quote(reference)+" has no included block")
	}
}

// recordingTwice looks for a recording that was imported twice: from the same
// original, or with the same content.
func recordingTwice(c *datasetCheck) {
	seen := make(map[string]string, len(c.dataset.Sessions))
	for i := range c.dataset.Sessions {
		s := &c.dataset.Sessions[i]
		for j := range s.Facts.Recordings {
			r := &s.Facts.Recordings[j]
			path := s.Folder() + "/" + r.File
			sums := [2]string{r.SourceSha256, c.content[path]}
			if first := cmp.Or(seen[sums[0]], seen[sums[1]]); first != "" {
				c.stop(s, path+" is the same recording as "+first)
				continue
			}
			for _, sum := range sums {
				if sum != "" { // what is not known is not the same
					seen[sum] = path
				}
			}
		}
	}
}

func planMissing(c *datasetCheck) {
	without, first := 0, ""
	for _, s := range c.sessions {
		if s.Plan == nil {
			if without == 0 {
				first = s.ID
			}
			without++
		}
	}
	if without > 0 {
		c.say(datasetFile, trial.Note, float64(without), 0,
			num(float64(without), 0)+" of "+units.Count(len(c.sessions), "session")+
				" without a plan.yaml; the first is "+strconv.Quote(first))
	}
}

// variants lists the different texts that sessions of one effort give, each with the
// first session that gives it, and counts them; blank ones are passed over.
func (c *datasetCheck) variants(effort trial.Effort, of func(*trial.Session) string) (text string, n int) {
	seen, last := map[string]bool{"": true}, ""
	for _, s := range c.sessions {
		if s.Effort() != effort {
			continue
		}
		if t := of(s); t != last && !seen[t] {
			seen[t], last = true, t
			if n++; n > 1 {
				text += ", "
			}
			text += strconv.Quote(t) + " (first in " + s.ID + ")"
		}
	}
	return text, n
}

func sensorChanged(c *datasetCheck) {
	for _, effort := range trial.Efforts {
		if text, n := c.variants(effort, recordedWith); n > 1 {
			c.say(datasetFile, trial.Note, float64(n), 1,
				"sessions by "+effort.Name()+" were recorded differently: "+text)
		}
	}
}

// recordedWith says with what a session was recorded, where that was worn and how it was
// calibrated.
func recordedWith(s *trial.Session) string {
	text := ""
	for i := range s.Facts.Recordings {
		r := &s.Facts.Recordings[i]
		if i > 0 {
			text += " and "
		}
		text += r.Device
		if r.Mount != "" {
			text += " on " + r.Mount
		}
		if r.Calibration != "" {
			text += ", calibrated " + r.Calibration
		}
	}
	return text
}

func conditionsChanged(c *datasetCheck) {
	limits := &c.dataset.Facts.Limits
	for _, effort := range trial.Efforts {
		c.apart(effort, "air temperature", "°C", limits.AirApartC, func(f *trial.Conditions) float64 { return f.AirC })
		c.apart(effort, "wind", "m/s", limits.WindApartMps, func(f *trial.Conditions) float64 { return f.WindMps })
		text, n := c.variants(effort, func(s *trial.Session) string {
			return strings.ToLower(strings.TrimSpace(s.Facts.Conditions.Surface))
		})
		if n > 1 {
			c.changed(effort, float64(n), 1, "surface", "varied: "+text)
		}
	}
}

// apart reports a condition that differs between sessions of one effort by more
// than a limit.
func (c *datasetCheck) apart(effort trial.Effort, name, unit string, limit float64,
	of func(*trial.Conditions) float64) {
	value := func(i int) float64 {
		if c.sessions[i].Effort() != effort {
			return units.Missing
		}
		return of(&c.sessions[i].Facts.Conditions)
	}
	low, high := extremes(len(c.sessions), value)
	if low < 0 {
		return
	}
	if apart := value(high) - value(low); apart > limit {
		c.changed(effort, apart, limit, name, "ranged from "+num(value(low), 1)+" to "+num(value(high), 1)+" "+unit)
	}
}

func (c *datasetCheck) changed(effort trial.Effort, value, limit float64, name, how string) {
	c.say(datasetFile, trial.Note, value, limit, name+" in the sessions by "+effort.Name()+" "+how)
}

func wearApart(c *datasetCheck) {
	low, high := c.furthest(func(s *trial.Shoe) float64 { return s.WornKm })
	if limit := c.dataset.Facts.Limits.WearApartKm; low != nil && high.WornKm-low.WornKm > limit {
		c.say(shoesFile, trial.Note, high.WornKm-low.WornKm, limit,
			low.ID+" had been worn for "+num(low.WornKm, 0)+" km, "+high.ID+" for "+num(high.WornKm, 0)+" km")
	}
}

func sizeDiffers(c *datasetCheck) {
	if low, high := c.furthest(func(s *trial.Shoe) float64 { return s.SizeEU }); low != nil &&
		high.SizeEU > low.SizeEU {
		c.say(shoesFile, trial.Note, high.SizeEU-low.SizeEU, 0,
			low.ID+" is size "+num(low.SizeEU, 1)+", "+high.ID+" is size "+num(high.SizeEU, 1))
	}
}

// furthest returns the compared shoes with the lowest and the highest known
// number, nil without any.
func (c *datasetCheck) furthest(number func(*trial.Shoe) float64) (low, high *trial.Shoe) {
	shoes := c.dataset.Shoes
	i, j := extremes(len(shoes), func(i int) float64 {
		if blocksOf(c.run, shoes[i].ID) == 0 {
			return units.Missing
		}
		return number(&shoes[i])
	})
	if i < 0 {
		return nil, nil
	}
	return &shoes[i], &shoes[j]
}

func oneRunner(c *datasetCheck) {
	if len(c.run) < 2 {
		return
	}
	for _, s := range c.sessions {
		if s.Facts.Runner != c.sessions[0].Facts.Runner {
			return
		}
	}
	c.say(datasetFile, trial.Note, 1, 2, "the same runner ran every block")
}

func massMissing(c *datasetCheck) {
	for i := range c.dataset.Shoes {
		if shoe := &c.dataset.Shoes[i]; blocksOf(c.run, shoe.ID) > 0 && !units.Known(shoe.MassG) {
			c.say(shoe.At, trial.Warn, units.Missing, units.Missing, "shoe "+strconv.Quote(shoe.ID)+" has no mass_g")
		}
	}
}
