package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"strconv"
	"sync"

	"soletrial/pipeline/decide"
	"soletrial/pipeline/trial"
)

// decisionDesign is a kind of trial for the decision: each session runs one of the orders,
// in turn.
type decisionDesign struct {
	name     string
	sessions int
	orders   []string
	shoes    string
}

var decisionDesigns = []decisionDesign{
	{"A B B A once", 1, []string{"ABBA"}, "AB"},
	{"eight blocks once", 1, []string{"ABBABAAB"}, "AB"},
	{"A B B A, two sessions", 2, []string{"ABBA", "BAAB"}, "AB"},
	{"A B B A, three sessions", 3, []string{"ABBA", "BAAB"}, "AB"},
	{"eight blocks, three sessions", 3, []string{"ABBABAAB", "BAABABBA"}, "AB"},
	{"three shoes, three sessions", 3, []string{"ABCCBA", "BCAACB", "CABBAC"}, "ABC"},
	{"four shoes, four sessions", 4, []string{"ABCDDCBA", "CADBBDAC", "DCBAABCD", "BDACCADB"}, "ABCD"},
	{"four shoes, six sessions", 6, []string{"ABCDDCBA", "CADBBDAC", "DCBAABCD", "BDACCADB"}, "ABCD"},
}

// noise is how much blocks and days vary, as standard deviations of logarithms.
type noise struct{ block, day float64 }

var noises = []noise{{0.005, 0}, {0.005, 0.007}, {0.009, 0.004}, {0.015, 0}, {0.015, 0.007}}

// The limits that the model's paper states for these designs. A rate may exceed its limit by
// three Monte Carlo standard errors.
const (
	falseClaims   = 0.06 // of a pair of equal shoes
	leastCoverage = 0.94
	worthPct      = 2 // the true difference whose power is counted, percent
)

// decision is what one simulated trial comes to.
type decision struct {
	claimed  bool // the interval of A against B leaves out 0
	covered  bool // it holds the truth
	claims   bool // the interval of some pair leaves out 0
	status   decide.Status
	stated   float64 // the chance that the better of A and B by estimate is the better
	right    bool    // it is
	halfwith float64
}

// study simulates n trials with B better than the other shoes by what effect draws.
func (d decisionDesign) study(v noise, n int, seed, stream uint64, effect func(r *rand.Rand) float64) []decision {
	all := make([]decision, n)
	settings, err := decide.DefaultSettings(trial.Power, trial.Speed)
	if err != nil {
		panic(err)
	}
	var workers sync.WaitGroup
	for w := range runtime.GOMAXPROCS(0) {
		workers.Go(func() {
			for i := w; i < n; i += runtime.GOMAXPROCS(0) {
				r := rand.New(rand.NewPCG(seed, stream<<32|uint64(i)))
				truth := effect(r)
				p, err := decide.Fit(d.draw(v, truth, r), settings, decide.Exact)
				if err != nil {
					panic(err)
				}
				all[i] = decided(p, truth)
			}
		})
	}
	workers.Wait()
	return all
}

// draw simulates the blocks of one trial: log speed = form of the day + shoe + shoe on that
// day + drift + 0.9 x + block, the drift drawn anew for each session.
func (d decisionDesign) draw(v noise, truth float64, r *rand.Rand) []decide.Block {
	var blocks []decide.Block
	for s := range d.sessions {
		form, drift := 0.02*r.NormFloat64(), 0.015*r.NormFloat64()
		days := map[rune]float64{}
		for _, shoe := range d.shoes {
			days[shoe] = v.day * r.NormFloat64()
		}
		for place, shoe := range d.orders[s%len(d.orders)] {
			x, hours := powerSD*r.NormFloat64(), float64(place)*minutes/60
			y := meanLogV + form + days[shoe] + drift*hours + 0.9*x + v.block*r.NormFloat64()
			if shoe == 'B' {
				y += truth
			}
			blocks = append(blocks, decide.Block{Session: strconv.Itoa(s), Level: "270", Runner: "r",
				Shoe: string(shoe),
				Y:    y, TimeH: hours, X: x})
		}
	}
	return blocks
}

