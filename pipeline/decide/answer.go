package decide

import (
	"slices"

	"soletrial/pipeline/stable"
)

// Status is what an answer comes to.
type Status string

// The statuses, in the order they are tried. Blocked takes the place of Same and Fastest only.
const (
	Same    Status = "same"    // practically the same: shown to be less than what matters apart
	Fastest Status = "fastest" // one shoe is the best with a chance of 97.5 %
	Leading Status = "leading" // some shoes are left behind, the best of the others is not known
	Open    Status = "open"    // any may be the best
	Blocked Status = "blocked" // the sensor could have made it
)

// sure is the chance that a claim needs.
const sure = 0.975

// Answer is the answer for one group of linked shoes.
type Answer struct {
	Status Status
	// Leader is the best by estimate, Second the next; -1 where the shoe is alone.
	Leader, Second int
	// Leading are the fewest shoes that together hold a chance of 97.5 % of being the best,
	// the likeliest first.
	Leading []int
	// Best holds the chance of being the best of every shoe of the posterior that is in the
	// group, NaN for the others.
	Best []float64
	// Lead is by how much the leader is better than the second.
	Lead Difference
	// Order holds the shoes of the group, the best by estimate first.
	Order []int
	// Was is the status that Blocked replaces, else "".
	Was Status
}

// Answer returns the answer for a group, an index of Groups; false where a shoe is alone.
func (p *Posterior) Answer(group int, sensor Sensor) (Answer, bool) {
	shoes := p.Groups[group]
	a := Answer{Leader: shoes[0], Second: -1, Order: p.order(shoes, sensor), Best: make([]float64, len(p.Shoes))}
	for j := range a.Best {
		a.Best[j] = missing
	}
	if len(shoes) == 1 {
		return a, false
	}
	// The chance of each shoe to be the best, and who leads.
	chances := make([]float64, len(p.Shoes))
	p.bestOf(shoes, sensor, chances)
	for _, j := range shoes {
		a.Best[j] = chances[j]
	}
	a.Leader, a.Second = a.Order[0], a.Order[1]
	a.Leading = fewest(a.Order, chances)
	a.Lead = p.Difference(a.Leader, a.Second, sensor)
	// What that comes to; practically the same goes before all else.
	switch {
	case p.allSame(a, sensor):
		a.Status = Same
	case chances[a.Leading[0]] >= sure:
		a.Status = Fastest
	case len(a.Leading) < len(shoes):
		a.Status = Leading
	default:
		a.Status = Open
	}
	return a, true
}

// order sorts shoes of a group, the best by estimate first, equal ones by name.
func (p *Posterior) order(shoes []int, sensor Sensor) []int {
	sorted := slices.Clone(shoes)
	behind := map[int]float64{}
	for _, j := range shoes {
		behind[j] = p.mean(shoes[0], j, sensor)
	}
	stable.Sort(sorted, func(a, b int) int {
		switch {
		case behind[a] < behind[b]:
			return -1
		case behind[a] > behind[b]:
			return 1
		}
		return a - b
	})
	return sorted
}

// fewest returns the likeliest shoes until they hold the chance that a claim needs.
func fewest(order []int, chances []float64) []int {
	byChance := slices.Clone(order)
	stable.Sort(byChance, func(a, b int) int {
		switch {
		case chances[a] > chances[b]:
			return -1
		case chances[a] < chances[b]:
			return 1
		}
		return 0
	})
	total := 0.0
	for i, j := range byChance {
		total += chances[j]
		if total >= sure {
			return byChance[:i+1]
		}
	}
	return byChance
}

// allSame reports whether the leader is shown to be no further than what matters from every
// other leading shoe, or from the second where it leads alone.
func (p *Posterior) allSame(a Answer, sensor Sensor) bool {
	others := []int{a.Second}
	if len(a.Leading) > 1 || a.Leading[0] != a.Leader {
		others = a.Leading
	}
	for _, j := range others {
		if j != a.Leader && p.Difference(a.Leader, j, sensor).ApartAtMost > p.settings.LogWorthwhile() {
			return false
		}
	}
	return true
}

// BlockedBy returns the answer, blocked where it claims something and one of the others,
// made with a sensor's measured error taken out or shared, claims something else.
func (a Answer) BlockedBy(others ...Answer) Answer {
	if a.Status != Fastest && a.Status != Same {
		return a
	}
	for _, o := range others {
		if o.Status != a.Status || a.Status == Fastest && o.Leading[0] != a.Leading[0] {
			a.Was, a.Status = a.Status, Blocked
			return a
		}
	}
	return a
}
