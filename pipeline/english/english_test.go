package english

import "testing"

func TestListPutsTheConjunctionBeforeTheLastWord(t *testing.T) {
	for want, words := range map[string][]string{"": nil, "a": {"a"}, "a or b": {"a", "b"},
		"a, b or c": {"a", "b", "c"}} {
		if got := List(words, "or"); got != want {
			t.Errorf("List(%q) = %q, want %q", words, got, want)
		}
	}
}

func TestCapitalise(t *testing.T) {
	for phrase, want := range map[string]string{"": "", "heart rate": "Heart rate", "3 blocks": "3 blocks"} {
		if got := Capitalise(phrase); got != want {
			t.Errorf("Capitalise(%q) = %q, want %q", phrase, got, want)
		}
	}
}
