package plan

import "testing"

// Text fits its column to the letter: what is longer ends in a mark, what is shorter is filled up.
func TestTruncate(t *testing.T) {
	for _, c := range []struct {
		text  string
		width int
		want  string
	}{{"Quenby", 6, "Quenby"}, {"Quenby", 8, "Quenby  "}, {"Quenby Läufer", 8, "Quenby …"}, {"", 2, "  "},
		{"Ännä", 3, "Än…"}} {
		if got := truncate(c.text, c.width); got != c.want {
			t.Errorf("%q in %d: %q, want %q", c.text, c.width, got, c.want)
		}
	}
}
