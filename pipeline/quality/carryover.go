package quality

import (
	"math"

	"soletrial/pipeline/stats"
	"soletrial/pipeline/steady"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// minFollowing is how often a shoe must have been changed into before "always after the
// same" says something: with three shoes and free orders it happens by chance in a quarter.
const minFollowing = 3

// minRepeats is how many times a shoe must have been run twice in a row for a test of the
// first block after a change.
const minRepeats = 4

// firstShoeSame reports an effort whose sessions all begin in the same shoe.
func firstShoeSame(c *datasetCheck) {
	for _, effort := range trial.Efforts {
		first, n := "", 0
		for _, blocks := range c.bySession(effort) {
			if len(perShoe(blocks)) < 2 {
				continue // nothing is compared in it
			}
			if n++; n > 1 && blocks[0].Shoe != first {
				n = 0
				break
			}
			first = blocks[0].Shoe
		}
		if n > 1 {
			all := "all " + units.Count(n, "session")
			if n == 2 {
				all = "both sessions"
			}
			c.say(datasetFile, trial.Warn, float64(n), 1, all+" by "+effort.Name()+" begin in "+first)
		}
	}
}

// carryOver reports what a block may have from the one before: a shoe that always follows the
// same other, and blocks right after a change that differ from the next in the same shoe.
func carryOver(c *datasetCheck) {
	for _, effort := range trial.Efforts {
		sessions := c.bySession(effort)
		c.alwaysAfter(effort, sessions)
		c.afterChange(effort, sessions)
	}
}

// alwaysAfter counts what each shoe was changed into from. With two shoes it is always the
// other.
func (c *datasetCheck) alwaysAfter(effort trial.Effort, sessions [][]*steady.Summary) {
	type change struct{ from, into string }
	changes, times := map[change]int{}, map[string]int{}
	var all []*steady.Summary
	var order []change
	for _, blocks := range sessions {
		all = append(all, blocks...)
		for i := 1; i < len(blocks); i++ {
			if ch := (change{blocks[i-1].Shoe, blocks[i].Shoe}); ch.from != ch.into {
				if changes[ch] == 0 {
					order = append(order, ch)
				}
				changes[ch]++
				times[ch.into]++
			}
		}
	}
	// Of two shoes each always follows the other.
	if len(perShoe(all)) < 3 {
		return
	}
	for _, ch := range order {
		if n := changes[ch]; n == times[ch.into] && n >= minFollowing {
			c.say(datasetFile, trial.Note, float64(n), minFollowing, ch.into+" always followed "+ch.from+": "+
				units.Count(n, "time")+" in sessions by "+effort.Name())
		}
	}
}

// afterChange compares the first block after a change with the next in the same shoe.
func (c *datasetCheck) afterChange(effort trial.Effort, sessions [][]*steady.Summary) {
	// The outcome at equal effort, as the comparison has it.
	method := &c.dataset.Facts.Method
	outcome := method.OutcomeAt(effort)
	exponent, _ := method.EqualEffort(effort, outcome)
	equal := func(b *steady.Summary) float64 {
		return stats.Log(b.Outcomes[outcome]) - float64(exponent.Mean*effort.LogRatio(b.MeanEffort, b.Target))
	}
	// A change, then two blocks in the same shoe at one target.
	var differences []float64
	for _, blocks := range sessions {
		for i := 1; i+1 < len(blocks); i++ {
			if blocks[i-1].Shoe == blocks[i].Shoe || blocks[i].Shoe != blocks[i+1].Shoe ||
				blocks[i].Target != blocks[i+1].Target && units.Known(blocks[i].Target) {
				continue
			}
			if d := equal(blocks[i]) - equal(blocks[i+1]); units.Known(d) {
				differences = append(differences, d)
			}
		}
	}
	if len(differences) < minRepeats {
		return
	}
	// Said only where it is told from zero and would matter.
	mean, n := stats.Mean(differences), float64(len(differences))
	sure := float64(stats.StudentQuantile(0.975, n-1)*stats.SD(differences)) / math.Sqrt(n)
	pct, limit := float64(100*stats.Expm1(mean)), method.WorthwhilePct/2
	if math.Abs(mean) > sure && math.Abs(pct) > limit {
		c.say(datasetFile, trial.Warn, pct, limit, outcome.Info().Label+
			" in the first block after a change of shoe is "+units.FormatSigned(pct, 1)+
			" % against the next block in the same shoe ("+units.Count(len(differences), "change")+
			" in sessions by "+effort.Name()+")")
	}
}
