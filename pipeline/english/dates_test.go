package english

import "testing"

func TestDates(t *testing.T) {
	for _, c := range []struct{ first, last, want string }{
		{"2026-03-07", "2026-04-25", "7 March to 25 April 2026"},
		{"2026-03-07", "2026-03-19", "7 to 19 March 2026"},
		{"2025-12-28", "2026-01-03", "28 December 2025 to 3 January 2026"},
		{"2026-03-07", "2026-03-07", "7 March 2026"},
		{"2026-13-07", "2026-13-07", "2026-13-07"},
		{"soon", "later", "soon to later"},
	} {
		if got := Dates(c.first, c.last); got != c.want {
			t.Errorf("Dates(%q, %q) = %q, want %q", c.first, c.last, got, c.want)
		}
	}
}
