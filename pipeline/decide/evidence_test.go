package decide

import (
	"math"
	"slices"
	"testing"

	"soletrial/pipeline/trial"
)

func TestGrades(t *testing.T) {
	solid := Testing{Sessions: 4, Blocks: [2]int{12, 16}, Repeated: true, Planned: 0.75, Ground: true, Robust: 0.9,
		Difference: Difference{Low: -0.003, High: 0.006}, Worthwhile: 0.0075,
		AtPower: true, Heart: HeartCheck{Passed: true}}
	for _, c := range []struct {
		name   string
		change func(t *Testing)
		want   Evidence
		lacks  []Need
	}{
		{"everything", func(*Testing) {}, Solid, nil},
		{"one session without repeats", func(t *Testing) { t.Sessions, t.Repeated = 1, false }, NoEvidence,
			[]Need{NeedRepeat}},
		{"two sessions without repeats",
			func(t *Testing) { t.Sessions, t.Repeated, t.Blocks = 2, false, [2]int{2, 2} },
			Thin, []Need{NeedBlocks}},
		{"one session", func(t *Testing) { t.Sessions = 1 }, Thin, []Need{NeedSessions}},
		{"three blocks of a shoe", func(t *Testing) { t.Blocks = [2]int{12, 3} }, Thin, []Need{NeedBlocks}},
		{"order tied to time in half", func(t *Testing) { t.OrderTied = 2 }, Thin, []Need{NeedOrders}},
		{"order tied to time in one of four", func(t *Testing) { t.OrderTied = 1 }, Solid, nil},
		{"heart rate not passed", func(t *Testing) { t.Heart.Passed = false }, Thin, []Need{NeedHeart}},
		{"heart rate not passed, but pace agrees", func(t *Testing) { t.Heart.Passed, t.Agrees = false, true }, Solid,
			nil},
		{"heart rate does not matter at the same pace", func(t *Testing) { t.Heart.Passed, t.AtPower = false, false },
			Solid, nil},
		{"three sessions", func(t *Testing) { t.Sessions = 3 }, Fair, []Need{NeedSessions}},
		{"eleven blocks", func(t *Testing) { t.Blocks[0] = 11 }, Fair, []Need{NeedBlocks}},
		{"plans not followed", func(t *Testing) { t.Planned = 0.7 }, Fair, []Need{NeedPlans}},
		{"no ground", func(t *Testing) { t.Ground = false }, Fair, []Need{NeedGround}},
		{"not robust", func(t *Testing) { t.Robust = 0.89 }, Fair, []Need{NeedRobust}},
		{"robustness unknown", func(t *Testing) { t.Robust = math.NaN() }, Fair, []Need{NeedRobust}},
		{"wide interval", func(t *Testing) { t.Difference.High = 0.02 }, Fair, []Need{NeedPrecision}},
		{"wide but clear", func(t *Testing) { t.Difference = Difference{Low: 0.008, High: 0.04} }, Solid, nil},
	} {
		testing := solid
		c.change(&testing)
		grade, lacks := Grade(testing)
		var needs []Need
		for _, l := range lacks {
			needs = append(needs, l.Need)
		}
		if grade != c.want || !slices.Equal(needs, c.lacks) {
			t.Errorf("%s: %s, lacks %v, want %s and %v", c.name, grade, lacks, c.want, c.lacks)
		}
	}
}

func TestHeadlineChoice(t *testing.T) {
	power := EffortAnswer{trial.Power, 3, Fastest, []string{"A"}}
	pace := EffortAnswer{trial.Pace, 3, Open, []string{"A", "B"}}
	heart := EffortAnswer{trial.HeartRate, 5, Fastest, []string{"B"}}
	for _, c := range []struct {
		name     string
		answers  []EffortAnswer
		chosen   trial.Effort
		want     int
		disagree []int
	}{
		{"none", nil, "", -1, nil},
		{"most sessions", []EffortAnswer{power, heart}, "", 1, []int{0}},
		{"tie: power before pace", []EffortAnswer{pace, power}, "", 1, nil},
		{"chosen", []EffortAnswer{power, pace, heart}, trial.Pace, 1, nil},
		{"chosen, not there", []EffortAnswer{power, pace}, trial.HeartRate, 0, nil},
	} {
		headline, disagree := Headline(c.answers, c.chosen)
		if headline != c.want || !slices.Equal(disagree, c.disagree) {
			t.Errorf("%s: %d, disagree %v", c.name, headline, disagree)
		}
	}
}
