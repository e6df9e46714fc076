package quality

import (
	"math"

	"soletrial/pipeline/stats"
	"soletrial/pipeline/steady"
	"soletrial/pipeline/trial"
)

// effortUneven reports, for each effort, the two shoes whose difference changes most by
// their having been held at different effort, where that matters.
func effortUneven(c *datasetCheck) {
	method := &c.dataset.Facts.Method
	for _, effort := range trial.Efforts {
		outcome := method.OutcomeAt(effort)
		exponent, _ := method.EqualEffort(effort, outcome)
		harder := c.furthestApartInEffort(effort)
		changes := math.Abs(float64(exponent.Mean * harder.log))
		if limit := method.WorthwhilePct / 2; float64(100*stats.Expm1(changes)) > limit {
			c.say(datasetFile, trial.Warn, float64(100*stats.Expm1(changes)), limit,
				harder.shoe+" was run "+effortComparison(effort, num(float64(100*stats.Expm1(harder.log)), 1)+" % ")+
					" than "+harder.other+"; "+exponentMeaning(effort, outcome, exponent.Mean)+
					", so this changes their difference by "+num(float64(100*stats.Expm1(changes)), 1)+" %")
		}
	}
}

// effortComparison is how one shoe was run against another: by how much, and in what.
func effortComparison(effort trial.Effort, by string) string {
	switch effort {
	case trial.Pace:
		return by + "faster"
	case trial.HeartRate:
		return "at a " + by + "higher heart rate"
	}
	return "at " + by + "higher power"
}

// exponentMeaning says what an exponent means: "speed changes by 0.90 % for each 1 % of power".
func exponentMeaning(effort trial.Effort, outcome trial.Outcome, exponent float64) string {
	return outcome.Info().Label + " changes by " + num(exponent, 2) +
		" % for each 1 % of " + effort.Name()
}

// unevenPair is by how much harder a shoe was held than another, as a logarithm.
type unevenPair struct {
	shoe, other string
	log         float64
}

// furthestApartInEffort returns the shoes of an effort that were held furthest apart, on the mean over
// the sessions and targets that have both.
func (c *datasetCheck) furthestApartInEffort(effort trial.Effort) (most unevenPair) {
	type sums struct{ log, n float64 }
	pairs, order := map[[2]string]*sums{}, [][2]string{}
	for _, cell := range c.cells(effort) {
		shoes := shares(cell, func(_ int, b *steady.Summary) float64 { return effort.LogRatio(b.MeanEffort, b.Target) })
		for i := range shoes {
			for j := range shoes[:i] {
				key := [2]string{shoes[j].shoe, shoes[i].shoe}
				if pairs[key] == nil {
					pairs[key], order = &sums{}, append(order, key)
				}
				pairs[key].log += shoes[j].mean() - shoes[i].mean()
				pairs[key].n++
			}
		}
	}
	for _, key := range order {
		if mean := pairs[key].log / pairs[key].n; math.Abs(mean) > math.Abs(most.log) {
			most = unevenPair{key[0], key[1], mean}
		}
	}
	if most.log < 0 {
		most = unevenPair{most.other, most.shoe, -most.log}
	}
	return most
}

// cells lists the compared blocks of an effort by session and target, in their order.
func (c *datasetCheck) cells(effort trial.Effort) (cells [][]*steady.Summary) {
	type cell struct{ session, level string }
	at := map[cell]int{}
	for _, blocks := range c.bySession(effort) {
		for _, b := range blocks {
			key := cell{b.Session, trial.Level(effort, b.Target)}
			i, seen := at[key]
			if !seen {
				i, cells = len(cells), append(cells, nil)
				at[key] = i
			}
			cells[i] = append(cells[i], b)
		}
	}
	return cells
}

// bySession lists the compared blocks of an effort session by session.
func (c *datasetCheck) bySession(effort trial.Effort) (sessions [][]*steady.Summary) {
	session := -1
	for i, b := range c.blocks {
		if i == 0 || b.Session != c.blocks[i-1].Session {
			session++
			if c.sessions[session].Effort() == effort {
				sessions = append(sessions, nil)
			}
		}
		if c.sessions[session].Effort() == effort {
			sessions[len(sessions)-1] = append(sessions[len(sessions)-1], b)
		}
	}
	return sessions
}
