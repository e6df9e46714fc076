package plaintext

import (
	"strings"

	"soletrial/pipeline/units"
)

// isDate reports whether text is a day of the Gregorian calendar, YYYY-MM-DD.
func isDate(text string) bool {
	if len(text) != 10 || text[4] != '-' || text[7] != '-' {
		return false
	}
	year, okYear := twoDigits(text[:2])
	inCentury, okIn := twoDigits(text[2:4])
	month, okMonth := twoDigits(text[5:7])
	day, okDay := twoDigits(text[8:])
	if !okYear || !okIn || !okMonth || !okDay || month < 1 || month > 12 {
		return false
	}
	return day >= 1 && day <= daysIn(month, year*100+inCentury)
}

func daysIn(month, year int) int {
	if leap := year%4 == 0 && (year%100 != 0 || year%400 == 0); month == 2 && leap {
		return 29
	}
	return [...]int{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}[month-1]
}

// isClock reports whether text is a time of day, HH:MM or HH:MM:SS, with an
// offset such as +02:00 or a Z if it likes.
func isClock(text string) bool {
	clock := strings.TrimSuffix(text, "Z")
	if at := strings.IndexAny(clock, "+-"); at >= 0 {
		hours, minutes, found := strings.Cut(clock[at+1:], ":")
		if len(clock) < len(text) || !found || !below(hours, 24) || !below(minutes, 60) {
			return false
		}
		clock = clock[:at]
	}
	parts := strings.Split(clock, ":")
	if len(parts) < 2 || len(parts) > 3 || !below(parts[0], 24) {
		return false
	}
	return below(parts[1], 60) && below(parts[len(parts)-1], 60)
}

// below reports whether text is two digits that make less than the limit.
func below(text string, limit int) bool {
	n, ok := twoDigits(text)
	return ok && n < limit
}

func twoDigits(text string) (n int, ok bool) {
	if len(text) != 2 || !units.AllDigits(text) {
		return 0, false
	}
	return int(text[0]-'0')*10 + int(text[1]-'0'), true
}
