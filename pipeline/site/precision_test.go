package site

import (
	"regexp"
	"strings"
	"testing"

	"soletrial/pipeline/steady"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Every mean of a recorded channel carries its measurement error, and the table
// says how many independent samples the deciding one is worth.
func TestBlockMeansCarryTheirError(t *testing.T) {
	in := newFixture().input()
	page := publish(t, in)["sessions/s1.html"]
	rows, cut := rowsOf(t, page, "The blocks: means over the steady window"), rowsOf(t, page,
		"The blocks: time, window and samples")
	if len(rows) != 6 || len(cut) != 6 {
		t.Fatalf("%d rows", len(rows))
	}
	independent := regexp.MustCompile(`^[0-9]+ of 345$`) // 420 s without 60 and 15
	speed := regexp.MustCompile(`^3\.[0-9]{3} ± 0\.00[0-9]+$`)
	for i, row := range rows {
		text := strings.Join(append(row, cut[i]...), " | ")
		if !independent.MatchString(cut[i][7]) || cut[i][4] != "345" || !speed.MatchString(row[3]) ||
			!strings.Contains(text, "± 0.") || strings.Count(text, "±") != 4 {
			t.Errorf("row %s", text)
		}
	}
	for _, need := range []string{"Independent samples of speed", "effort: power, W", "one standard error",
		`href="../method.html#window"`} {
		if !strings.Contains(page, need) {
			t.Errorf("the page lacks %q", need)
		}
	}
	in.Recordings = nil
	if page = publish(t, in)["sessions/s1.html"]; strings.Contains(page, "±") || strings.Contains(page, "Independent") {
		t.Error("an error without samples")
	}
}

func TestErrorOf(t *testing.T) {
	b := block{}
	b.Outcomes[trial.Speed], b.Outcomes[trial.PacePerKm] = 4, 250
	precisions := precision{}
	for o := range precisions {
		precisions[o] = steady.Precision{Independent: units.Missing, Error: units.Missing}
	}
	precisions[trial.Speed].Error, precisions[trial.MeanPower].Error, precisions[trial.Heart].Error = 0.008, 0.04, 0
	for o, want := range map[trial.Outcome]string{
		trial.Speed: " ± 0.008", trial.PacePerKm: " ± 0.5 s", trial.MeanPower: " ± 0.04", trial.Heart: " ± 0.0",
		trial.Cadence: "",
	} {
		if got := strings.ReplaceAll(errorOf(o, &b, &precisions), "\u00a0", " "); got != want {
			t.Errorf("%s: %q, want %q", o.Info().ID, got, want)
		}
	}
}
