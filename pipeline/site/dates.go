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
