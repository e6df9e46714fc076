package plaintext

import (
	"strings"

	"unicode"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Generators of values in canonical form: what a file can hold without loss.

// drawNumber draws low..high (in units of the last decimal), or missing.
func drawNumber(t *rapid.T, name string, low, high, decimals int) float64 {
	if rapid.IntRange(0, 3).Draw(t, name+" given") == 0 {
		return units.Missing
	}
	return drawKnown(t, name, low, high, decimals)
}

func drawKnown(t *rapid.T, name string, low, high, decimals int) float64 {
	scale := [...]float64{1, 10, 100, 1000, 10000}[decimals]
	return float64(rapid.IntRange(low, high).Draw(t, name)) / scale
}

// drawText draws one line of text with everything that CSV has to quote.
func drawText(t *rapid.T, name string) string {
	text := rapid.OneOf(
		rapid.StringMatching(`[a-z ",;'\\.#]{0,12}`),
		rapid.String(),
	).Draw(t, name)
	text = strings.Map(func(c rune) rune {
		if unicode.IsControl(c) {
			return -1
		}
		return c
	}, text)
	return strings.Trim(text, blanks)
}

func drawLabel(t *rapid.T, name string) string { return "L" + drawText(t, name) }

func drawIDs(t *rapid.T, pattern string) []string {
	return rapid.SliceOfNDistinct(rapid.StringMatching(pattern).Filter(Portable), 0, 6, rapid.ID).Draw(t, "ids")
}

func drawRunners(t *rapid.T) (list []trial.Runner) {
	for _, id := range drawIDs(t, `[a-z0-9][a-z0-9._-]{0,5}`) {
		list = append(list, trial.Runner{
			ID: id, Label: drawLabel(t, "label"), MassKg: drawNumber(t, "mass", 1, 2000, 1),
			HeightCm: drawNumber(t, "height", 1, 2500, 1), LegLengthCm: drawNumber(t, "leg", 1, 1500, 1),
		})
	}
	return list
}

func drawShoes(t *rapid.T) (list []trial.Shoe) {
	for _, id := range drawIDs(t, `[a-z0-9][a-z0-9._-]{0,5}`) {
		price, currency := drawNumber(t, "price", 0, 50000, 2), ""
		if units.Known(price) {
			currency = rapid.StringMatching(`[A-Z]{3}`).Draw(t, "currency")
		}
		list = append(list, trial.Shoe{
			ExpectedKm: drawNumber(t, "expected", 1, 20000, 1), Price: price, Currency: currency,
			ID: id, Label: drawLabel(t, "label"), MassG: drawNumber(t, "mass", 1, 5000, 1), SizeEU: drawNumber(t,
				"size", 1, 600, 1),
			HeelMm: drawNumber(t, "heel", 0, 600, 1), ForefootMm: drawNumber(t, "forefoot", 0, 600,
				1), Plate: drawText(t, "plate"),
			WornKm: drawNumber(t, "worn", 0, 20000, 1), Obtained: drawText(t, "obtained"), Notes: drawText(t, "notes"),
		})
	}
	return list
}

func drawVenues(t *rapid.T) (list []trial.Venue) {
	for _, id := range drawIDs(t, `[a-z0-9][a-z0-9._-]{0,5}`) {
		list = append(list, trial.Venue{
			ID: id, Label: drawLabel(t, "label"), Kind: rapid.SampledFrom(append([]string{""}, trial.VenueKinds...)).
				Draw(t, "kind"),
			LapM: drawNumber(t, "lap", 1, 2_000_000, 3), Lane: drawNumber(t, "lane", 1, 9, 0), AltitudeM: drawNumber(t,
				"altitude", -4000, 50000, 1),
		})
	}
	return list
}

// drawBlocks draws blocks that follow one another.
func drawBlocks(t *rapid.T, context blockContext) (list []trial.Block) {
	clock := 0
	for _, id := range drawIDs(t, `[A-Za-z0-9][A-Za-z0-9._-]{0,5}`) {
		start := clock + rapid.IntRange(1, 9000).Draw(t, "rest")
		clock = start + rapid.IntRange(1, 9000).Draw(t, "length")
		b := trial.Block{
			ID: id, Shoe: rapid.SampledFrom([]string{"", "blue", "grey"}).Draw(t, "shoe"),
			Start: float64(start) / 10, End: float64(clock) / 10, Target: drawTarget(t, context),
			DistanceM: drawNumber(t, "distance", 1, 200000, 1), Laps: drawNumber(t, "laps", 1, 50000, 3),
			Sensor: drawLabel(t, "sensor"),
			RPE:    drawNumber(t, "rpe", 0, 100, 1), ComfortMm: drawNumber(t, "comfort", 0, 100, 0),
			Excluded: rapid.Bool().Draw(t, "excluded"), Reason: drawLabel(t, "reason"), Note: drawText(t, "note"),
		}
		for m := range b.Measured {
			b.Measured[m] = drawNumber(t, "measured", 1, 99999, measuredDecimals[m])
		}
		list = append(list, b)
	}
	return list
}

func drawTarget(t *rapid.T, context blockContext) float64 {
	if rapid.Bool().Draw(t, "own target") {
		return drawKnown(t, "target", 1000, 900_000, 3)
	}
	return context.sessionTarget
}

func drawContext(t *rapid.T) blockContext {
	effort := rapid.SampledFrom(trial.Efforts).Draw(t, "effort")
	return blockContext{effort: effort, sessionTarget: drawNumber(t, "session target", 1000, 900_000, 3), timed: true,
		shoes: []string{"blue", "grey"}}
}

// drawSamples draws a recording in which every channel holds a value.
func drawSamples(t *rapid.T) *trial.Samples {
	rows := rapid.IntRange(1, 20).Draw(t, "rows")
	s := &trial.Samples{}
	for range rows {
		s.Elapsed = append(s.Elapsed, drawKnown(t, "elapsed", 0, 10_000_000, 3))
	}
	channels := rapid.SliceOfNDistinct(rapid.IntRange(0, int(trial.ChannelCount)-1), 1, -1, rapid.ID).Draw(t,
		"channels")
	for _, c := range channels {
		decimals := trial.Channel(c).Info().Decimals
		values := []float64{drawKnown(t, "first", -9_999_999, 9_999_999, decimals)}
		for len(values) < rows {
			values = append(values, drawNumber(t, "value", -9_999_999, 9_999_999, decimals))
		}
		s.Values[c] = values
	}
	return s
}

// same fails unless two values are equal; missing equals missing, and places in
// the text do not count.
func same[T any](t interface {
	Fatalf(string, ...any)
}, what string, want, got T) {
	if diff := cmp.Diff(want, got, cmpopts.EquateNaNs(), cmpopts.EquateEmpty(),
		cmpopts.IgnoreTypes(trial.Position{})); diff != "" {
		t.Fatalf("%s (-want +got):\n%s", what, diff)
	}
}

// sound fails when there are problems.
func sound(t interface {
	Fatalf(string, ...any)
}, r *report, text []byte) {
	if problems := r.sorted(); len(problems) > 0 {
		t.Fatalf("%v in\n%s", problems, text)
	}
}

// tableSource is text as it comes from a file.
func tableSource(t interface {
	Fatalf(string, ...any)
}, text []byte, lenient bool) source {
	var r report
	src, ok := newSource("t.csv", text, lenient, &r)
	if !ok {
		t.Fatalf("%v", r.problems)
	}
	if lenient {
		src.mend = mendTable
	}
	return src
}
