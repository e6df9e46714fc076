package answer

import (
	"math"
	"slices"
	"strings"

	"soletrial/pipeline/decide"
	"soletrial/pipeline/quality"
	"soletrial/pipeline/sensor"
	"soletrial/pipeline/stats"
	"soletrial/pipeline/trial"
)

// measuredCheck is a quantity that two devices measured, shoe by shoe: what it would move
// each shoe's outcome by, as a logarithm, if the other device were right, and its error.
type measuredCheck struct {
	name   string // as the table of checks has it
	effect map[string]estimate
}

type estimate struct{ value, se float64 }

// apartSE is by how many standard errors two devices must differ to count as different.
const apartSE = 2

// measuredChecks lists the checks between two devices that bear on an effort: of the
// speed that is compared, and of the power that is held. The ground is no such check,
// because what it shows is corrected.
func measuredChecks(e *Effort, table sensor.Table) (checks []measuredCheck) {
	for i := range table.Dataset {
		row := &table.Dataset[i]
		factor := e.factorOf(row.Check)
		n := float64(row.Blocks())
		if factor == 0 || !(row.SD() >= 0) {
			continue
		}
		if len(checks) == 0 || checks[len(checks)-1].name != row.Check {
			checks = append(checks, measuredCheck{row.Check, map[string]estimate{}})
		}
		checks[len(checks)-1].effect[row.Shoe] = estimate{
			value: float64(factor * stats.Log(row.Ratio())),
			se:    math.Abs(factor) * row.SD() / row.Ratio() / math.Sqrt(n),
		}
	}
	return checks
}

// factorOf returns by how much the logarithm of the compared outcome moves for that of the
// checked quantity, 0 where the check does not bear on the effort. A device that shows more
// speed means a faster shoe; one that shows more power, that the shoe was run harder.
func (e *Effort) factorOf(check string) float64 {
	column, devices, between := strings.Cut(check, " ")
	if !between || devices == "" {
		return 0
	}
	switch {
	case column == trial.SpeedMps.Info().Column && e.Outcome == trial.Speed:
		return 1
	case column == trial.PowerW.Info().Column && e.Effort == trial.Power:
		return -e.Settings.Prior.Exponent.Mean
	}
	return 0
}

// corrections returns what a check would move each shoe of a group by, about the mean, and
// whether it finds a difference between the leader and another shoe.
func (c measuredCheck) corrections(e *Effort, answer decide.Answer) (corrections []float64, differ bool) {
	corrections = make([]float64, len(e.Posterior.Shoes))
	leader, known := c.effect[e.Posterior.Shoes[answer.Leader]]
	if !known {
		return nil, false
	}
	mean, n := 0.0, 0.0
	for _, j := range answer.Order {
		other, known := c.effect[e.Posterior.Shoes[j]]
		if !known {
			continue
		}
		mean, n = mean+other.value, n+1
		se := math.Sqrt(float64(other.se*other.se) + float64(leader.se*leader.se))
		if math.Abs(other.value-leader.value) > float64(apartSE*se) {
			differ = true
		}
	}
	for _, j := range answer.Order {
		if own, known := c.effect[e.Posterior.Shoes[j]]; known {
			corrections[j] = own.value - mean/n
		}
	}
	return corrections, differ
}

// block returns the answer of a group, blocked where a sensor could have made it, and by
// what.
func (e *Effort) block(in Inputs, group int, answer decide.Answer, sensed []decide.SensedBlock) (decide.Answer,
	string) {
	if answer.Status != decide.Fastest && answer.Status != decide.Same {
		return answer, ""
	}
	// Would the answer stand if the foot sensor erred in power wholly as in speed, or not at all?
	if e.Sensing.MayShare() {
		for _, shared := range []decide.Shared{decide.SharedWholly, decide.SharedNot} {
			p, err := decide.FitShoes(e.Sensing.Correct(sensed, shared), e.Settings, in.Accuracy, nil)
			if err != nil {
				continue
			}
			other, ok := p.Answer(group, e.Sensing.Errors(p.Shoes, sensed, shared))
			if blocked := answer.BlockedBy(other); ok && blocked.Status == decide.Blocked {
				return blocked, "the foot sensor may err in power as it does in speed"
			}
		}
	}
	// Would it stand if another device that was there were right?
	for _, check := range e.checks {
		corrections, differ := check.corrections(e, answer)
		if !differ {
			continue
		}
		other, ok := e.Posterior.Answer(group, decide.Sensor{Correction: corrections, SD: e.Sensor.SD})
		if blocked := answer.BlockedBy(other); ok && blocked.Status == decide.Blocked {
			return blocked, "two devices differ from shoe to shoe (" + check.name + ")"
		}
	}
	return answer, ""
}

