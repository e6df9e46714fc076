package units

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// SyntaxError says why a piece of text is not the quantity it should be and
// what to write instead.
type SyntaxError struct {
	Text string // as it stands in the file
	Want string // "a number", "a pace such as 4:30"
	Hint string // what to do
}

func (e *SyntaxError) Error() string { return fmt.Sprintf("%q is not %s", e.Text, e.Want) }

// pow10 holds the powers of ten that a float64 represents exactly.
var pow10 = [...]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16,
	1e17, 1e18, 1e19, 1e20, 1e21, 1e22}

// maxExact is the number of decimal digits that always fit a float64's 53 bits.
const maxExact = 15

// ParseDecimal reads plain decimal text: an optional minus sign, digits, and
// optionally a point and more digits. The result is the nearest float64. Signs
// "+", exponents, commas, spaces, underscores, hexadecimal, NaN and infinities
// are a *[SyntaxError]; so is empty text (a caller decides what blank means).
func ParseDecimal(text string) (float64, error) {
	if x, n := scanDecimal(text); n > 0 && n == len(text) {
		return x, nil
	}
	if isDecimal(text) {
		x, err := strconv.ParseFloat(text, 64)
		if err == nil && !math.IsInf(x, 0) {
			return x, nil
		}
	}
	return Missing, &SyntaxError{Text: text, Want: "a number", Hint: decimalHint(text)}
}

// ScanDecimal reads plain decimal text, as [ParseDecimal] does, from the front
// of src and returns the number and how many bytes it took. It takes 0 bytes
// where src does not start with a number of at most 15 digits; what follows the
// number is the caller's to judge. It never allocates.
func ScanDecimal(src []byte) (x float64, n int) { return scanDecimal(src) }

// scanDecimal is the fast path: at most 15 digits make an exact integer, and an
// exact integer divided by an exact power of ten is correctly rounded.
func scanDecimal[T string | []byte](text T) (x float64, n int) {
	// The sign.
	i := 0
	if len(text) > 0 && text[0] == '-' {
		i = 1
	}
	sign := i
	// Digits on both sides of the point make one whole number.
	var mantissa uint64
	for ; i < len(text) && text[i]-'0' <= 9; i++ {
		mantissa = mantissa*10 + uint64(text[i]-'0')
	}
	digits, decimals := i-sign, 0
	if digits > 0 && i < len(text) && text[i] == '.' {
		point := i
		for i++; i < len(text) && text[i]-'0' <= 9; i++ {
			mantissa = mantissa*10 + uint64(text[i]-'0')
		}
		if decimals = i - point - 1; decimals == 0 {
			return 0, 0
		}
	}
	// More digits than a float holds exactly are left to the slow path.
	if digits == 0 || digits+decimals > maxExact {
		return 0, 0
	}
	x = float64(mantissa) / pow10[decimals]
	if sign == 1 && mantissa != 0 {
		x = -x
	}
	return x, i
}

func isDecimal(text string) bool {
	whole, fraction, pointed := strings.Cut(strings.TrimPrefix(text, "-"), ".")
	return AllDigits(whole) && (!pointed || AllDigits(fraction))
}

// AllDigits reports whether a text is one digit or more and nothing else.
func AllDigits(s string) bool {
	for i := 0; i < len(s); i++ {
		if s[i] < '0' || s[i] > '9' {
			return false
		}
	}
	return s != ""
}

