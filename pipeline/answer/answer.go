package answer

import (
	"slices"

	"soletrial/pipeline/decide"
	"soletrial/pipeline/parallel"
	"soletrial/pipeline/sensor"
	"soletrial/pipeline/trial"
)

// Inputs is all that the answers rest on.
type Inputs struct {
	Dataset  *trial.Dataset
	Blocks   []Block // included, in the order of the sessions
	Findings []trial.Finding
	Checks   sensor.Table // of the included blocks
	Accuracy decide.Accuracy
	// Near are the answers to nearly the same blocks, which make these quicker; nil for none.
	Near *Answers
	// WithoutAssumptions are the leaders of the analysis without assumptions.
	WithoutAssumptions []Compared
	// Step is called after each analysis of [Answers.Robustness], with how many of all are
	// made, one call at a time with one worker; it may be nil.
	Step func(made, of int)
}

// Compared is the leader of one effort by the analysis without assumptions, against the
// second, in percent.
type Compared struct {
	Effort              trial.Effort
	Shoe, Reference     string
	Estimate, Low, High float64
}

// Answers are the answers of a dataset, one for each effort that has blocks.
type Answers struct {
	Efforts []Effort // in the order of trial.Efforts
	// Headline is the effort that speaks for the dataset, an index of Efforts, -1 for none;
	// Disagree are those whose leading shoes are others.
	Headline int
	Disagree []int
}

// Effort is the answer at one effort, in the outcome that decides there.
type Effort struct {
	Effort   trial.Effort
	Outcome  trial.Outcome
	Settings decide.Settings
	// Problem says why there is no answer; then the rest is empty.
	Problem string

	Posterior *decide.Posterior
	Sensing   decide.Sensing
	Sensor    decide.Sensor // of the posterior's shoes
	// Heart is the posterior of heart rate where power is held, nil where there is none.
	Heart *decide.Posterior

	Sessions, Runners, Blocks int
	First, Last               string // dates of the sessions
	Groups                    []Group

	// StepsComputed is true where the stride check says nothing: see [sensor.Table].
	StepsComputed bool

	blocks []Block // of the effort
	checks []measuredCheck
}

// Group is the answer for shoes that sessions link.
type Group struct {
	decide.Answer
	Number int     // from 1
	Places []Place // the best by estimate first
	Pairs  []Pair  // every two shoes once, the better first
	// Lead is the leader against the second.
	Lead *Pair
	// BlockedBy says what keeps the status from being what Was says; "" where nothing does.
	BlockedBy string
	// Analyses are those of [Answers.Robustness]; none before it was called.
	Analyses []decide.Analysis
	// WithoutAssumptions is one more analysis; nil where it does not compare these shoes.
	WithoutAssumptions *Compared
}

// Place is one shoe of a group.
type Place struct {
	Shoe      string
	Best      float64 // the chance that it is the best of the group
	Reference bool
	// Against compares it with the reference of the group, in the shoe's favour where positive.
	Against decide.Difference
	// Pair compares it with the leader, the leader with the second.
	Pair *Pair
}

// Pair compares two shoes of a group, the better by estimate first.
type Pair struct {
	decide.Pair
	Shoe, Reference           string
	Runners, Sessions, Blocks int // that hold either of the two
	Evidence                  decide.Evidence
	Lacks                     []decide.Lack
	HeartCheck                decide.HeartCheck
	// Correction is by how much the ground moved the difference, Tipping how large an error of
	// the speed in one shoe alone would make all of it; logarithms.
	Correction, Tipping float64
	// NextLow and NextHigh are the 95 % interval on a day to come, of a new runner where there are
	// several; those of [Answers.DayToCome], not there before it was called.
	NextLow, NextHigh float64

	testing decide.Testing
}