// agreeChance is the chance with which another effort must find the same shoe better.
const agreeChance = 0.90

// agree marks the pairs at the same power whose result sessions at the same pace or heart rate
// agree with.
func (a *Answers) agree() {
	power := a.Find(trial.Power)
	if power == nil {
		return
	}
	for g := range power.Groups {
		for i := range power.Groups[g].Pairs {
			pair := &power.Groups[g].Pairs[i]
			for k := range a.Efforts {
				other := a.Efforts[k].Pair(pair.Shoe, pair.Reference)
				if a.Efforts[k].Effort != trial.Power && other != nil && other.Shoe == pair.Shoe &&
					other.D.Above >= agreeChance {
					pair.testing.Agrees = true
				}
			}
		}
	}
}

// grade finds the evidence for every pair of a group.
func (a *Answers) grade(e *Effort, g *Group, conduct map[string]conduct) {
	for i := range g.Pairs {
		p := &g.Pairs[i]
		p.HeartCheck = decide.CheckHeart(e.Heart, p.Shoe, p.Reference, p.D.Mean)
		t := &p.testing
		t.Heart, t.AtPower = p.HeartCheck, e.Effort == trial.Power && e.Outcome == trial.Speed
		t.Difference, t.Worthwhile, t.Robust = p.D, e.Settings.LogWorthwhile(), math.NaN()
		t.Ground = e.onGround(p.Shoe) && e.onGround(p.Reference)
		e.tested(p, conduct)
		p.Evidence, p.Lacks = decide.Grade(*t)
	}
}

// onGround reports whether a shoe was measured on the ground.
func (e *Effort) onGround(shoe string) bool {
	if e.Sensing.SpeedOnGround {
		return true
	}
	for at := range e.Sensing.Ground.SD { // any will do, so the order does not matter
		if at.Shoe == shoe {
			return true
		}
	}
	return false
}

// tested counts in what a pair was tested: sessions that hold both shoes, or, where none
// does, of the shoe that has fewer, and the blocks of each.
func (e *Effort) tested(p *Pair, conduct map[string]conduct) {
	t := &p.testing
	// Blocks of each shoe, by session.
	blocks := map[string][2]int{}
	var sessions []string
	for i := range e.blocks {
		b := &e.blocks[i]
		side := slices.Index([]string{p.Shoe, p.Reference}, b.Shoe)
		if side < 0 {
			continue
		}
		t.Blocks[side]++
		n, seen := blocks[b.Session]
		if !seen {
			sessions = append(sessions, b.Session)
		}
		n[side]++
		blocks[b.Session] = n
		t.Repeated = t.Repeated || n[side] > 1
	}
	// Sessions with both shoes, tied orders and plans that were followed.
	var both, each [2]int
	followed := 0
	for _, session := range sessions {
		n := blocks[session]
		for side := range n {
			each[side] += min(1, n[side])
		}
		both[0] += min(1, min(n[0], n[1]))
		if conduct[session].orderTied {
			t.OrderTied++
		}
		if conduct[session].planFollowed {
			followed++
		}
	}
	t.Sessions = both[0]
	if t.Sessions == 0 {
		t.Sessions = min(each[0], each[1])
	}
	if len(sessions) > 0 {
		t.Planned = float64(followed) / float64(len(sessions))
	}
}

// conduct is how a session was run: whether its order is tied to time, and whether it has a plan
// whose order was run.
type conduct struct{ orderTied, planFollowed bool }

// conductOf looks at every session once, because every pair asks about many of them.
func conductOf(in Inputs) map[string]conduct {
	all := make(map[string]conduct, len(in.Dataset.Sessions))
	for i := range in.Dataset.Sessions {
		s := &in.Dataset.Sessions[i]
		all[s.ID] = conduct{planFollowed: s.Plan != nil && !slices.ContainsFunc(quality.Deviations(in.Dataset, s),
			func(d quality.Deviation) bool { return d.Order })}
	}
	for i := range in.Findings {
		if f := &in.Findings[i]; f.Rule == quality.OrderConfounded {
			of := all[f.Session]
			of.orderTied = true
			all[f.Session] = of
		}
	}
	return all
}