// hasUnit reports whether a text is a number with a unit of letters, such as 214 g.
func hasUnit(text string) bool {
	number := strings.TrimRight(text, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ")
	return number != text && isDecimal(strings.Trim(number, " "))
}

func decimalHint(text string) string {
	lower := strings.ToLower(text)
	// The mistakes that are seen, the likeliest explanation first.
	switch {
	case text == "":
		return "write a number"
	case strings.HasPrefix(lower, "0x"), strings.HasPrefix(lower, "-0x"):
		return "write the number in decimal"
	case hasUnit(text):
		return "write the number alone, with no unit"
	case strings.ContainsAny(lower, "\x00\u00a0 \t"):
		return "remove the space or control character"
	case strings.Contains(text, ","):
		return "write a decimal point, not a comma, and no thousands separator"
	case strings.Contains(lower, "nan"), strings.Contains(lower, "inf"), lower == "na", lower == "n/a",
		lower == "null", lower == "-":
		return "leave the cell blank where nothing was measured"
	case strings.Contains(text, "_"):
		return "write the digits without underscores"
	case strings.HasPrefix(text, "+"):
		return "leave out the plus sign"
	case strings.HasPrefix(text, "."), strings.HasSuffix(text, "."), strings.HasPrefix(text, "-."):
		return "write a digit on both sides of the point"
	case strings.Contains(text, ":"):
		return "this column takes a number, not minutes and seconds"
	case isExponent(lower):
		return "write the number out, without an exponent"
	}
	return "write digits, with a point for decimals and no unit"
}

func isExponent(lower string) bool {
	mantissa, exponent, found := strings.Cut(lower, "e")
	return found && isDecimal(mantissa) && AllDigits(strings.TrimLeft(exponent, "+-"))
}

// AppendDecimal appends x with exactly the given number of decimals, rounding
// to nearest (the exact binary value decides; a true tie goes to even). A
// missing x appends nothing. Negative zero is written as zero.
func AppendDecimal(dst []byte, x float64, decimals int) []byte {
	if !Known(x) {
		return dst
	}
	if scaled, ok := scaleExactly(math.Abs(x), decimals); ok {
		if x < 0 && scaled > 0 {
			dst = append(dst, '-')
		}
		return appendScaled(dst, scaled, decimals)
	}
	start := len(dst)
	dst = strconv.AppendFloat(dst, x, 'f', decimals, 64)
	if dst[start] == '-' && strings.Trim(string(dst[start+1:]), "0.") == "" {
		dst = append(dst[:start], dst[start+1:]...)
	}
	return dst
}

// scaleExactly returns x times ten to the decimals, rounded to an integer, and
// whether that integer is surely the right one: the product is off by less than
// 1e-6, so it can only mislead within that distance of a half.
func scaleExactly(x float64, decimals int) (uint32, bool) {
	if decimals < 0 || decimals > 6 || x > 1e9 {
		return 0, false
	}
	scaled := float64(x * pow10[decimals])
	if scaled > 1e9 {
		return 0, false
	}
	whole := uint32(scaled)
	rest := scaled - float64(whole)
	if math.Abs(rest-0.5) < 1e-6 {
		return 0, false
	}
	if rest > 0.5 {
		whole++
	}
	return whole, true
}

// appendScaled appends n with a point before its last decimals.
func appendScaled(dst []byte, n uint32, decimals int) []byte {
	var digits [12]byte
	i := len(digits) - 1
	for range decimals {
		digits[i] = byte('0' + n%10)
		n /= 10
		i--
	}
	if decimals > 0 {
		digits[i] = '.'
		i--
	}
	for ; n > 9; i-- {
		digits[i] = byte('0' + n%10)
		n /= 10
	}
	digits[i] = byte('0' + n)
	return append(dst, digits[i:]...)
}

// FormatSigned is [FormatDecimal] with a sign before every number but what is printed
// as zero.
func FormatSigned(x float64, decimals int) string {
	text := FormatDecimal(x, decimals)
	if x > 0 && strings.Trim(text, "0.") != "" {
		return "+" + text
	}
	return text
}

// FormatDecimal is [AppendDecimal] as a string; "" when x is missing.
func FormatDecimal(x float64, decimals int) string { return string(AppendDecimal(nil, x, decimals)) }

// FormatExact writes a number with as many decimals as it takes to read the same number again; ""
// when x is missing.
func FormatExact(x float64) string {
	if !Known(x) {
		return ""
	}
	return strconv.FormatFloat(x, 'f', -1, 64)
}

// FormatShort is [FormatDecimal] without zeros at its end.
func FormatShort(x float64, decimals int) string {
	text := FormatDecimal(x, decimals)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	if text == "-0" {
		return "0"
	}
	return text
}

// FormatSignificant prints x with the given number of significant digits; ""
// when x is missing. Very small and very large numbers get an exponent.
func FormatSignificant(x float64, digits int) string {
	if !Known(x) {
		return ""
	}
	return strconv.FormatFloat(x, 'g', digits, 64)
}

// Round returns x as it reads after printing with the given decimals, so that
// thresholds and printed numbers can never disagree. Missing stays missing.
func Round(x float64, decimals int) float64 {
	if !Known(x) {
		return x
	}
	r, err := strconv.ParseFloat(FormatDecimal(x, decimals), 64)
	if err != nil {
		return x // only an infinity, which prints as text, gets here
	}
	return r
}
