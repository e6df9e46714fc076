package recording

import (
	"math"
	"strconv"
	"strings"

	"soletrial/pipeline/units"
)

// utf8BOM is the mark that some programs put before UTF-8 text.
const utf8BOM = "\ufeff"

// missingWord reports whether a cell says that there is no value.
func missingWord(text string) bool {
	switch strings.ToLower(strings.TrimSpace(text)) {
	case "", "na", "n/a", "#n/a", "nan", "null", "nil", "none", "-", "--":
		return true
	}
	return false
}

// foreignNumber reads a number as other programs write it: with an exponent, a
// plus sign or a bare decimal point, and with a decimal comma where that is
// asked for. Unlike units.ParseDecimal it is for files that nobody can be asked
// to correct. Missing and false for anything else, infinities included.
func foreignNumber(text string, decimalComma bool) (float64, bool) {
	text = strings.TrimSpace(text)
	if decimalComma && !strings.Contains(text, ".") {
		text = strings.Replace(text, ",", ".", 1)
	}
	if strings.Trim(text, "0123456789.eE+-") != "" {
		return units.Missing, false // no hexadecimal, underscore, NaN or Inf
	}
	x, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsInf(x, 0) {
		return units.Missing, false
	}
	return x, true
}
