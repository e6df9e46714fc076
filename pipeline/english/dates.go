package english

import "strings"

var monthNames = [...]string{"January", "February", "March", "April", "May", "June", "July", "August", "September",
	"October", "November", "December"}

// Date writes a day, YYYY-MM-DD, for people: "7 March 2026". Other text stays as it is.
func Date(iso string) string {
	day, month, year, ok := dateParts(iso)
	if !ok {
		return iso
	}
	return day + " " + month + " " + year
}

// Dates writes a span of days, YYYY-MM-DD, for people: "7 March to 25 April 2026",
// "7 to 9 March 2026". One day is written as by [Date].
func Dates(first, last string) string {
	day, month, year, ok := dateParts(first)
	_, lastMonth, lastYear, lastOK := dateParts(last)
	switch {
	case first == last:
		return Date(first)
	case ok && lastOK && year == lastYear && month == lastMonth:
		return day + " to " + Date(last)
	case ok && lastOK && year == lastYear:
		return day + " " + month + " to " + Date(last)
	}
	return Date(first) + " to " + Date(last)
}

func dateParts(iso string) (day, month, year string, ok bool) {
	if len(iso) != len("2006-01-02") || iso[4] != '-' || iso[7] != '-' {
		return "", "", "", false
	}
	number := 0
	for _, digit := range iso[5:7] {
		number = 10*number + int(digit-'0')
	}
	if number < 1 || number > len(monthNames) {
		return "", "", "", false
	}
	return strings.TrimLeft(iso[8:], "0"), monthNames[number-1], iso[:4], true
}
