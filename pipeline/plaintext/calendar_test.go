package plaintext

import (
	"testing"
	"time"

	"pgregory.net/rapid"
)

// The standard library's calendar is the oracle.
func TestDates(t *testing.T) {
	checkDate := func(text string) {
		t.Helper()
		_, err := time.Parse(time.DateOnly, text)
		if got := isDate(text); got != (err == nil) {
			t.Errorf("isDate(%q) = %v, time.Parse says %v", text, got, err)
		}
	}
	day := time.Date(1999, 12, 1, 0, 0, 0, 0, time.UTC)
	for range 3000 {
		checkDate(day.Format(time.DateOnly))
		day = day.AddDate(0, 0, 1)
	}
	for _, text := range []string{"", "2026-5-02", "2026-02-29", "2024-02-29", "1900-02-29", "2000-02-29", "2026-04-31",
		"2026-13-01", "2026-00-10", "2026-01-00", "26-01-01", "2026/01/01", "2026-01-01 ", "+026-01-01"} {
		checkDate(text)
	}
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`[0-9]{4}-[0-3][0-9]-[0-4][0-9]`).Draw(t, "text")
		if _, err := time.Parse(time.DateOnly, text); isDate(text) != (err == nil) {
			t.Fatalf("isDate(%q) = %v, time.Parse says %v", text, isDate(text), err)
		}
	})
}

func TestClocks(t *testing.T) {
	for text, want := range map[string]bool{
		"09:30": true, "00:00": true, "23:59:59": true, "09:30Z": true, "09:30+02:00": true, "09:30:15-03:30": true,
		"9:30": false, "24:00": false, "09:60": false, "09:30:60": false, "09": false, "": false, "09:30+2": false,
		"09:30+25:00":  false,
		"09:30+02:00Z": false, "09:30 ": false, "09:30:": false, "09:30:15:00": false, "09:30.5": false, "Z": false,
		"+02:00": false,
	} {
		if got := isClock(text); got != want {
			t.Errorf("isClock(%q) = %v, want %v", text, got, want)
		}
	}
}
