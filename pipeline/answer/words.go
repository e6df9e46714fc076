package answer

import (
	"math"
	"slices"
	"strings"

	"soletrial/pipeline/decide"
	"soletrial/pipeline/english"
	"soletrial/pipeline/forecast"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Sentences is an answer in words. They are the same wherever the answer is told; an empty
// one is left out.
type Sentences struct {
	Advice   string   // what to do: "Race in Fennock."
	Claim    string   // how sure: "Fennock is very likely the fastest (93 %)."
	Size     string   // by how much: "Over a half marathon it is about 46 s quicker than Quenby (0.8 %)."
	Also     string   // what the advice leaves open: "Quenby may be just as fast."
	Evidence string   // "Evidence: fair."
	Stronger []string // what would make the evidence stronger, most urgent first
	Doubts   []string // what speaks against the answer, or was not checked
	Checks   []string // what supports it
}

// Headline is the first thing to say: the advice, how sure and by how much.
func (s Sentences) Headline() string { return join(s.Advice, s.Claim, s.Size, s.Also) }

func join(sentences ...string) string {
	var said []string
	for _, s := range sentences {
		if s != "" {
			said = append(said, s)
		}
	}
	return strings.Join(said, " ")
}

// Speaker says answers of one dataset.
type Speaker struct {
	Dataset *trial.Dataset
	Answers *Answers
	// Race is the race over which differences are told in time; without one they are told in
	// percent only.
	Race *forecast.Race
}

// NewSpeaker says answers over the longest race that the dataset names.
func NewSpeaker(ds *trial.Dataset, a *Answers) Speaker {
	return Speaker{Dataset: ds, Answers: a, Race: DefaultRace(ds.Facts.Method)}
}

// Label is a shoe's name for people.
func (s Speaker) Label(id string) string {
	if shoe := s.Dataset.Shoe(id); shoe != nil && shoe.Label != "" {
		return shoe.Label
	}
	return id
}

func (s Speaker) labels(ids []string) []string {
	names := make([]string, len(ids))
	for i, id := range ids {
		names[i] = s.Label(id)
	}
	return names
}

// Top says the answer of the dataset.
func (s Speaker) Top() Sentences {
	e, g := s.Answers.Top()
	if g == nil {
		return Sentences{Advice: "No answer yet.",
			Claim: "Two shoes can be compared once they were run at the same effort in one session."}
	}
	said := s.Say(e, g)
	doubts, checks := s.otherEfforts()
	said.Doubts, said.Checks = append(doubts, said.Doubts...), append(checks, said.Checks...)
	return said
}

// Say says the answer of one group at one effort.
func (s Speaker) Say(e *Effort, g *Group) Sentences {
	said := Sentences{
		Evidence: "Evidence: " + string(g.Lead.Evidence) + ".", Stronger: s.Stronger(g.Lead),
		Size: s.size(e, g),
	}
	leader, second := s.Label(g.Places[0].Shoe), s.Label(g.Places[1].Shoe)
	best, good := "the fastest", "fast"
	if e.Outcome == trial.Heart {
		best, good = "the easiest at the same pace", "easy"
	}
	claim := leader + " is " + Likelihood(g.Places[0].Best) + " " + best + " (" + Chance(g.Places[0].Best) + ")."
	leading := s.labels(e.inOrder(g.Leading, g))
	switch g.Status {
	case decide.Same:
		same := e.same(g)
		said.Advice = "Race in " + english.List(s.labels(same), "or") + "."
		said.Claim, said.Size = s.practicallySame(e, same), ""
	case decide.Fastest:
		said.Advice, said.Claim = "Race in "+leader+".", claim
	case decide.Leading:
		said.Advice, said.Claim = "Race in "+english.List(leading, "or")+".", claim
		if alike := s.labels(g.notApart(e.inOrder(g.Leading, g))); len(alike) > 0 {
			said.Also = english.List(alike, "or") + " may be just as " + good + "."
		}
	case decide.Open:
		said.Advice = "No clear winner yet."
		said.Claim = strings.TrimSuffix(claim, ".") + ", but " + s.mayBe(e, g, good) + "."
		said.Also = leader + " and " + second + " are no more than " + Size(g.Lead.D.ApartAtMost) + " apart."
	case decide.Blocked:
		said.Advice, said.Size = "No answer yet: a sensor could have made it.", ""
		said.Claim = english.Capitalise(g.BlockedBy) + ", and without that the answer changes."
	}
	said.Doubts, said.Checks = s.doubts(e, g)
	return said
}

// inOrder puts shoes of a group in its order, the best by estimate first, by their ids.
func (e *Effort) inOrder(shoes []int, g *Group) (ids []string) {
	for _, j := range g.Order {
		if slices.Contains(shoes, j) {
			ids = append(ids, e.Posterior.Shoes[j])
		}
	}
	return ids
}

// mayBe says which shoes an open answer leaves beside the leader.
func (s Speaker) mayBe(e *Effort, g *Group, good string) string {
	alike := g.notApart(e.inOrder(g.Order, g))
	if len(alike) == len(g.Order)-1 {
		return "any of these shoes may be"
	}
	return english.List(s.labels(alike), "or") + " may be just as " + good
}

// notApart returns those of some shoes whose interval against the leader holds 0. A shoe may
// be among the leading ones and still be behind the leader for sure: it takes little chance of
// being the best to be needed for the 97.5 %.
func (g *Group) notApart(shoes []string) (alike []string) {
	for i := range g.Pairs {
		p := &g.Pairs[i]
		if p.Shoe == g.Places[0].Shoe && slices.Contains(shoes, p.Reference) && p.D.Low <= 0 {
			alike = append(alike, p.Reference)
		}
	}
	return alike
}

// same lists the shoes that are practically the same, the leader first: it and the other
// leading ones, or the second where it leads alone.
func (e *Effort) same(g *Group) []string {
	shoes := append([]int{g.Leader}, g.Leading...)
	if len(g.Leading) == 1 && g.Leading[0] == g.Leader {
		shoes = append(shoes, g.Second)
	}
	return e.inOrder(shoes, g)
}

// practicallySame says how far the leader is from each of the others. It says nothing of the
// others among themselves, of which nothing was asked.
func (s Speaker) practicallySame(e *Effort, shoes []string) string {
	most := 0.0
	for _, other := range shoes[1:] {
		most = math.Max(most, e.Pair(shoes[0], other).D.ApartAtMost)
	}
	apart := ": no more than " + Size(most) + " apart"
	if len(shoes) == 2 {
		return s.Label(shoes[0]) + " and " + s.Label(shoes[1]) + " are practically the same" + apart + "."
	}
	others := english.List(s.labels(shoes[1:]), "and")
	return others + " are practically the same as " + s.Label(shoes[0]) + apart + " from it."
}

// size says by how much the leader is ahead of the second, and of the last.
func (s Speaker) size(e *Effort, g *Group) string {
	if !visible(g.Lead.D.Mean) {
		return ""
	}
	second := s.ahead(e, g.Lead)
	all := second + s.Label(g.Lead.Reference) + " (" + Size(g.Lead.D.Mean) + ")"
	if last := g.Places[len(g.Places)-1].Pair; len(g.Places) > 2 {
		all += " and " + s.ahead(e, last) + s.Label(last.Reference) + " (" + Size(last.D.Mean) + ")"
	}
	if e.Outcome == trial.Heart {
		return "At the same pace its heart rate is " + all + "."
	}
	if s.Race == nil {
		return "At the same effort it is " + all + "."
	}
	return "Over " + raceName(s.Race.DistanceM) + " it is about " + all + "."
}

// ahead is the first part of "46 s quicker than Quenby".
func (s Speaker) ahead(e *Effort, p *Pair) string {
	switch {
	case e.Outcome == trial.Heart:
		return "lower than in "
	case s.Race == nil:
		return "faster than "
	}
	return Seconds(s.RaceTime(e, p, *s.Race).Mid) + " quicker than "
}

// raceName is a distance as one says it after "over".
func raceName(metres float64) string {
	for _, d := range forecast.Distances {
		if d.Metres == metres {
			switch d.Name {
			case "half":
				return "a half marathon"
			case "marathon", "mile":
				return "a " + d.Name
			}
		}
	}
	return forecast.DistanceText(metres)
}

// RaceTime is how much time a difference is worth over a race, in seconds, positive where the
// better shoe saves time: the middle of the published curves with its interval, and the range
// of the curves.
type RaceTime struct{ Mid, Low, High, Least, Most float64 }

// RaceTime carries a pair's difference in speed to a race. A pair whose outcome is heart rate
// has none.
func (s Speaker) RaceTime(e *Effort, p *Pair, race forecast.Race) RaceTime {
	return raceTime(p.D, e.MeanSpeed(p.Reference), race)
}

func raceTime(d decide.Difference, testSpeed float64, race forecast.Race) RaceTime {
	r := forecast.RangeOf(forecast.Rows(forecast.Effect{Estimate: decide.Percent(d.Mean), Low: decide.Percent(d.Low),
		High: decide.Percent(d.High), TestSpeed: testSpeed}, race))
	return RaceTime{Mid: -(r.Min + r.Max) / 2, Low: -r.High, High: -r.Low, Least: -r.Max, Most: -r.Min}
}

// MeanSpeed is the mean speed of a shoe's blocks at the effort, m/s.
func (e *Effort) MeanSpeed(shoe string) float64 {
	sum, n := 0.0, 0.0
	for i := range e.blocks {
		if b := &e.blocks[i]; b.Shoe == shoe && b.Windows[0].Speed > 0 {
			sum += b.Windows[0].Speed
			n++
		}
	}
	return sum / n
}

// effortWords name an effort after "at".
var effortWords = map[trial.Effort]string{trial.Power: "the same power", trial.Pace: "the same pace",
	trial.HeartRate: "the same heart rate"}

// otherEfforts says whether the other efforts agree with the headline.
func (s Speaker) otherEfforts() (doubts, checks []string) {
	_, top := s.Answers.Top()
	for i := range s.Answers.Efforts {
		e := &s.Answers.Efforts[i]
		g := e.Main()
		if i == s.Answers.Headline || g == nil {
			continue
		}
		disagrees := false
		for _, d := range s.Answers.Disagree {
			disagrees = disagrees || d == i
		}
		at := units.Count(e.Sessions, "session") + " at " + effortWords[e.Effort]
		leader := s.Label(g.Places[0].Shoe)
		switch {
		case disagrees:
			doubts = append(doubts, at+verb(e.Sessions, " points to ", " point to ")+leader+" instead ("+
				Chance(g.Places[0].Best)+").")
		case g.Places[0].Shoe == top.Places[0].Shoe && g.Places[0].Best >= agreeChance:
			checks = append(checks, at+verb(e.Sessions, " agrees: ", " agree: ")+leader+" first ("+
				Chance(g.Places[0].Best)+").")
		default:
			checks = append(checks, at+verb(e.Sessions, " does", " do")+" not contradict it.")
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
	// Heart rate at held power.
	switch h := lead.HeartCheck; {
	case h.Higher:
		doubts = append(doubts, "Heart rate was higher in "+leader+" than in "+second+": it may have been run harder.")
	case h.Lower:
		checks = append(checks, "Heart rate was lower in "+leader+", which supports the answer.")
	case h.Passed:
		checks = append(checks, "Heart rate does not explain the difference.")
	}
	// Equal effort.
	if moved := e.Adjustment(lead); math.Abs(moved) > math.Abs(lead.D.Mean)/2 {
		doubts = append(doubts, "The shoes were not run at quite the same effort: correcting for it makes "+Size(moved)+
			" of the "+Size(lead.D.Mean)+".")
	}
	// The sensor.
	if visible(lead.Tipping) && lead.Tipping > 0 && !e.Sensing.SpeedOnGround && e.Outcome == trial.Speed {
		doubts = append(doubts, "A sensor that reads "+Size(lead.Tipping)+" fast in "+leader+
			" alone would make the whole difference.")
	}
	doubts = append(doubts, s.notChecked(e, lead)...)
	// One block that decides, and other choices.
	if d := e.Decisive(g); d != nil {
		doubts = append(doubts, english.Capitalise(d.Name())+" decides: without it "+
			withoutWords(d.Without, s.Label(d.Without.Leader))+d.others()+".")
	}
	if same, of := g.SameLeader(); len(g.Analyses) > 0 {
		line := "The leading shoe is the same in " + units.FormatDecimal(float64(same), 0) + " of " +
			units.Plural(of, "analysis", "analyses") + "."
		if float64(same) >= 0.9*float64(of) {
			checks = append(checks, line)
		} else {
			doubts = append(doubts, line)
		}
	}
	return doubts, checks
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
		missing = append(missing, "Not checked: heart rate, because no block of both shoes has it.")
	}
	if e.StepsComputed && !e.Sensing.SpeedOnGround {
		missing = append(missing, "Not checked: speed against cadence and step length, because step length was "+
			"computed "+
			"from speed.")
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
		x := b.effortRatio(b.Windows[0])
		at := b.Session + " " + trial.Level(b.Effort, b.Target)
		if cells[at] == nil {
			cells[at], order = &cell{}, append(order, at)
		}
		if units.Known(x) {
			cells[at].sum[side] += x
			cells[at].n[side]++
		}
	}
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

// Stronger says what would make the evidence of a pair stronger.
func (s Speaker) Stronger(p *Pair) (advice []string) {
	for _, lack := range p.Lacks {
		advice = append(advice, s.advice(p, lack))
	}
	return advice
}

// advice is one thing to do.
func (s Speaker) advice(p *Pair, lack decide.Lack) string {
	more := int(math.Ceil(lack.Want - lack.Have))
	switch lack.Need {
	case decide.NeedRepeat:
		return "run each shoe twice in a session, or run a second session"
	case decide.NeedSessions:
		return "run " + units.Count(more, "more session") + " with both shoes"
	case decide.NeedBlocks:
		fewer := p.Shoe
		if p.testing.Blocks[1] < p.testing.Blocks[0] {
			fewer = p.Reference
		}
		return "run " + units.Count(more, "more block") + " in " + s.Label(fewer)
	case decide.NeedOrders:
		return "in " + units.Count(int(lack.Have), "session") +
			" the order of the shoes follows the clock, so tiredness " +
			"could pass for a shoe effect: run that order in reverse"
	case decide.NeedHeart:
		return "heart rate does not rule out that one shoe was run harder: add a session at the same pace or heart rate"
	case decide.NeedPlans:
		return "plan the order before the run and follow it (so far in " +
			units.FormatDecimal(float64(100*lack.Have), 0) + " % of the sessions)"
	case decide.NeedGround:
		return "count the laps of every block, so that the sensor can be checked in both shoes"
	case decide.NeedRobust:
		return "other choices in the analysis give another leader: more sessions would settle it"
	}
	return "the interval is ±" + Size(lack.Have) + ", ±" + Size(lack.Want) + " would do: run more sessions"
}
