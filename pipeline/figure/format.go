package figure

import (
	"strings"

	"soletrial/pipeline/units"
)

// minus is the typographic minus sign.
const minus = "\u2212"

// Plain prints x with the given decimals and a typographic minus sign; "" when
// it is missing.
func Plain(x float64, decimals int) string {
	return strings.Replace(units.FormatDecimal(x, decimals), "-", minus, 1)
}

// Signed is [Plain] with a sign on every number but zero.
func Signed(x float64, decimals int) string {
	return strings.Replace(units.FormatSigned(x, decimals), "-", minus, 1)
}

// NoInterval is what stands where an interval would.
const NoInterval = "no interval"

// Words prints an estimate with its interval and unit, such as
// "+1.8 % (+0.6 to +3.0)", "+1.8 %, no interval", or "not estimable".
func (e Estimate) Words(decimals int, unit string) string {
	if !units.Known(e.Value) {
		return "not estimable"
	}
	text := Signed(e.Value, decimals) + "\u00a0" + unit
	if !e.Bounded() {
		return text + ", " + NoInterval
	}
	return text + " (" + Signed(e.Low, decimals) + " to " + Signed(e.High, decimals) + ")"
}

// Apart reports whether the interval leaves zero out; an estimate without an
// interval tells nothing apart.
func (e Estimate) Apart() bool { return e.Bounded() && (e.Low > 0 || e.High < 0) }

// truncate shortens text to what fits in the given room at the size of labels. The
// widths are those of a common sans-serif, on the safe side: wide scripts take
// a whole em per letter.
func truncate(text string, maxWidth float64) string {
	runes := []rune(text)
	used := 0.0
	for i, r := range runes {
		used += runeWidth(r)
		if used > maxWidth && i > 0 {
			return strings.TrimRight(string(runes[:max(1, i-1)]), " ") + "…"
		}
	}
	return text
}

func runeWidth(r rune) float64 {
	switch {
	case r >= 0x1100:
		return textSize
	case r == 'm', r == 'w', r == 'M', r == 'W', r == '@':
		return 0.9 * textSize
	case r == 'i', r == 'l', r == 'j', r == '.', r == ',', r == ' ', r == '\'':
		return 0.36 * textSize
	}
	return 0.6 * textSize
}
