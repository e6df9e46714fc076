package plan

import (
	"math"
	"math/rand/v2"
	"slices"

	"soletrial/pipeline/decide"
	"soletrial/pipeline/parallel"
	"soletrial/pipeline/stats"
)

// Outlook is what sessions to come are simulated from: the blocks so far, what is assumed,
// and the shape of the sessions.
type Outlook struct {
	// Blocks are those that the decision rests on so far; none is fine.
	Blocks   []decide.Block
	Settings decide.Settings
	// SensorSD is the error of the sensor in each shoe that no session averages out.
	SensorSD map[string]float64
	// Shoes are those of the sessions to come, Orders how their blocks go, session by session
	// and in turn.
	Shoes  []string
	Orders [][]string
	// SpacingH is the time from the middle of a block to that of the next, hours.
	SpacingH float64
	Seed     uint64
}

// Simulations is how many trials stand behind every chance.
const Simulations = 200

// SessionsAhead are the numbers of further sessions that are examined.
var SessionsAhead = []int{1, 2, 3, 4, 6}

// Chance is how likely further sessions end in an answer, were the leader truly so much
// better than every other shoe.
type Chance struct {
	DifferencePct float64
	Sessions      int // further ones
	// Fastest is the share of trials that name the leader, Same that which shows the leading
	// shoes to be practically the same. Neither falls with more sessions: where the simulated
	// share does, the one before stands.
	Fastest, Same float64
	// Error is the Monte Carlo standard error of their sum.
	Error float64
	// Levelled is true where the one before stands.
	Levelled bool
}

// Answered is the chance of either.
func (c Chance) Answered() float64 { return c.Fastest + c.Same }

// truth is what a simulated trial is made of: where every shoe is, and the spreads.
type truth struct {
	leader     string
	behind     map[string]float64 // the leader, logarithm
	sigma, tau float64
	gamma      decide.Moments
}

// Chances simulates [Simulations] trials for each true difference, percent. The blocks so far
// stay as they are; the leader by estimate is taken to be better than every other shoe by the
// difference, or by as much as the data say where that is more. Block and day spreads are
// their posterior means, the prior's where nothing was run; the drift and the sensor's error
// are drawn. Every number of sessions and every difference has the same random numbers, so
// that they differ by what they are and not by chance. The error names what cannot take part.
func (o Outlook) Chances(differencesPct []float64, workers int) ([]Chance, error) {
	base, err := o.truth()
	if err != nil {
		return nil, err
	}
	var all []Chance
	for _, pct := range differencesPct {
		at := base.atLeast(stats.Log1p(pct / 100))
		trials := parallel.Map(workers, Simulations, func(i int) simulated { return o.simulate(at, uint64(i)) })
		statuses := make([][]decide.Status, Simulations)
		for i, t := range trials {
			if t.err != nil {
				return nil, t.err
			}
			statuses[i] = t.statuses
		}
		all = append(all, tally(pct, statuses)...)
	}
	return all, nil
}

// simulated is one trial: the status after each number of [SessionsAhead] further sessions.
type simulated struct {
	statuses []decide.Status
	err      error
}

// tally counts the statuses after each number of sessions.
func tally(pct float64, statuses [][]decide.Status) []Chance {
	var list []Chance
	for k, n := range SessionsAhead {
		c := Chance{DifferencePct: pct, Sessions: n}
		for _, after := range statuses {
			switch after[k] {
			case decide.Fastest:
				c.Fastest++
			case decide.Same:
				c.Same++
			}
		}
		c.Fastest, c.Same = c.Fastest/Simulations, c.Same/Simulations
		if k > 0 && c.Answered() < list[k-1].Answered() {
			c.Fastest, c.Same, c.Levelled = list[k-1].Fastest, list[k-1].Same, true
		}
		p := c.Answered()
		c.Error = math.Sqrt(float64(p*(1-p)) / Simulations)
		list = append(list, c)
	}
	return list
}

// truth takes from the data what they say of the shoes and the spreads.
func (o Outlook) truth() (truth, error) {
	prior := o.Settings.Prior
	// The mean of a half-normal distribution is its scale times the root of 2/pi.
	t := truth{leader: o.Shoes[0], behind: map[string]float64{}, sigma: prior.BlockSD,
		tau: float64(prior.DaySD * math.Sqrt(2/math.Pi)), gamma: decide.Moments{SD: prior.DriftSD}}
	for _, shoe := range o.Shoes {
		t.behind[shoe] = 0 // of a shoe that was never run nothing is known: the hardest case
	}
	if len(o.Blocks) == 0 {
		return t, nil
	}
	p, err := decide.Fit(o.Blocks, o.Settings, decide.Coarse)
	if err != nil {
		return truth{}, err
	}
	t.sigma, t.tau = p.Spreads.Sigma.Mean, p.Spreads.Tau.Mean
	if p.Terms.Drift {
		t.gamma = p.Spreads.Gamma
	}
	// The best of the first group that holds one of the shoes, and how far the others are.
	for _, group := range p.Groups {
		leader := -1
		for _, j := range group {
			known := slices.Contains(o.Shoes, p.Shoes[j])
			if known && (leader < 0 || p.Chance(j, leader, decide.Sensor{}, 0) > 0.5) {
				leader = j
			}
		}
		if leader < 0 {
			continue
		}
		t.leader = p.Shoes[leader]
		for _, j := range group {
			if j != leader {
				t.behind[p.Shoes[j]] = p.Pair(leader, j, decide.Sensor{}).D.Mean
			}
		}
		break
	}
	return t, nil
}

