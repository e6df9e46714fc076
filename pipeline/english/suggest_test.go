package english

import (
	"strconv"
	"testing"

	"pgregory.net/rapid"
)

func TestSuggest(t *testing.T) {
	names := []string{"mass_g", "mass_kg", "label", "id", "start_s"}
	for given, want := range map[string]string{
		"mas_g": "mass_g", "MASS_KG": "mass_kg", "lable": "label", "strat_s": "start_s", "start": "start_s",
		"Start": "start_s", "mass": "mass_g",
		"di": "", "x": "", "": "", "weight": "", "starts": "start_s",
	} {
		if want != "" {
			want = "did you mean " + strconv.Quote(want) + "?"
		}
		if got := Suggest(given, names); got != want {
			t.Errorf("Suggest(%q) = %q, want %q", given, got, want)
		}
	}
}

// The textbook distances, and the swap that sets this measure apart: common
// practice, no source.
func TestEditDistance(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{{"kitten", "sitting", 3}, {"", "abc", 3}, {"abc", "abc", 0}, {"ab", "ba", 1}, {"flaw", "lawn", 2}, {"abcd",
		"acbd", 1}} {
		if got := editDistance(c.a, c.b); got != c.want {
			t.Errorf("editDistance(%q, %q) = %d, want %d", c.a, c.b, got, c.want)
		}
	}
}

func TestEditDistanceIsADistance(t *testing.T) {
	word := rapid.StringMatching(`[abc]{0,8}`)
	rapid.Check(t, func(t *rapid.T) {
		a, b := word.Draw(t, "a"), word.Draw(t, "b")
		d := editDistance(a, b)
		if d != editDistance(b, a) || (d == 0) != (a == b) || d > max(len(a), len(b)) || d < max(len(a), len(b))-
			min(len(a), len(b)) {
			t.Fatalf("editDistance(%q, %q) = %d", a, b, d)
		}
	})
}
