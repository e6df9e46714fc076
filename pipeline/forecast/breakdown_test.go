package forecast

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"soletrial/pipeline/units"
)

// Riegel's formula as quoted in encyclopaedias; values computed from it outside
// this module. The exponent 1.07732 is Riegel 1981's fit for men (from memory).
func TestRiegel(t *testing.T) {
	near(t, "10 km in 40:00 to the half", Riegel(2400, 10000, 21097.5), 5295.367, 1e-3)
	near(t, "to the marathon", Riegel(2400, 10000, 42195), 11040.478, 1e-3)
	near(t, "5 km in 20:00 to 10 km", Riegel(1200, 5000, 10000), 2501.918, 1e-3)
	near(t, "2^1.06", Riegel(1, 1, 2), 2.0849315, 1e-7)
	near(t, "half, 1.07732", ScaleTime(2400, 10000, 21097.5, 1.07732), 5364.284, 1e-3)
	near(t, "marathon, 1.07732", ScaleTime(2400, 10000, 42195, 1.07732), 11319.244, 1e-3)
	near(t, "10 km, 1.07732", ScaleTime(1200, 5000, 10000, 1.07732), 2532.135, 1e-3)
	near(t, "2^1.07732", ScaleTime(1, 1, 2, 1.07732), 2.1101126, 1e-7)
	for seconds, want := range map[float64]bool{209: false, 210: true, 13800: true, 13801: false} {
		if RiegelHolds(seconds) != want {
			t.Errorf("%v s: %v", seconds, !want)
		}
	}
}

// A gain is a factor on the time, so scaling first or last is the same.
func TestRiegelCommutesWithAGain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		time, gain := rapid.Float64Range(300, 20000).Draw(t, "time"), rapid.Float64Range(-0.1, 0.1).Draw(t, "gain")
		first, last := Riegel(time/(1+gain), 5000, 42195), Riegel(time, 5000, 42195)/(1+gain)
		if d := first - last; d > 1e-8 || d < -1e-8 {
			t.Fatalf("%v against %v", first, last)
		}
	})
}

func TestParseDistance(t *testing.T) {
	for text, want := range map[string]float64{
		"1500": 1500, "mile": 1609.344, "3000": 3000, "5km": 5000, "10km": 10000, "half": 21097.5, "marathon": 42195,
		"50km": 50000, "100km": 100000,
		"15km": 15000, "8000m": 8000, "12345.6": 12345.6, "21.0975km": 21097.5,
		"10k": 10000, "5K": 5000, "10 km": 10000, "100k": 100000, "10 miles": 16093.44, "5mi": 8046.72,
		"1 mile": 1609.344, "50mile": 80467.2, "Half": 21097.5, "half marathon": 21097.5, "Marathon": 42195,
		" 1500 m ": 1500,
	} {
		if got, err := ParseDistance(text); err != nil || got != want {
			t.Errorf("%q: %v, %v", text, got, err)
		}
	}
	for _, text := range []string{"", "km", "1499", "100.1km", "101k", "63 miles", "0.9mi", "10 km km", "10", "26.2",
		"miles", "10,5km", "maraton", "-5km", "NaN", "1e4", "10kmm"} {
		if got, err := ParseDistance(text); err == nil || units.Known(got) {
			t.Errorf("%q is %v", text, got)
		} else if !strings.Contains(err.Error(), "1500 m to 100 km") {
			t.Errorf("%q: %v", text, err)
		}
	}
	var syntax *units.SyntaxError
	if _, err := ParseDistance("10"); !errors.As(err, &syntax) ||
		syntax.Hint != "a number alone is metres: write 10km or 10mi" {
		t.Errorf("10: %v", err)
	}
	for metres, want := range map[float64]string{1500: "1500 m", 1609.344: "mile (1609.344 m)", 10000: "10 km",
		21097.5: "half marathon (21.0975 km)", 42195: "marathon (42.195 km)"} {
		if got := DistanceText(metres); got != want {
			t.Errorf("%v is %q, want %q", metres, got, want)
		}
	}
}

