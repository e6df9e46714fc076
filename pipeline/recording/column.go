package recording

import (
	"fmt"
	"math"
	"strings"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// column is one channel as it stands in a file, before any conversion.
type column struct {
	channel trial.Channel
	values  []float64 // one per sample, missing where the file has none
	unit    *unit     // nil when the file does not say
	from    string    // where it was read from, for people
	done    []string  // what was converted, for people
}

// useful reports whether the column holds more than gaps and zeros.
func (c *column) useful() bool {
	for _, v := range c.values {
		if units.Known(v) && v != 0 {
			return true
		}
	}
	return false
}

// take converts a column to the channel's own unit and adds it to the samples.
// The values are changed in place. A column without any value is left out.
func (imp *Import) take(c column) {
	imp.dropUnbounded(&c)
	stated := c.unit != nil
	if !stated {
		imp.guess(&c)
	}
	if c.unit != &unitTable[c.channel][0] && c.channel != trial.CadenceSpm {
		for i, v := range c.values {
			c.values[i] = c.unit.convert(v)
		}
		c.done = append(c.done, c.unit.name+" to "+c.channel.Info().Unit)
	}
	if c.channel == trial.CadenceSpm {
		imp.bothFeet(&c, stated && c.unit.name == "steps/min")
	}
	imp.blankZeros(&c)
	values := count(c.values)
	if values == 0 {
		imp.drop("%s: %s has no value", c.channel.Info().Label, c.from)
		return
	}
	imp.Samples.Values[c.channel] = c.values
	imp.Sources = append(imp.Sources,
		Source{Column: c.channel.Info().Column, From: c.from, Conversion: strings.Join(c.done, ", "), Values: values})
}

// guess decides the unit of a column that states none.
func (imp *Import) guess(c *column) {
	mid, guessed := median(c.values), false
	if c.unit, guessed = guessUnit(c.channel, mid); guessed {
		imp.warn("%s: %s states no unit; taken as %s, since its median is %.4g",
			c.channel.Info().Label, c.from, c.unit.name, mid)
	}
}

// bothFeet doubles a cadence that counts one leg. A stated unit of steps per
// minute is believed; anything else is judged by the whole file.
func (imp *Import) bothFeet(c *column, steps bool) {
	switch mid := median(c.values); {
	case steps && mid < perLegBelow:
		imp.warn("cadence: %s is in steps per minute, yet its median is %.4g; left as it is", c.from, mid)
	case steps, !(mid < perLegBelow):
	default:
		for i, v := range c.values {
			c.values[i] = 2 * v
		}
		c.done = append(c.done, fmt.Sprintf("per-leg cadence doubled (its median is %.4g)", mid))
	}
}

// blankZeros blanks the zeros of quantities that cannot be zero: foot pods
// write 0 for "no value" while the runner stands. Power, speed, cadence and
// distance are true zeros then and stay.
func (imp *Import) blankZeros(c *column) {
	switch c.channel {
	case trial.ContactMs, trial.OscillationCm, trial.StepLengthM, trial.HeartRateBpm:
	default:
		return
	}
	zeros := 0
	for i, v := range c.values {
		if v == 0 {
			c.values[i] = units.Missing
			zeros++
		}
	}
	if zeros > 0 {
		imp.drop("%s: %d zeros, which mean no value, are blank now", c.channel.Info().Label, zeros)
	}
}

// dropUnbounded blanks infinities and numbers that no sensor means, so that no
// later step has to think of them.
func (imp *Import) dropUnbounded(c *column) {
	const bound = 1e9
	dropped := 0
	for i, v := range c.values {
		if math.Abs(v) > bound {
			c.values[i] = units.Missing
			dropped++
		}
	}
	if dropped > 0 {
		imp.drop("%s: %d values beyond a thousand million, which no sensor measures", c.channel.Info().Label, dropped)
	}
}

// count returns how many values are known.
func count(values []float64) int {
	n := 0
	for _, v := range values {
		if units.Known(v) {
			n++
		}
	}
	return n
}
