package units

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// ParsePace reads a pace such as "4:30" or "4:30.5", minutes and seconds per
// kilometre, and returns seconds per kilometre. Seconds have two digits and are
// below 60.
func ParsePace(text string) (float64, error) {
	seconds, ok := sexagesimal(text)
	if !ok || strings.Count(text, ":") != 1 || seconds <= 0 {
		return Missing, &SyntaxError{Text: text, Want: "a pace",
			Hint: "write minutes:seconds per kilometre, such as 4:30"}
	}
	return seconds, nil
}

// ParseDuration reads a race time or a span as "h:mm:ss", "m:ss", or with unit
// letters as "90s", "7m", "1h", "1h30m", and returns seconds.
func ParseDuration(text string) (float64, error) {
	if seconds, ok := sexagesimal(text); ok && strings.Contains(text, ":") {
		return seconds, nil
	}
	if seconds, ok := lettered(text); ok {
		return seconds, nil
	}
	return Missing, &SyntaxError{Text: text, Want: "a duration",
		Hint: "write h:mm:ss, m:ss, or with letters such as 7m or 90s"}
}

// sexagesimal reads up to three fields separated by colons; all but the first have
// two digits and stay below 60, the last may carry decimals. The whole seconds
// and the decimals are put together as text, so that the result is the float64
// nearest to what is written.
func sexagesimal(text string) (float64, bool) {
	fields := strings.Split(text, ":")
	if len(fields) > 3 {
		return 0, false
	}
	total, fraction := 0.0, ""
	for i, field := range fields {
		whole, _, _ := strings.Cut(field, ".")
		if i > 0 && len(whole) != 2 || i < len(fields)-1 && whole != field || !isDecimal(field) ||
			strings.HasPrefix(field, "-") {
			return 0, false
		}
		value, err := ParseDecimal(whole)
		if err != nil || i > 0 && value >= 60 {
			return 0, false
		}
		total, fraction = float64(total*60)+value, field[len(whole):]
	}
	seconds, err := ParseDecimal(FormatDecimal(total, 0) + fraction)
	return seconds, err == nil
}

func lettered(text string) (float64, bool) {
	total, rest := 0.0, text
	for _, unit := range []struct {
		letter  string
		seconds float64
	}{{"h", 3600}, {"m", 60}, {"s", 1}} {
		number, after, found := strings.Cut(rest, unit.letter)
		if !found {
			continue
		}
		value, err := ParseDecimal(number)
		if err != nil || value < 0 {
			return 0, false
		}
		total, rest = total+float64(value*unit.seconds), after
	}
	return total, rest == "" && text != ""
}

// FormatPace prints seconds per kilometre (or per mile) as m:ss, rounded to the
// nearest second; "" when missing.
func FormatPace(seconds float64) string {
	if !Known(seconds) {
		return ""
	}
	whole := int(math.Round(seconds))
	return fmt.Sprintf("%d:%02d", whole/60, whole%60)
}

// FormatTarget prints a pace as m:ss with as many decimals of a second as it
// needs (at most 3), so that reading it again gives the same number.
func FormatTarget(seconds float64) string {
	if !Known(seconds) {
		return ""
	}
	minutes := math.Floor(Round(seconds, 3) / 60)
	rest := FormatDecimal(seconds-float64(minutes*60), 3)
	rest = strings.TrimSuffix(strings.TrimRight(rest, "0"), ".")
	if whole, _, _ := strings.Cut(rest, "."); len(whole) < 2 {
		rest = strings.Repeat("0", 2-len(whole)) + rest
	}
	return strconv.Itoa(int(minutes)) + ":" + rest
}

// FormatClock prints a span of seconds as m:ss below an hour and h:mm:ss from
// there on, rounded to the second; "" when missing.
func FormatClock(seconds float64) string {
	if !Known(seconds) {
		return ""
	}
	sign := ""
	if seconds < 0 {
		sign, seconds = "-", -seconds
	}
	whole := int(math.Round(seconds))
	if whole < 3600 {
		return fmt.Sprintf("%s%d:%02d", sign, whole/60, whole%60)
	}
	return fmt.Sprintf("%s%d:%02d:%02d", sign, whole/3600, whole/60%60, whole%60)
}
