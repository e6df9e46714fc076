package forecast

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"soletrial/pipeline/units"
)

// The evidence ends 15 % below and above the tested speed, at 3.5 and at 230 minutes.
func TestWhereTheEvidenceEnds(t *testing.T) {
	for _, c := range []struct {
		test, race, seconds float64
		want                string
	}{
		{4, 4, 3600, ""}, {4, 3.4, 3600, ""}, {4, 3.39, 3600, "speed"}, {4, 4.6, 3600, ""}, {4, 4.61, 3600, "speed"},
		{4, 4, 210, ""}, {4, 4, 209.9, "duration"}, {4, 4, 13_800, ""}, {4, 4, 13_801, "duration"},
		{4, 8, 60, "speed duration"},
	} {
		if got := strings.Join(extrapolated(c.test, c.race, c.seconds), " "); got != c.want {
			t.Errorf("tested at %v m/s, raced at %v for %v s: %q, want %q", c.test, c.race, c.seconds, got, c.want)
		}
	}
}

// Whichever row holds an extreme, the range reaches it.
func TestRangeHoldsEveryRow(t *testing.T) {
	rows := []Row{{ChangeS: 1, LowS: 0, HighS: 2, DayLowS: -1, DayHighS: 3},
		{ChangeS: -5, LowS: -9, HighS: 7, DayLowS: -10, DayHighS: 8},
		{ChangeS: 4, LowS: 3, HighS: 5, DayLowS: 2, DayHighS: 6}}
	for range rows {
		if got := RangeOf(rows); got != (Range{-5, 4, -9, 7}) {
			t.Errorf("range %+v of %+v", got, rows)
		}
		if got := OneDay(rows); got != (Range{-5, 4, -10, 8}) {
			t.Errorf("range on one day %+v of %+v", got, rows)
		}
		rows = slices.Concat(rows[1:], rows[:1])
	}
}

// A number alone that would be a distance in kilometres or miles is asked for its unit.
func TestHintForANumberAlone(t *testing.T) {
	for text, alone := range map[string]bool{"1": true, "10": true, "100": true, "0.5": true, "101": false, "0": false,
		"-5": false, "0.5km": false, "1m": false, "200km": false, "ten": false, "": false} {
		_, err := ParseDistance(text)
		var wrong *units.SyntaxError
		if !errors.As(err, &wrong) || strings.HasPrefix(wrong.Hint, "a number alone is metres") != alone {
			t.Errorf("%q: %+v", text, err)
		}
	}
}

// Metres are written to the millimetre, kilometres to the decimetre.
func TestDecimalsOfDistances(t *testing.T) {
	for metres, want := range map[float64]string{1609.344: "mile (1609.344 m)", 1600.12345: "1600.123 m",
		4999: "4999 m",
		5000: "5 km", 15_000.06: "15.0001 km", 21_097.5: "half marathon (21.0975 km)"} {
		if got := DistanceText(metres); got != want {
			t.Errorf("%v m is written %s, want %s", metres, got, want)
		}
	}
}