// Decide returns the answers of a dataset.
func Decide(in Inputs) *Answers {
	a := &Answers{Headline: -1}
	for _, effort := range trial.Efforts {
		blocks := ofEffort(in.Blocks, effort)
		if len(blocks) > 0 {
			a.Efforts = append(a.Efforts, decideEffort(in, effort, blocks))
		}
	}
	a.agree()
	conduct := conductOf(in)
	for i := range a.Efforts {
		for g := range a.Efforts[i].Groups {
			a.grade(&a.Efforts[i], &a.Efforts[i].Groups[g], conduct)
		}
	}
	a.choose(trial.Effort(in.Dataset.Facts.Method.Headline))
	return a
}

func ofEffort(all []Block, effort trial.Effort) (blocks []Block) {
	for i := range all {
		if all[i].Effort == effort {
			blocks = append(blocks, all[i])
		}
	}
	return blocks
}

// decideEffort asks the model about one effort.
func decideEffort(in Inputs, effort trial.Effort, blocks []Block) Effort {
	near := in.near(effort)
	e, sensed := fitEffort(in, effort, blocks, fitNear(near.Posterior))
	if e.Problem != "" {
		return e
	}
	e.checks = measuredChecks(&e, in.Checks)
	for g := range e.Posterior.Groups {
		if answer, ok := e.Posterior.Answer(g, e.Sensor); ok {
			e.Groups = append(e.Groups, e.group(in, g, answer, sensed))
		}
	}
	if effort == trial.Power && e.Outcome == trial.Speed {
		e.Heart = heartPosterior(in, blocks, near.Heart)
	}
	return e
}

// count fills in what the effort rests on.
func (e *Effort) count() {
	e.Sessions, e.Runners, e.Blocks = countOf(e.blocks, func(*Block) bool { return true })
	for i := range e.blocks {
		b := &e.blocks[i]
		if e.First == "" || b.Date < e.First {
			e.First = b.Date
		}
		e.Last = max(e.Last, b.Date)
	}
}

// countOf counts the blocks of which in is true, and their sessions and runners. Blocks of one
// session stand together.
func countOf(all []Block, in func(*Block) bool) (sessions, runners, blocks int) {
	last := ""
	var known []string
	for i := range all {
		b := &all[i]
		if !in(b) {
			continue
		}
		if blocks == 0 || b.Session != last {
			sessions, last = sessions+1, b.Session
		}
		if !slices.Contains(known, b.Runner) {
			known = append(known, b.Runner)
		}
		blocks++
	}
	return sessions, len(known), blocks
}

// group puts together the answer of one group of the posterior.
func (e *Effort) group(in Inputs, number int, answer decide.Answer, sensed []decide.SensedBlock) Group {
	g := Group{Number: len(e.Groups) + 1}
	g.Answer, g.BlockedBy = e.block(in, number, answer, sensed)
	// Every pair once.
	p := e.Posterior
	for i, a := range answer.Order {
		for _, b := range answer.Order[i+1:] {
			g.Pairs = append(g.Pairs, e.pair(p.Pair(a, b, e.Sensor)))
		}
	}
	g.Lead = &g.Pairs[0]
	g.Places = e.places(in, answer, g.Pairs)
	for i := range g.Places {
		g.Places[i].Pair = &g.Pairs[max(0, i-1)] // the pairs begin with those of the leader
	}
	return g
}

// places are the shoes of a group in order, against the reference, without pairs. Differences that
// are among the given pairs are taken from there.
func (e *Effort) places(in Inputs, answer decide.Answer, pairs []Pair) (places []Place) {
	p := e.Posterior
	reference := answer.Order[len(answer.Order)-1]
	if j := p.Shoe(in.Dataset.Reference()); j >= 0 && slices.Contains(answer.Order, j) {
		reference = j
	}
	for _, j := range answer.Order {
		place := Place{Shoe: p.Shoes[j], Best: answer.Best[j], Reference: j == reference}
		if j != reference {
			place.Against = e.difference(pairs, j, reference)
		}
		places = append(places, place)
	}
	return places
}

