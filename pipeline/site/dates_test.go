package site

import "testing"

// A start keeps its zone, and its seconds where they say something.
func TestClockOfDay(t *testing.T) {
	for start, want := range map[string]string{
		"": "", "09:10": "09:10", "09:10:00": "09:10", "09:10:30": "09:10:30", "09:10:00+01:00": "09:10 (UTC+01:00)",
		"18:00:00Z": "18:00 (UTC)", "06:00-05:00": "06:00 (UTC-05:00)",
	} {
		if got := clockOfDay(start); got != want {
			t.Errorf("%q is written as %q, want %q", start, got, want)
		}
	}
}
