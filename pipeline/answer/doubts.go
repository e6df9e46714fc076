package answer

import (
	"math"
	"slices"
	"strings"

	"soletrial/pipeline/english"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// otherEfforts says whether the other efforts agree with the headline.
func (s Speaker) otherEfforts() (doubts, checks []string) {
	_, top := s.Answers.Top()
	for i := range s.Answers.Efforts {
		e := &s.Answers.Efforts[i]
		g := e.Main()
		if i == s.Answers.Headline || g == nil {
			continue
		}
		// Another leader is a doubt, the same a check; everything else says little.
		at := units.Count(e.Sessions, "session") + " at " + e.Effort.Same()
		leader := s.Label(g.Places[0].Shoe)
		switch {
		case slices.Contains(s.Answers.Disagree, i):
			doubts = append(doubts, at+verb(e.Sessions, " points to ", " point to ")+leader+" instead ("+
				Chance(g.Places[0].Best)+").")
		case g.Places[0].Shoe == top.Places[0].Shoe && g.Places[0].Best >= agreeChance:
			checks = append(checks, at+verb(e.Sessions, " agrees: ", " agree: ")+leader+" first ("+
				Chance(g.Places[0].Best)+").")
		default:
			checks = append(checks, at+verb(e.Sessions, " does", " do")+" not contradict this answer.")
		}
	}
	return doubts, checks
}

// verb chooses the form of a verb for one or many.
func verb(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

// doubts says what speaks against the answer of a group, and what supports it.
func (s Speaker) doubts(e *Effort, g *Group) (doubts, checks []string) {
	lead := g.Lead
	leader, second := s.Label(lead.Shoe), s.Label(lead.Reference)
	// The sensor, beside every answer.
	if line := e.sensorDoubt(lead, leader); line != "" {
		doubts = append(doubts, line)
	}
	// Heart rate at the same power.
	switch h := lead.HeartCheck; {
	case h.Higher:
		doubts = append(doubts, "Heart rate was higher in "+leader+" than in "+second+": it may have been run harder.")
	case h.Lower:
		checks = append(checks, "Heart rate was lower in "+leader+", which supports the answer.")
	case h.Passed:
		checks = append(checks, "Heart rate does not explain the difference.")
	}
	// One block that decides.
	if d := e.Decisive(g); d != nil {
		doubts = append(doubts, english.Capitalise(d.Name())+" decides: without it "+
			withoutWords(d.Without, s.Label(d.Without.Leader))+d.others()+".")
	}
	// Equal effort.
	if moved := e.Adjustment(lead); math.Abs(moved) > math.Abs(lead.D.Mean)/2 {
		doubts = append(doubts, "The shoes were not run at quite the same effort: correcting for it changes the "+
			"difference by "+strings.TrimSuffix(Size(moved), " %")+" points, to "+Size(lead.D.Mean)+".")
	}
	doubts = append(doubts, s.notChecked(e, lead)...)
	// Other choices.
	if same, of := g.SameLeader(); len(g.Analyses) > 0 {
		line := "The leading shoe is the same in " + units.FormatDecimal(float64(same), 0) + " of " +
			units.Plural(of, "analysis", "analyses") + "."
		if float64(same) >= 0.9*float64(of) {
			checks = append(checks, line)
		} else {
			doubts = append(doubts, line)
		}
	}
	// When to stop.
	switch sentence, kept := e.Stopping(s.Dataset, g); {
	case kept:
		checks = append(checks, sentence)
	case e.Sessions > 1 || hasAimAt(s.Dataset, e.Effort):
		doubts = append(doubts, sentence)
	}
	return doubts, checks
}

// sensorsProven reports whether something other than the sensors on the shoes of a pair speaks for
// them: counted laps for the speed of both, heart rate for a held power.
func (e *Effort) sensorsProven(p *Pair) bool {
	power := e.Effort == trial.Power && e.Sensing.PowerOnShoe
	return e.onGround(p.Shoe) && e.onGround(p.Reference) && (!power || p.HeartCheck.Passed || p.HeartCheck.Lower)
}

// sensorDoubt says how large an error of a sensor in the leading shoe alone would make the
// difference; "" where no sensor on the shoe has a part in it. Speed that reads fast, and power
// that reads low, make a shoe look faster at the same power; a pace that reads fast makes it look
// easier.
func (e *Effort) sensorDoubt(lead *Pair, leader string) string {
	speed := lead.Tipping > 0 && visible(lead.Tipping) && !e.Sensing.SpeedOnGround
	low := lead.Tipping / e.Sensing.ExponentMean
	power := e.Effort == trial.Power && e.Outcome == trial.Speed && e.Sensing.PowerOnShoe && !math.IsInf(low, 0) &&
		visible(low)
	const rest = " would make the whole difference."
	switch {
	case speed:
		said := "A sensor that reads " + Size(lead.Tipping) + " fast in " + leader + " alone"
		if power {
			said += ", or power that reads low there,"
		}
		return said + rest
	case power:
		return "Power that reads " + Size(low) + " low in " + leader + " alone" + rest
	}
	return ""
}

func hasAimAt(ds *trial.Dataset, effort trial.Effort) bool {
	aim, _ := firstAim(ds, effort)
	return hasAim(aim)
}

// notChecked says which of the sensor's checks are missing for a pair.
func (s Speaker) notChecked(e *Effort, p *Pair) []string {
	var missing []string
	if !e.Sensing.SpeedOnGround {
		var shoes []string
		for _, shoe := range []string{p.Shoe, p.Reference} {
			if !e.onGround(shoe) {
				shoes = append(shoes, s.Label(shoe))
			}
		}
		if len(shoes) > 0 {
			missing = append(missing, "Not checked: the sensor's distance against counted laps in "+
				english.List(shoes, "and")+".")
		}
	}
	if e.Effort == trial.Power && !units.Known(p.HeartCheck.Chance) {
		missing = append(missing, "Not checked: heart rate, because it was not recorded in both shoes.")
	}
	if e.StepsComputed && !e.Sensing.SpeedOnGround {
		missing = append(missing,
			"Not checked: speed against cadence and step length, because step length was computed from speed.")
	}
	return missing
}

// Adjustment is by how much correcting for unequal effort moved a pair's difference, as a
// logarithm: minus the exponent times how much harder the shoe was run than the reference
// in the sessions that hold both.
func (e *Effort) Adjustment(p *Pair) float64 {
	k := e.Posterior.Spreads.K.Mean
	if !units.Known(k) {
		return 0
	}
	// The mean log ratio of held to target of each shoe, by session and level.
	type cell struct{ sum, n [2]float64 }
	cells, order := map[string]*cell{}, []string{}
	for i := range e.blocks {
		b := &e.blocks[i]
		side := 0
		switch b.Shoe {
		case p.Reference:
			side = 1
		case p.Shoe:
		default:
			continue
		}
		x := b.Effort.LogRatio(b.Windows[0].Effort, b.Target)
		at := b.Session + " " + trial.Level(b.Effort, b.Target)
		if cells[at] == nil {
			cells[at], order = &cell{}, append(order, at)
		}
		if units.Known(x) {
			cells[at].sum[side] += x
			cells[at].n[side]++
		}
	}
	// The mean difference where both shoes were run.
	sum, n := 0.0, 0.0
	for _, at := range order {
		if c := cells[at]; c.n[0] > 0 && c.n[1] > 0 {
			sum += c.sum[0]/c.n[0] - c.sum[1]/c.n[1]
			n++
		}
	}
	if n == 0 {
		return 0
	}
	favour := -1.0
	if e.Settings.SmallerIsBetter {
		favour = 1
	}
	return float64(favour*k*sum) / n
}