// difference is by how much a shoe is better than another: that of the pair where it is there.
func (e *Effort) difference(pairs []Pair, shoe, reference int) decide.Difference {
	for i := range pairs {
		if p := &pairs[i].Pair; p.Shoe == shoe && p.Reference == reference {
			return p.D
		}
	}
	return e.Posterior.Difference(shoe, reference, e.Sensor)
}

// Reference is the shoe that the others of the group are compared with.
func (g *Group) Reference() string {
	for i := range g.Places {
		if g.Places[i].Reference {
			return g.Places[i].Shoe
		}
	}
	return ""
}

// pair names the shoes of a pair and counts what it rests on.
func (e *Effort) pair(p decide.Pair) Pair {
	shoes := e.Posterior.Shoes
	pair := Pair{Pair: p, Shoe: shoes[p.Shoe], Reference: shoes[p.Reference], Tipping: e.Sensing.Tipping(p.D)}
	pair.Sessions, pair.Runners, pair.Blocks = countOf(e.blocks, func(b *Block) bool {
		return b.Shoe == pair.Shoe || b.Shoe == pair.Reference
	})
	pair.Correction = e.correctionOf(pair.Shoe) - e.correctionOf(pair.Reference)
	return pair
}

// DayToCome fills in what each pair's difference may be on a day to come. Workers changes no number.
func (a *Answers) DayToCome(workers int) {
	for i := range a.Efforts {
		e := &a.Efforts[i]
		for g := range e.Groups {
			pairs := e.Groups[g].Pairs
			days := parallel.Map(workers, len(pairs), func(k int) [2]float64 {
				low, high := e.Posterior.NewRunnerInterval(pairs[k].Pair.Shoe, pairs[k].Pair.Reference, e.Sensor)
				return [2]float64{low, high}
			})
			for k, day := range days {
				pairs[k].NextLow, pairs[k].NextHigh = day[0], day[1]
			}
		}
	}
}

// correctionOf returns by how much the ground moved a shoe's outcome, on the mean over its
// blocks.
func (e *Effort) correctionOf(shoe string) float64 {
	sum, n := 0.0, 0.0
	for i := range e.blocks {
		if b := &e.blocks[i]; b.Shoe == shoe {
			sum += e.Sensing.Ground.Correction[decide.SensorShoe{Sensor: b.sensor(), Shoe: shoe}]
			n++
		}
	}
	if e.Outcome != trial.Speed || n == 0 {
		return 0
	}
	return sum / n
}

// choose sets the headline.
func (a *Answers) choose(chosen trial.Effort) {
	var answers []decide.EffortAnswer
	var which []int
	for i := range a.Efforts {
		e := &a.Efforts[i]
		if g := e.Main(); g != nil {
			answers = append(answers, decide.EffortAnswer{Effort: e.Effort, Sessions: e.Sessions, Status: g.Status,
				Leading: e.labels(g.Leading)})
			which = append(which, i)
		}
	}
	headline, disagree := decide.Headline(answers, chosen)
	if headline >= 0 {
		a.Headline = which[headline]
	}
	for _, i := range disagree {
		a.Disagree = append(a.Disagree, which[i])
	}
}

// Main returns the group with most blocks, nil where there is none.
func (e *Effort) Main() *Group {
	var main *Group
	most := 0
	for i := range e.Groups {
		if n := e.blocksOf(&e.Groups[i]); n > most {
			main, most = &e.Groups[i], n
		}
	}
	return main
}

func (e *Effort) blocksOf(g *Group) (n int) {
	for i := range e.blocks {
		if j := e.Posterior.Shoe(e.blocks[i].Shoe); j >= 0 && slices.Contains(g.Order, j) {
			n++
		}
	}
	return n
}

// labels names shoes of the posterior.
func (e *Effort) labels(shoes []int) (names []string) {
	for _, j := range shoes {
		names = append(names, e.Posterior.Shoes[j])
	}
	return names
}
