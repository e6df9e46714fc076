package site

import "time"

// longDate writes a date as people do, "7 March 2026"; what is no date stays as it is.
func longDate(iso string) string {
	t, err := time.Parse(time.DateOnly, iso)
	if err != nil {
		return iso
	}
	return t.Format("2 January 2006")
}

// shortDate leaves the year out: "7 March".
func shortDate(iso string) string {
	t, err := time.Parse(time.DateOnly, iso)
	if err != nil {
		return iso
	}
	return t.Format("2 January")
}

// dateSpan writes from when to when, each part once.
func dateSpan(first, last string) string {
	switch {
	case first == last:
		return longDate(first)
	case len(first) >= 4 && len(last) >= 4 && first[:4] == last[:4]:
		return shortDate(first) + " to " + longDate(last)
	}
	return longDate(first) + " to " + longDate(last)
}
