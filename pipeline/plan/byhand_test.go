package plan

import (
	"math"
	"slices"
	"testing"

	"soletrial/pipeline/decide"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

func alike(got, want float64) bool { return math.Abs(got-want) <= 1e-12 }

// A session without chance: every number that is drawn is its standard deviation. The leader A
// is at 0 and B behind by 0.02; each has the day's 0.003, the sensor's error and the block's
// 0.005, and the drift goes by the hours since the first block.
func TestSimulatedSessionByHand(t *testing.T) {
	o := outlook(t, "AB", "AB", "BA")
	state := truth{leader: "A", behind: map[string]float64{"A": 0, "B": 0.02}, sigma: 0.005, tau: 0.003}
	sd := func(sd float64) float64 { return sd }
	sensor := map[string]float64{"A": 0.001, "B": -0.002}
	for _, c := range []struct {
		n       int
		smaller bool
		shoes   string
		want    []float64
	}{
		{1, false, "AB", []float64{0.003 + 0.001 + 0.005, -0.02 + 0.003 - 0.002 - 0.1*0.15 + 0.005}},
		{2, false, "BA", []float64{-0.02 + 0.003 - 0.002 + 0.005, 0.003 + 0.001 - 0.1*0.15 + 0.005}},
		{3, true, "AB", []float64{0.003 + 0.001 + 0.005, 0.02 + 0.003 - 0.002 - 0.1*0.15 + 0.005}},
	} {
		o.Settings.SmallerIsBetter = c.smaller
		for i, b := range o.session(state, c.n, -0.1, sensor, sd) {
			if b.Shoe != c.shoes[i:i+1] || b.Session != " to come "+string(rune('0'+c.n)) || b.Runner != "" ||
				!alike(b.TimeH, 0.15*float64(i)) || !alike(b.Y, c.want[i]) {
				t.Errorf("session %d, block %d: %+v, want shoe %c and %v", c.n, i+1, b, c.shoes[i], c.want[i])
			}
		}
	}
	o.Blocks = []decide.Block{{Runner: "r"}}
	if b := o.session(state, 1, 0, sensor, sd); b[0].Runner != "r" {
		t.Errorf("the runner to come is %q", b[0].Runner)
	}
}

// Before anything was run the spreads are the prior's: a half-normal distribution has the mean
// SD √(2/π). Other shoes are moved at least so far behind the leader.
func TestTruthBeforeAnythingWasRun(t *testing.T) {
	o := outlook(t, "AB", "AB")
	got, err := o.truth()
	if err != nil || got.leader != "A" || got.sigma != o.Settings.Prior.BlockSD ||
		!alike(got.tau, 0.7978845608028654*o.Settings.Prior.DaySD) || got.gamma.SD != o.Settings.Prior.DriftSD ||
		got.gamma.Mean != 0 {
		t.Errorf("%+v, %v", got, err)
	}
	moved := truth{leader: "B", behind: map[string]float64{"A": 0.03, "B": 0, "C": 0.01, "D": -0.01}}.atLeast(0.02)
	for shoe, want := range map[string]float64{"A": 0.03, "B": 0, "C": 0.02, "D": 0.02} {
		if moved.behind[shoe] != want {
			t.Errorf("%s is %v behind, want %v", shoe, moved.behind[shoe], want)
		}
	}
}

// Of 200 trials after 1, 2, 3, 4 and 6 sessions: counted, and never falling with more sessions.
func TestTallyByHand(t *testing.T) {
	fastest, same := []int{20, 60, 50, 50, 200}, []int{0, 20, 10, 30, 0}
	statuses := make([][]decide.Status, Simulations)
	for i := range statuses {
		for k := range SessionsAhead {
			switch {
			case i < fastest[k]:
				statuses[i] = append(statuses[i], decide.Fastest)
			case i < fastest[k]+same[k]:
				statuses[i] = append(statuses[i], decide.Same)
			default:
				statuses[i] = append(statuses[i], decide.Open)
			}
		}
	}
	for k, want := range []Chance{{2, 1, 0.1, 0, math.Sqrt(0.1 * 0.9 / 200), false},
		{2, 2, 0.3, 0.1, math.Sqrt(0.4 * 0.6 / 200), false}, {2, 3, 0.3, 0.1, math.Sqrt(0.4 * 0.6 / 200), true},
		{2, 4, 0.25, 0.15, math.Sqrt(0.4 * 0.6 / 200), false}, {2, 6, 1, 0, 0, false}} {
		got := tally(2, statuses)[k]
		if got.Sessions != want.Sessions || got.Levelled != want.Levelled || !alike(got.Fastest, want.Fastest) ||
			!alike(got.Same, want.Same) || !alike(got.Error, want.Error) || got.DifferencePct != 2 {
			t.Errorf("%+v, want %+v", got, want)
		}
	}
}

// The least error of any two shoes decides: 1.6448536 times the root of the sum of the squares against
// 0.75 %, 0.0074720 as a logarithm.
func TestOutOfReachAtItsLimit(t *testing.T) {
	o := outlook(t, "ABC", "ABC")
	limit := 0.00747201 / 1.64485363 // of a pair
	for _, c := range []struct {
		a, b, c float64
		want    bool
	}{{0, limit * 1.001, 1, true}, {0, limit * 0.999, 1, false}, {1, limit * 0.6 * 1.001, limit * 0.8 * 1.001, true},
		{1, limit * 0.6 * 0.999, limit * 0.8 * 0.999, false}, {1, 1, 1, true}} {
		o.SensorSD = map[string]float64{"A": c.a, "B": c.b, "C": c.c}
		if got := o.SameOutOfReach(); got != c.want {
			t.Errorf("%v: %v", o.SensorSD, got)
		}
	}
}

// A block more fits from the second on at which it ends in time; without a length none does.
func TestBlocksThatFitAtTheirLimits(t *testing.T) {
	for _, c := range []struct {
		seconds, warmUp, block, rest float64
		want                         int
	}{{900 + 360, 900, 360, 180, 1}, {900 + 359, 900, 360, 180, 0}, {900 + 900, 900, 360, 180, 2}, {720, 0, 360, 0, 2},
		{900, 900, 360, 180, 0}, {300, 0, 60, 120, 2}, {719, 900, 360, 180, 0}, {600, 0, 0, 0, 0}, {1, 0, 1, 0, 1}} {
		if got := BlocksThatFit(c.seconds, c.warmUp, c.block, c.rest); got != c.want {
			t.Errorf("%+v: %d", c, got)
		}
	}
}

// An aim of nothing is none.
func TestAimThatIsNotDecided(t *testing.T) {
	for _, c := range []struct {
		width, sessions         float64
		knowsWidth, knowsNumber bool
	}{{0, 0, false, false}, {1, 0, true, false}, {0, 1, false, true}, {0.5, 4, true, true},
		{units.Missing, units.Missing, false, false}, {-1, -1, false, false}} {
		got := decidedAim(trial.PlanAim{WidthPct: c.width, Sessions: c.sessions})
		if units.Known(got.WidthPct) != c.knowsWidth || units.Known(got.Sessions) != c.knowsNumber {
			t.Errorf("%v %%, %v sessions: %+v", c.width, c.sessions, got)
		}
	}
}

// Sessions count in their order with at least two of the shoes, whatever else was run in them.
func TestPreviousOrders(t *testing.T) {
	session := func(id, runner, shoes string) trial.Session {
		s := trial.Session{ID: id, Facts: trial.SessionFacts{Effort: "power", Runner: runner}}
		for _, shoe := range shoes {
			s.Blocks = append(s.Blocks, trial.Block{Shoe: string(shoe)})
		}
		return s
	}
	ds := &trial.Dataset{Sessions: []trial.Session{session("1", "r", "ab"), session("2", "r", "aa"),
		session("3", "q", "ba"), session("4", "r", "axb"), session("5", "r", "ax"), session("6", "r", "bac")}}
	for _, c := range []struct {
		without, runner, shoes string
		want                   []string
	}{{"1", "r", "ab", []string{"axb", "bac"}}, {"", "", "ab", []string{"ab", "ba", "axb", "bac"}},
		{"", "q", "ab", []string{"ba"}}, {"", "r", "bc", []string{"bac"}}, {"", "r", "cd", nil}} {
		var shoes, got []string
		for _, shoe := range c.shoes {
			shoes = append(shoes, string(shoe))
		}
		for _, order := range previousOrders(ds, c.without, c.runner, trial.Power, shoes) {
			text := ""
			for _, shoe := range order {
				text += shoe
			}
			got = append(got, text)
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("without %q, runner %q, shoes %s: %v, want %v", c.without, c.runner, c.shoes, got, c.want)
		}
	}
}

// A fastest shoe that is not the leader counts as open.
func TestStatusOfTheLeader(t *testing.T) {
	o := outlook(t, "AB", "AB")
	var blocks []decide.Block
	for session := range 8 {
		for i, shoe := range []string{"A", "B", "B", "A"} {
			blocks = append(blocks, decide.Block{Session: string(rune('1' + session)), Shoe: shoe,
				TimeH: 0.15 * float64(i),
				Y:     1.4 + 0.04*float64(shoe[0]-'A') + 0.001*float64((session+i)%3-1)})
		}
	}
	for leader, want := range map[string]decide.Status{"A": decide.Open, "B": decide.Fastest} {
		if got, err := o.status(blocks, leader); err != nil || got != want {
			t.Errorf("leader %s: %s, %v, want %s", leader, got, err, want)
		}
	}
	for i := range blocks {
		blocks[i].Y = 1.4 + 0.0001*float64(i%5-2)
	}
	for _, leader := range []string{"A", "B"} {
		if got, err := o.status(blocks, leader); err != nil || got != decide.Same {
			t.Errorf("leader %s of equal shoes: %s, %v", leader, got, err)
		}
	}
}

// The leader is the best shoe by the data, whichever comes first, and the others are as far behind
// as the data say.
func TestTruthFromTheData(t *testing.T) {
	for leader, other := range map[string]string{"A": "B", "B": "A"} {
		o := outlook(t, "AB", "AB")
		for session := range 8 {
			for i, shoe := range []string{"A", "B", "B", "A"} {
				b := decide.Block{Session: string(rune('1' + session)), Shoe: shoe, TimeH: 0.15 * float64(i),
					Y: 1.4 + 0.001*float64((session+i)%3-1)}
				if shoe == leader {
					b.Y += 0.04
				}
				o.Blocks = append(o.Blocks, b)
			}
		}
		got, err := o.truth()
		if err != nil || got.leader != leader || got.behind[leader] != 0 || math.Abs(got.behind[other]-0.04) > 0.002 {
			t.Errorf("%+v, %v, want leader %s and the other 0.04 behind", got, err, leader)
		}
	}
}
