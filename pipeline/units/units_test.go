package units

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestParseDecimal(t *testing.T) {
	for text, want := range map[string]float64{
		"0": 0, "-0": 0, "007": 7, "3.605": 3.605, "-12.5": -12.5, "123456789012345": 123456789012345,
		"0.1234567890123456789": 0.1234567890123456789, "99999999999999999999": 1e20,
	} {
		got, err := ParseDecimal(text)
		if err != nil || got != want {
			t.Errorf("ParseDecimal(%q) = %v, %v; want %v", text, got, err, want)
		}
	}
}

func TestParseDecimalRefuses(t *testing.T) {
	for text, hint := range map[string]string{
		"": "write a number", "1,5": "comma", "1_000": "underscores", "0x1p4": "in decimal", "NaN": "blank",
		"-Inf": "blank", "1e3": "exponent",
		"+1": "plus", ".5": "both sides", "5.": "both sides", "-": "blank", " 1": "space",
		"1 ": "space", "4:30": "minutes", "12w": "no unit",
		"1.2.3": "no unit", "--1": "no unit", "١": "no unit", strings.Repeat("9", 400): "no unit",
	} {
		got, err := ParseDecimal(text)
		if err == nil || Known(got) {
			t.Errorf("ParseDecimal(%q) = %v, want an error", text, got)
			continue
		}
		if syntax := err.(*SyntaxError); !strings.Contains(syntax.Hint, hint) {
			t.Errorf("ParseDecimal(%q) hints %q, want %q in it", text, syntax.Hint, hint)
		}
	}
}

// The standard library's correctly rounded parser is the oracle.
func TestParseDecimalAgreesWithStrconv(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`-?[0-9]{1,12}(\.[0-9]{1,14})?`).Draw(t, "text")
		got, err := ParseDecimal(text)
		want, _ := strconv.ParseFloat(text, 64)
		if err != nil || got != want {
			t.Fatalf("%q: got %v, %v; want %v", text, got, err, want)
		}
	})
}

func TestPrintedNumbersReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.Float64Range(-1e6, 1e6).Draw(t, "x")
		decimals := rapid.IntRange(0, 6).Draw(t, "decimals")
		text := FormatDecimal(x, decimals)
		back, err := ParseDecimal(text)
		if err != nil || FormatDecimal(back, decimals) != text || back != Round(x, decimals) {
			t.Fatalf("%v prints as %q and reads as %v, %v", x, text, back, err)
		}
	})
}

func TestFormatDecimal(t *testing.T) {
	for _, c := range []struct {
		x        float64
		decimals int
		want     string
	}{{-0.0004, 3, "0.000"}, {-0.0006, 3, "-0.001"}, {0.125, 2, "0.12"}, {2.5, 0, "2"}, {Missing, 2, ""},
		{1234.5, 1, "1234.5"}} {
		if got := FormatDecimal(c.x, c.decimals); got != c.want {
			t.Errorf("FormatDecimal(%v, %d) = %q, want %q", c.x, c.decimals, got, c.want)
		}
	}
	if got := FormatSignificant(0.000123456789, 6); got != "0.000123457" {
		t.Errorf("FormatSignificant: %q", got)
	}
}

func TestClockText(t *testing.T) {
	paces := map[string]float64{"4:30": 270, "12:05.25": 725.25, "0:59": 59, "1:14.927": 74.927}
	for text, want := range paces {
		if got, err := ParsePace(text); err != nil || got != want {
			t.Errorf("ParsePace(%q) = %v, %v", text, got, err)
		}
	}
	for _, text := range []string{"", "4", "4:60", "4:5", "4.5:00", "1:02:03", "-4:30", "0:00", "4:30/km"} {
		if got, err := ParsePace(text); err == nil {
			t.Errorf("ParsePace(%q) = %v, want an error", text, got)
		}
	}
	for text, want := range map[string]float64{"3:30:00": 12600, "35:00": 2100, "7m": 420, "90s": 90, "1h30m": 5400,
		"1h": 3600, "0.5h": 1800} {
		if got, err := ParseDuration(text); err != nil || got != want {
			t.Errorf("ParseDuration(%q) = %v, %v; want %v", text, got, err, want)
		}
	}
	for _, text := range []string{"", "90", "7 m", "m", "30m1h", "1:2:3:4", "-5m"} {
		if got, err := ParseDuration(text); err == nil {
			t.Errorf("ParseDuration(%q) = %v, want an error", text, got)
		}
	}
	for seconds, want := range map[float64]string{59.6: "1:00", 3725: "1:02:05", -75: "-1:15", 0: "0:00"} {
		if got := FormatClock(seconds); got != want {
			t.Errorf("FormatClock(%v) = %q, want %q", seconds, got, want)
		}
	}
}

func TestTargetReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := float64(rapid.IntRange(1000, 1_200_000).Draw(t, "ms")) / 1000
		text := FormatTarget(want)
		if got, err := ParsePace(text); err != nil || got != want {
			t.Fatalf("%v prints as %q and reads as %v, %v", want, text, got, err)
		}
	})
}

func TestConversions(t *testing.T) {
	near := func(name string, got, want, tolerance float64) {
		t.Helper()
		if math.Abs(got-want) > tolerance {
			t.Errorf("%s = %v, want %v", name, got, want)
		}
	}
	// The agreement of 1959 fixes both factors; the products are arithmetic.
	near("100 g in ounces", Ounces(100), 3.527396, 5e-7)
	near("4:00/km per mile", PerMile(240), 386.2426, 5e-5)
	near("4:32/km per mile", PerMile(272), 437.7416, 5e-5)
	near("4:00/km in m/s", Pace(240), 4.1666667, 5e-8)
	near("pace of pace", Pace(Pace(3.7)), 3.7, 1e-12)
	if Known(Pace(0)) {
		t.Error("a standing runner has no pace")
	}
	near("180 steps/min of 1.20 m", StepProduct(180, 1.2), 3.6, 1e-12)
}

// The standard library's fixed-point printer is the oracle, also at ties and at
// the edge of the fast path.
func TestFormatDecimalAgreesWithStrconv(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		decimals := rapid.IntRange(0, 8).Draw(t, "decimals")
		x := rapid.OneOf(
			rapid.Float64Range(0.0001, 1e10),
			rapid.Custom(func(t *rapid.T) float64 { return float64(rapid.IntRange(1, 1e9).Draw(t, "half")) / 2 }),
			rapid.Custom(func(t *rapid.T) float64 { return float64(rapid.IntRange(1, 1e9).Draw(t, "n")) / 1000 }),
		).Draw(t, "x")
		want := strconv.FormatFloat(x, 'f', decimals, 64)
		if got := FormatDecimal(x, decimals); got != want {
			t.Fatalf("%v with %d decimals prints %q, want %q", x, decimals, got, want)
		}
		if got := FormatDecimal(-x, decimals); strings.Trim(got, "0.") != "" && got != "-"+want {
			t.Fatalf("%v prints %q", -x, got)
		}
	})
}

func TestScanDecimalStopsAfterTheNumber(t *testing.T) {
	for text, want := range map[string]int{"12.5,3": 4, "-0.25\n": 5, "7": 1, "": 0, ",": 0, "-": 0, "5.": 0, ".5": 0,
		"1234567890123456": 0, "1.2.3": 3, "1e3": 1} {
		if _, n := ScanDecimal([]byte(text)); n != want {
			t.Errorf("ScanDecimal(%q) takes %d bytes, want %d", text, n, want)
		}
	}
}

// What is written exactly reads as the same number, without an exponent.
func TestFormatExactReadsBack(t *testing.T) {
	for x, want := range map[float64]string{0: "0", 12.5: "12.5", -0.001: "-0.001", 1e21: "1000000000000000000000",
		1. / 3: "0.3333333333333333"} {
		if got := FormatExact(x); got != want {
			t.Errorf("%v is written %q, want %q", x, got, want)
		}
	}
	if got := FormatExact(Missing); got != "" {
		t.Errorf("a missing number is written %q", got)
	}
}
