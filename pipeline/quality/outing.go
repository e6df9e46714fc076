package quality

import (
	"fmt"
	"math"
	"strings"

	"soletrial/pipeline/conditions"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

func blocksUnbalanced(c *sessionCheck) {
	count := perShoe(c.kept())
	fewest, most := "", ""
	for _, shoe := range sortedKeys(count) {
		if fewest == "" || count[shoe] < count[fewest] {
			fewest = shoe
		}
		if most == "" || count[shoe] > count[most] {
			most = shoe
		}
	}
	if ratio := float64(count[most]) / float64(count[fewest]); ratio >= c.limits.BalanceRatio && ratio > 1 {
		c.report(-1, trial.Finding{Severity: trial.Note, Value: ratio, Limit: c.limits.BalanceRatio,
			Message: fmt.Sprintf("%s was run in %s, %s in %s", most, counted(count[most], "block"), fewest, counted(count[fewest], "block")),
			Hint:    "equal numbers of blocks give the narrowest interval for the same work"})
	}
}

func restUnequal(c *sessionCheck) {
	shortest, longest := units.Missing, units.Missing
	before, after := "", ""
	for i := 1; i < len(c.blocks); i++ {
		rest := c.blocks[i].Start - c.blocks[i-1].End
		if units.Known(rest) && !(rest >= shortest) {
			shortest, before = rest, c.blocks[i].Block
		}
		if units.Known(rest) && !(rest <= longest) {
			longest, after = rest, c.blocks[i].Block
		}
	}
	if apart := longest - shortest; apart > c.limits.RestApartS {
		c.report(-1, trial.Finding{Severity: trial.Note, Value: apart, Limit: c.limits.RestApartS,
			Message: fmt.Sprintf("rests differ by %s s: %s s before block %q, %s s before block %q", units.FormatDecimal(apart, 0), units.FormatDecimal(shortest, 0), before, units.FormatDecimal(longest, 0), after),
			Hint:    "a longer rest leaves fresher legs and a lower heart rate to whichever shoe comes next"})
	}
}

func warmUpShort(c *sessionCheck) {
	if len(c.blocks) == 0 {
		return
	}
	seconds, said := c.session.Facts.Protocol.WarmUpS, "protocol.warm_up_s says"
	if !units.Known(seconds) {
		said = "none is written down, and the recording before the first block holds"
		for i := range c.recordings {
			if r := &c.recordings[i]; r.Samples.Len() > 0 {
				if before := c.blocks[0].Start - r.Samples.Elapsed[0] - r.Offset(); !(before <= seconds) {
					seconds = before
				}
			}
		}
	}
	if seconds < c.limits.WarmUpS {
		c.report(-1, trial.Finding{Severity: trial.Note, Value: seconds, Limit: c.limits.WarmUpS,
			Message: fmt.Sprintf("the warm-up was short: %s %s s", said, units.FormatDecimal(math.Max(0, seconds), 0)),
			Hint:    "the first blocks then warm up too; write the warm-up into protocol.warm_up_s, or warm up for longer"})
	}
}

func heatCaution(c *sessionCheck) {
	facts := c.session.Facts.Conditions
	severity, limit := trial.Note, c.limits.HeatWbgtC
	if facts.WbgtC >= c.limits.HeatWbgtWarnC {
		severity, limit = trial.Warn, c.limits.HeatWbgtWarnC
	}
	switch band, known := conditions.BandOf(facts.WbgtC); {
	case known && facts.WbgtC >= limit:
		c.report(-1, trial.Finding{Severity: severity, Value: facts.WbgtC, Limit: limit,
			Message: fmt.Sprintf("wet-bulb globe temperature of %s °C: %s", units.FormatDecimal(facts.WbgtC, 1), band.Meaning), Hint: conditions.HeatCaution})
	case !known && facts.AirC >= c.limits.HeatAirC:
		c.report(-1, trial.Finding{Severity: trial.Note, Value: facts.AirC, Limit: c.limits.HeatAirC,
			Message: fmt.Sprintf("air of %s °C, and no wet-bulb globe temperature was measured", units.FormatDecimal(facts.AirC, 1)), Hint: "measure it at the track and write it into wbgt_c; local rules, event medics and licensed clinicians decide"})
	}
}

func windStrong(c *sessionCheck) {
	wind := c.session.Facts.Conditions.WindMps
	if !(wind >= c.limits.WindMps) {
		return
	}
	message := fmt.Sprintf("wind of %s m/s", units.FormatDecimal(wind, 1))
	if cost := c.lapWind(wind); units.Known(cost.Low) {
		message += fmt.Sprintf(": over laps of a track it may add %s to %s %% to the cost of running", units.FormatDecimal(cost.Low, 1), units.FormatDecimal(cost.High, 1))
	}
	c.report(-1, trial.Finding{Severity: trial.Warn, Value: wind, Limit: c.limits.WindMps, Message: message,
		Hint: "wind does not cancel over a lap, and gusts fall on one shoe and not the other; run whole laps, and more blocks"})
}

// lapWind returns what the wind costs at the session's mean speed; missing
// without a runner's height and mass, or away from a track.
func (c *sessionCheck) lapWind(wind float64) conditions.Cost {
	facts := c.session.Facts
	runner, venue := c.dataset.Runner(facts.Runner), c.dataset.Venue(facts.Venue)
	sum, n := 0.0, 0.0
	for _, b := range c.blocks {
		if speed := b.Outcomes[trial.Speed]; units.Known(speed) {
			sum += speed
			n++
		}
	}
	if runner == nil || venue == nil || venue.Kind != "track" || n == 0 {
		return conditions.Cost{Low: units.Missing, High: units.Missing}
	}
	air := conditions.AirOf(facts.Conditions.AirC, facts.Conditions.HumidityPct, facts.Conditions.PressureHpa, venue.AltitudeM)
	return conditions.LapWind(conditions.Runner{HeightCm: runner.HeightCm, MassKg: runner.MassKg}, air.Density, sum/n, wind)
}

func deviationListed(c *sessionCheck) {
	if listed := c.session.Facts.Deviations; len(listed) > 0 {
		c.report(-1, trial.Finding{Severity: trial.Note, Value: float64(len(listed)), Limit: 0,
			Message: fmt.Sprintf("%s from the plan: %s", counted(len(listed), "deviation"), strings.Join(listed, " ")),
			Hint:    "nothing to do: a reader should know"})
	}
}