func decided(p *decide.Posterior, truth float64) decision {
	answer, _ := p.Answer(0, decide.Sensor{})
	var d decision
	d.status = answer.Status
	for _, pair := range p.Pairs(decide.Sensor{}) {
		d.claims = d.claims || pair.D.Low > 0
		if p.Shoes[pair.Shoe]+p.Shoes[pair.Reference] == "AB" || p.Shoes[pair.Shoe]+p.Shoes[pair.Reference] == "BA" {
			ahead := truth // of the better by estimate
			if p.Shoes[pair.Shoe] == "A" {
				ahead = -truth
			}
			d.claimed, d.covered = pair.D.Low > 0, pair.D.Low <= ahead && ahead <= pair.D.High
			d.stated, d.right, d.halfwith = pair.D.Above, ahead > 0, (pair.D.High-pair.D.Low)/2
		}
	}
	return d
}

// share counts those of which something is true, as a share.
func share(all []decision, of func(d decision) bool) float64 {
	n := 0
	for _, d := range all {
		if of(d) {
			n++
		}
	}
	return float64(n) / float64(len(all))
}

// decisionRow is one line of the table of decisions.
type decisionRow struct {
	design                            decisionDesign
	noise                             noise
	n                                 int
	falseClaim, anyClaim, falseWinner float64
	power, coverage, over, half       float64
	equal, different                  map[decide.Status]float64
}

// decisionRowOf simulates equal shoes, a true difference of 2 %, and true differences of
// every size: normal with an SD of 2 %, for the calibration of the chances.
func decisionRowOf(d decisionDesign, v noise, n int, seed, stream uint64) decisionRow {
	fixed := func(x float64) func(*rand.Rand) float64 { return func(*rand.Rand) float64 { return x } }
	equal := d.study(v, n, seed, 3*stream, fixed(0))
	different := d.study(v, n, seed, 3*stream+1, fixed(math.Log1p(worthPct/100.)))
	varied := d.study(v, n, seed, 3*stream+2, func(r *rand.Rand) float64 { return 0.02 * r.NormFloat64() })
	row := decisionRow{design: d, noise: v, n: n,
		falseClaim:  share(equal, func(d decision) bool { return d.claimed }),
		anyClaim:    share(equal, func(d decision) bool { return d.claims }),
		falseWinner: share(equal, func(d decision) bool { return d.status == decide.Fastest }),
		power:       share(different, func(d decision) bool { return d.claimed && d.right }),
		coverage:    share(different, func(d decision) bool { return d.covered }),
		equal:       statuses(equal), different: statuses(different),
	}
	for _, d := range varied {
		row.over += (d.stated - indicator(d.right)) / float64(n)
		row.half += d.halfwith / float64(n)
	}
	return row
}

func statuses(all []decision) map[decide.Status]float64 {
	rates := map[decide.Status]float64{}
	for _, d := range all {
		rates[d.status] += 1 / float64(len(all))
	}
	return rates
}

// broken lists the limits that a row breaks by more than chance.
func (r decisionRow) broken() []string {
	slack := func(rate float64) float64 { return 3 * math.Sqrt(rate*(1-rate)/float64(r.n)) }
	var broken []string
	if r.falseClaim > falseClaims+slack(falseClaims) {
		broken = append(broken, fmt.Sprintf("%s: false claims %.1f %%, limit %.0f %%", r.name(), 100*r.falseClaim,
			100*falseClaims))
	}
	if r.coverage < leastCoverage-slack(leastCoverage) {
		broken = append(broken, fmt.Sprintf("%s: coverage %.1f %%, limit %.0f %%", r.name(), 100*r.coverage,
			100*leastCoverage))
	}
	return broken
}

func (r decisionRow) name() string {
	return fmt.Sprintf("%s, block %.1f %%, day %.1f %%", r.design.name, 100*r.noise.block, 100*r.noise.day)
}
