package decide

import (
	"math/rand/v2"
	"slices"
	"strconv"

	"soletrial/pipeline/trial"
)

// speedAtPower is the settings of speed compared at the same power.
func speedAtPower() Settings {
	s, err := DefaultSettings(trial.Power, trial.Speed)
	if err != nil {
		panic(err)
	}
	return s
}

// simulatedTrial is a trial with known effects: order holds a letter for each block of a
// session, which is run every day.
type simulatedTrial struct {
	orders  []string
	effects map[rune]float64
	block   float64 // SD of a block
	day     float64 // SD of a shoe on a day
	runners int
}

// blocks draws the trial's blocks.
func (s simulatedTrial) blocks(seed uint64) []Block {
	r := rand.New(rand.NewPCG(seed, 1))
	var blocks []Block
	for i, order := range s.orders {
		form := 0.02 * r.NormFloat64()
		days := map[rune]float64{}
		for place, shoe := range order {
			if _, seen := days[shoe]; !seen {
				days[shoe] = s.day * r.NormFloat64()
			}
			x := 0.005 * r.NormFloat64()
			runner := "r1"
			if s.runners > 1 {
				runner = "r" + strconv.Itoa(i%s.runners+1)
			}
			blocks = append(blocks, Block{
				Session: "s" + strconv.Itoa(i), Level: "268", Runner: runner, Shoe: string(shoe),
				Y:     1.4 + form + s.effects[shoe] + days[shoe] + 0.9*x + s.block*r.NormFloat64(),
				TimeH: 0.1 + 0.15*float64(place), X: x,
			})
		}
	}
	return blocks
}

// effects are the shoes' effects against the first of their group: means and covariances,
// shoes x shoes.
type effects struct{ mean, cov []float64 }

// effectsOf integrates the coefficients of the covariates out, by the plain formula.
func effectsOf(at *node, c *conditional) effects {
	n, q := len(c.mean), len(at.coef)
	e := effects{slices.Clone(c.mean), make([]float64, n*n)}
	for i := range n {
		for a := range q {
			e.mean[i] -= c.slope[a*n+i] * at.coef[a]
		}
		for j := range n {
			e.cov[i*n+j] = at.sigma * at.sigma * c.cov[i*n+j]
			for a := range q {
				for b := range q {
					e.cov[i*n+j] += c.slope[a*n+i] * at.coefCov[a*q+b] * c.slope[b*n+j]
				}
			}
		}
	}
	return e
}

// oneDay is the difference on one day to come, apart from what differs between runners.
func oneDay(p *Posterior, a, b int, sensor Sensor) Difference {
	return p.describe(p.differences(a, b, sensor, (*node).contrast, (*node).day))
}

// best returns, for each shoe, the chance that it is the best of its group; NaN for a shoe that
// is alone in its group.
func (p *Posterior) best(sensor Sensor) []float64 {
	best := make([]float64, len(p.Shoes))
	for _, shoes := range p.Groups {
		if len(shoes) == 1 {
			best[shoes[0]] = missing
			continue
		}
		p.bestOf(shoes, sensor, best)
	}
	return best
}

// newRunner is the difference on one day to come, of somebody who is not in the data.
func (p *Posterior) newRunner(a, b int, sensor Sensor) Difference {
	return p.describe(p.differences(a, b, sensor, (*node).contrast, (*node).newRunner))
}
