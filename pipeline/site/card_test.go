package site

import (
	"strings"
	"testing"
)

// Where no large time names the race, the line below the shoes says over what the minutes are.
func TestMinutesSayTheirRace(t *testing.T) {
	for sessions, open := range map[int]bool{1: true, 6: false} {
		f := newFixture()
		f.ds.Sessions = f.ds.Sessions[:sessions]
		home := strings.ReplaceAll(publish(t, f.input())["index.html"], "\u00a0", " ")
		if strings.Contains(home, "No clear winner yet.") != open {
			t.Fatalf("%d sessions: another answer than the one wanted", sessions)
		}
		if strings.Contains(home, "Minutes are over a marathon.") != open ||
			strings.Contains(home, `<p class="worth">`) == open {
			t.Errorf("%d sessions: the card does not say once over what race its minutes are", sessions)
		}
	}
}