// atLeast moves every other shoe at least so far behind the leader.
func (t truth) atLeast(d float64) truth {
	moved := t
	moved.behind = map[string]float64{}
	for shoe, behind := range t.behind {
		moved.behind[shoe] = max(behind, d)
	}
	moved.behind[t.leader] = 0
	return moved
}

// simulate makes one trial; a fastest shoe that is not the leader counts as open.
func (o Outlook) simulate(t truth, stream uint64) simulated {
	normal, sensorError, gamma := o.draws(t, stream)
	blocks := slices.Clone(o.Blocks)
	var statuses []decide.Status
	for n := 1; n <= SessionsAhead[len(SessionsAhead)-1]; n++ {
		blocks = append(blocks, o.session(t, n, gamma, sensorError, normal)...)
		if !slices.Contains(SessionsAhead, n) {
			continue
		}
		status, err := o.status(blocks, t.leader)
		if err != nil {
			return simulated{err: err}
		}
		statuses = append(statuses, status)
	}
	return simulated{statuses: statuses}
}

// draws draws what stays the same over a trial, and returns what draws the rest.
func (o Outlook) draws(t truth, stream uint64) (normal func(sd float64) float64, sensorError map[string]float64,
	gamma float64) {
	random := rand.New(rand.NewPCG(o.Seed, stream))
	normal = func(sd float64) float64 { return float64(sd * random.NormFloat64()) }
	sensorError = map[string]float64{}
	for _, shoe := range o.Shoes {
		sensorError[shoe] = normal(o.SensorSD[shoe])
	}
	return normal, sensorError, t.gamma.Mean + normal(t.gamma.SD)
}

// session makes the blocks of the n-th further session.
func (o Outlook) session(t truth, n int, gamma float64, sensorError map[string]float64,
	normal func(sd float64) float64) []decide.Block {
	favour := 1.0
	if o.Settings.SmallerIsBetter {
		favour = -1
	}
	day := map[string]float64{}
	for _, shoe := range o.Shoes {
		day[shoe] = normal(t.tau)
	}
	runner := ""
	if len(o.Blocks) > 0 {
		runner = o.Blocks[0].Runner
	}
	var blocks []decide.Block
	for i, shoe := range o.Orders[(n-1)%len(o.Orders)] {
		hours := float64(o.SpacingH * float64(i))
		blocks = append(blocks, decide.Block{
			// No session of a dataset has an id that begins with a blank.
			Session: " to come " + string(rune('0'+n)), Runner: runner, Shoe: shoe, TimeH: hours,
			Y: float64(-favour*t.behind[shoe]) + day[shoe] + sensorError[shoe] + float64(gamma*hours) + normal(t.sigma),
		})
	}
	return blocks
}

// status asks the decision about some blocks.
func (o Outlook) status(blocks []decide.Block, leader string) (decide.Status, error) {
	p, err := decide.Fit(blocks, o.Settings, decide.Coarse)
	if err != nil {
		return "", err
	}
	sensor := o.sensor(p)
	for g, shoes := range p.Groups {
		if !slices.Contains(shoes, p.Shoe(leader)) {
			continue
		}
		a, ok := p.Answer(g, sensor)
		if !ok || a.Status == decide.Fastest && p.Shoes[a.Leading[0]] != leader {
			return decide.Open, nil
		}
		return a.Status, nil
	}
	return decide.Open, nil
}

// sensor is the error of the sensor in the shoes of a posterior.
func (o Outlook) sensor(p *decide.Posterior) decide.Sensor {
	sensor := decide.Sensor{SD: make([]float64, len(p.Shoes))}
	for j, shoe := range p.Shoes {
		sensor.SD[j] = o.SensorSD[shoe]
	}
	return sensor
}

// SameOutOfReach reports whether the sensor alone keeps shoes from ever being shown to be
// practically the same: the 90 % of its own error reach further than what matters.
func (o Outlook) SameOutOfReach() bool {
	least := math.Inf(1)
	for i, a := range o.Shoes {
		for _, b := range o.Shoes[i+1:] {
			least = min(least, math.Sqrt(float64(o.SensorSD[a]*o.SensorSD[a])+float64(o.SensorSD[b]*o.SensorSD[b])))
		}
	}
	return float64(stats.NormalQuantile(0.95)*least) > o.Settings.LogWorthwhile()
}
