package site

import (
	"strings"

	"soletrial/pipeline/english"
)

// shortDate writes a date as people do, without the year: "7 March".
func shortDate(iso string) string {
	date := english.Date(iso)
	if at := strings.LastIndexByte(date, ' '); at > 0 {
		return date[:at]
	}
	return date
}

// clockOfDay writes a start as people do: "09:10 (UTC+01:00)" for "09:10:00+01:00".
func clockOfDay(start string) string {
	at, zone := start, ""
	if i := strings.IndexAny(start, "Z+-"); i > 0 {
		at, zone = start[:i], " (UTC"+strings.TrimPrefix(start[i:], "Z")+")"
	}
	if len(at) == len("09:10:00") {
		at = strings.TrimSuffix(at, ":00")
	}
	return at + zone
}