// The parts add up by curve. 50 g at 1 % of energy per 100 g are a saving of 0.5 %, which
// by the straight line of the ACSM, 3.5 + 0.2 S at 240 m/min, is (51.5/0.995 - 3.5)/0.2 =
// 241.294 m/min (arithmetic), not 0.5 % more speed.
func TestBreakDown(t *testing.T) {
	e := Effect{Estimate: 0.5, Low: 0.1, High: 0.9, DayLow: -0.5, DayHigh: 1.5, TestSpeed: 4}
	race := Race{DistanceM: 10000, TimeS: 2500} // at test speed: every curve agrees on the effect
	o := BreakDown(e, race, 200, 250, 1)        // 50 g lighter
	want := 2500/1.005 - 2500
	near(t, "in all", o.Change.Min, want, 1e-9)
	near(t, "in all, most", o.Change.Max, want, 1e-9)
	near(t, "low", o.Change.Low, 2500/1.009-2500, 1e-9)
	near(t, "high", o.Change.High, 2500/1.001-2500, 1e-9)
	near(t, "on one day, low", o.Day.Low, 2500/1.015-2500, 1e-9)
	near(t, "on one day, high", o.Day.High, 2500/0.995-2500, 1e-9)
	straight := slices.IndexFunc(o.ByCurve, func(c CurveWeight) bool { return c.Curve == "acsm_level" })
	gain := func(saving float64) float64 { return (51.5/(1-saving)-3.5)/0.2/240 - 1 }
	near(t, "weight", o.ByCurve[straight].Expected.Value, 2500/(1+gain(0.005))-2500, 1e-6)
	near(t, "weight, published range", o.ByCurve[straight].Expected.Low, 2500/(1+gain(0.00675))-2500, 1e-6)
	near(t, "weight, published range", o.ByCurve[straight].Expected.High, 2500/(1+gain(0.0044))-2500, 1e-6)
	for i, c := range o.ByCurve {
		near(t, "rest of "+c.Curve, c.Rest.Value, o.Rows[i].ChangeS-c.Expected.Value, 1e-9)
		near(t, "its width", c.Rest.High-c.Rest.Low, o.Rows[i].HighS-o.Rows[i].LowS, 1e-9)
		if c.Rest.Value < o.Rest.Min || c.Rest.Value > o.Rest.Max || c.Rest.Low < o.Rest.Low ||
			c.Rest.High > o.Rest.High {
			t.Errorf("%+v is outside the range %+v", c.Rest, o.Rest)
		}
	}
	if o = BreakDown(e, race, units.Missing, 250, 1); units.Known(o.Weight.Min) || units.Known(o.Rest.Low) ||
		!units.Known(o.Change.Low) {
		t.Errorf("an unknown mass: %+v", o)
	}
	e.Low, e.High, e.DayLow = units.Missing, units.Missing, units.Missing
	if o = BreakDown(e, race, 200, 250, 1); units.Known(o.Change.Low) || units.Known(o.Rest.High) ||
		units.Known(o.Day.High) || !units.Known(o.Rest.Max) {
		t.Errorf("no interval: %+v", o)
	}
}

// Hoogkamer et al. 2016 (doi 10.1249/MSS.0000000000001012, figures from memory of the
// abstract): 100 g on each shoe cost 1.11 % of metabolic rate and 0.78 % of the time over
// 3000 m, 626.1 s without them. The curve with air resistance leads from one to the other
// and back. 630.98 s is 626.1 s and 0.78 % (arithmetic).
func TestCostAndTimeOfMass(t *testing.T) {
	kipp, speed := curve(t, "kipp_2019"), 3000/626.1
	slower := 1/(1+kipp.WeightGain(speed, 100, 1.11)) - 1
	near(t, "1.11 % of cost, percent of time", 100*slower, 0.78, 0.01)
	near(t, "time", 626.1*(1+slower), 630.98, 0.1)
	near(t, "0.78 % of time, percent of cost", -100*kipp.Saving(speed, 1/1.0078-1), 1.11, 0.01)
	// The cost itself is per 100 g on each shoe: 239 g at 1.00 and 1.11 (arithmetic).
	near(t, "239 g", 100*costOf(239, 1), 2.39, 1e-12)
	near(t, "239 g", 100*costOf(239, 1.11), 2.6529, 1e-12)
	// The straight line of the ACSM says more: its elasticity at 287.494 m/min is
	// 57.4988/60.9988, so 1.11 % of cost are 1.178 % of time (arithmetic).
	near(t, "ACSM", 100*(1/(1+curve(t, "acsm_level").WeightGain(speed, 100, 1.11))-1), 1.178, 0.001)
}

// A heavier shoe is never expected to be faster, and the gain costs what the mass costs.
func TestWeightDirection(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		grams, speed := rapid.Float64Range(-150, 150).Draw(t, "grams"), rapid.Float64Range(2.5, 6).Draw(t, "speed")
		for _, c := range Curves {
			gain := c.WeightGain(speed, grams, 1)
			if gain*grams > 1e-12 || grams == 0 && math.Abs(gain) > 1e-12 {
				t.Fatalf("%s: %v g, gain %v", c.Name, grams, gain)
			}
			if back := c.Saving(speed, gain); !(math.Abs(back+grams/1e4) < 1e-9) {
				t.Fatalf("%s: %v g cost %v", c.Name, grams, -back)
			}
		}
	})
}

func TestSettingOutside(t *testing.T) {
	tested := Setting{Kinds: []string{"track", "treadmill"}, Surface: "track", WornKm: 100, ReferenceWornKm: 400,
		WearApartKm: 300}
	for want, change := range map[string]func(*Setting){
		"":                     func(*Setting) {},
		"surface":              func(s *Setting) { s.Surface = "road" },
		"wear":                 func(s *Setting) { s.WornKm = 99 },
		"wear unknown":         func(s *Setting) { s.ReferenceWornKm = units.Missing },
		"surface,wear unknown": func(s *Setting) { s.Kinds, s.WornKm = nil, units.Missing },
	} {
		s := tested
		s.Kinds = slices.Clone(tested.Kinds)
		change(&s)
		if got := strings.Join(s.Outside(), ","); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
