package decide

import (
	"math"
	"testing"

	"soletrial/pipeline/trial"
)

// ground returns blocks of one sensor with the given ratios for the shoes of each session's order.
func groundBlocks(orders []string, ratio map[rune]float64) []GroundBlock {
	var blocks []GroundBlock
	for i, order := range orders {
		for place, shoe := range order {
			noise := 0.001 * float64((place+i)%3-1)
			blocks = append(blocks, GroundBlock{Session: string(rune('a' + i)), Shoe: string(shoe), Sensor: "foot",
				LogRatio: 0.01*float64(i) + ratio[shoe] + noise, GroundM: 1200})
		}
	}
	return blocks
}

// Two shoes by hand: the mean difference over A B B A, and a residual variance with three
// prior degrees of freedom at 0.3 %.
func TestGroundOfTwoShoes(t *testing.T) {
	at := func(shoe string, ratio float64) GroundBlock {
		return GroundBlock{Session: "s", Shoe: shoe, Sensor: "foot", LogRatio: ratio, GroundM: 1000}
	}
	g, err := FitGround([]GroundBlock{at("A", 0.001), at("B", -0.014), at("B", -0.016), at("A", 0.003)}, 0.003)
	if err != nil {
		t.Fatal(err)
	}
	a, b := SensorShoe{"foot", "A"}, SensorShoe{"foot", "B"}
	within(t, "correction of A", g.Correction[a], 0.0085, 1e-12) // means 0.002 and -0.015
	within(t, "correction of B", g.Correction[b], -0.0085, 1e-12)
	// RSS = 4e-6 with 2 degrees of freedom; variance of a mean of two.
	variance := (3*0.003*0.003 + 4e-6) / 5
	within(t, "SD of A", g.SD[a], math.Sqrt(variance/2), 1e-9)
	within(t, "SD of B", g.SD[b], math.Sqrt(variance/2), 1e-9)
}

func TestGroundNeverBelowReading(t *testing.T) {
	b := groundBlocks(many(40, "ABBA"), nil)
	for i := range b {
		b[i].GroundM, b[i].LogRatio = 200, 0
	}
	g, err := FitGround(b, 0.003)
	if err != nil {
		t.Fatal(err)
	}
	// 1 m of 200 m is 0.5 % in each of 80 blocks.
	within(t, "SD", g.SD[SensorShoe{"foot", "A"}], 0.005/math.Sqrt(80), 1e-9)
}

func TestGroundOfThreeShoesAndAStranger(t *testing.T) {
	b := groundBlocks([]string{"ABCCBA", "CBAABC"}, map[rune]float64{'A': 0.006, 'B': -0.003, 'C': -0.003})
	b = append(b, GroundBlock{Session: "z", Shoe: "D", Sensor: "foot", LogRatio: 0.5, GroundM: 1200})
	g, err := FitGround(b, 0.003)
	if err != nil {
		t.Fatal(err)
	}
	within(t, "correction of A", g.Correction[SensorShoe{"foot", "A"}], 0.006, 6e-4)
	if _, known := g.SD[SensorShoe{"foot", "D"}]; known {
		t.Error("D was run alone: nothing says how its sensor compares")
	}
	// Balanced: the variance of a difference is the sum of two equal ones.
	sd := g.SD[SensorShoe{"foot", "A"}]
	within(t, "SD of C", g.SD[SensorShoe{"foot", "C"}], sd, 1e-9)
	if !(sd > 0.0005 && sd < 0.0015) {
		t.Errorf("SD %g of four blocks at about 0.2 %%", sd)
	}
	if _, err := FitGround([]GroundBlock{{LogRatio: math.NaN(), GroundM: 1}}, 0.003); err == nil {
		t.Error("a ratio that is no number passed")
	}
}

// decision.md, "The sensor": s² and what the held effort adds.
func TestErrorsByShoe(t *testing.T) {
	ground := Ground{Correction: map[SensorShoe]float64{{"foot", "A"}: 0.004, {"foot", "B"}: -0.004},
		SD: map[SensorShoe]float64{{"foot", "A"}: 0.001, {"foot", "B"}: 0.0012}}
	blocks := []SensedBlock{{Block{Shoe: "A"}, "foot"}, {Block{Shoe: "B"}, "foot"}, {Block{Shoe: "C"}, "foot"}}
	shoes := []string{"A", "B", "C"}
	root := func(v ...float64) float64 {
		sum := 0.0
		for _, x := range v {
			sum += x * x
		}
		return math.Sqrt(sum)
	}
	for _, c := range []struct {
		name   string
		s      Sensing
		shared Shared
		want   []float64
	}{
		{"speed without ground", Sensing{Held: trial.HeartRate, Compared: trial.Speed}, 0,
			[]float64{0.003, 0.003, 0.003}},
		{"speed with ground", Sensing{Held: trial.HeartRate, Compared: trial.Speed, Ground: ground}, 0,
			[]float64{0.001, 0.0012, 0.003}},
		{"speed on the ground", Sensing{Held: trial.HeartRate, Compared: trial.Speed, SpeedOnGround: true}, 0,
			[]float64{0, 0, 0}},
		{"power of another device", Sensing{Held: trial.Power, Compared: trial.Speed}, 0, []float64{0.003, 0.003,
			0.003}},
		{"power on the shoe",
			Sensing{Held: trial.Power, Compared: trial.Speed, PowerOnShoe: true, ExponentMean: 0.9},
			0, []float64{root(0.003, 0.0027), root(0.003, 0.0027), root(0.003, 0.0027)}},
		{"power that may share the error",
			Sensing{Held: trial.Power, Compared: trial.Speed, PowerOnShoe: true, SameDevice: true, ExponentMean: 0.9,
				Ground: ground},
			SharedUnknown, []float64{root(0.001, 0.0027, 0.0036), root(0.0012, 0.0027, 0.0036), root(0.003, 0.0027)}},
		{"power that does not",
			Sensing{Held: trial.Power, Compared: trial.Speed, PowerOnShoe: true, SameDevice: true, ExponentMean: 0.9,
				Ground: ground},
			SharedNot, []float64{root(0.001, 0.0027), root(0.0012, 0.0027), root(0.003, 0.0027)}},
		{"heart rate at the same power", Sensing{Held: trial.Power, Compared: trial.Heart}, 0, []float64{0, 0, 0}},
		{"heart rate at a pace by the sensor", Sensing{Held: trial.Pace, Compared: trial.Heart, ExponentMean: 0.7}, 0,
			[]float64{0.0021, 0.0021, 0.0021}},
		{
			"heart rate at a pace on the ground",
			Sensing{Held: trial.Pace, Compared: trial.Heart, ExponentMean: 0.7, SpeedOnGround: true}, 0,
			[]float64{0, 0, 0},
		},
	} {
		c.s.ByShoe = 0.003
		for j, got := range c.s.Errors(shoes, blocks, c.shared).SD {
			within(t, c.name+", shoe "+shoes[j], got, c.want[j], 1e-12)
		}
	}
}

func TestCorrect(t *testing.T) {
	ground := Ground{Correction: map[SensorShoe]float64{{"foot", "A"}: 0.004}}
	blocks := []SensedBlock{{Block{Shoe: "A", Y: 1, X: 0.1}, "foot"}, {Block{Shoe: "A", Y: 1, X: 0.1}, "watch"},
		{Block{Shoe: "B", Y: 1, X: 0.1}, "foot"}}
	check := func(what string, s Sensing, shared Shared, y, x float64) {
		got := s.Correct(blocks, shared)
		within(t, what+": y", got[0].Y, 1+y, 1e-12)
		within(t, what+": x", got[0].X, 0.1+x, 1e-12)
		for _, b := range got[1:] {
			if b.Y != 1 || b.X != 0.1 {
				t.Errorf("%s: a block without ground was changed: %+v", what, b)
			}
		}
	}
	power := Sensing{Held: trial.Power, Compared: trial.Speed, PowerOnShoe: true, SameDevice: true, Ground: ground}
	check("power", power, SharedUnknown, 0.004, 0)
	check("power that shares", power, SharedWholly, 0.004, 0.004)
	check("pace", Sensing{Held: trial.Pace, Compared: trial.Heart, Ground: ground}, SharedUnknown, 0, 0.004)
	check("heart rate", Sensing{Held: trial.HeartRate, Compared: trial.Speed, Ground: ground}, SharedWholly, 0.004, 0)
	power.SameDevice = false
	check("power of another device", power, SharedWholly, 0.004, 0)
}

func TestTipping(t *testing.T) {
	within(t, "speed", Sensing{Compared: trial.Speed, ExponentMean: 0.9}.Tipping(Difference{Mean: -0.02}), 0.02, 1e-15)
	within(t, "heart rate", Sensing{Compared: trial.Heart, ExponentMean: 0.7}.Tipping(Difference{Mean: 0.021}), 0.03,
		1e-15)
}

// A power sensor that reads 2 % low in B makes it look faster; the heart shows the work.
func TestHeartCheck(t *testing.T) {
	settings, err := DefaultSettings(trial.Power, trial.Heart)
	if err != nil {
		t.Fatal(err)
	}
	heart := func(effect float64) *Posterior {
		s := simulatedTrial{orders: many(3, "ABBA", "BAAB"), effects: map[rune]float64{'B': effect}, block: 0.005}
		return fit(t, s.blocks(9), settings, Exact)
	}
	if c := CheckHeart(heart(0), "B", "A", 0.03); !c.Passed || c.Higher || c.Lower {
		t.Errorf("no difference in heart rate: %+v", c)
	}
	if c := CheckHeart(heart(0.02), "B", "A", 0.03); c.Passed || !c.Higher {
		t.Errorf("2 %% higher in the faster shoe: %+v", c)
	}
	if c := CheckHeart(heart(-0.02), "B", "A", 0.03); !c.Passed || !c.Lower {
		t.Errorf("2 %% lower in the faster shoe: %+v", c)
	}
	if c := CheckHeart(nil, "B", "A", 0.03); c.Passed || !math.IsNaN(c.Chance) {
		t.Errorf("no heart rate: %+v", c)
	}
	if c := CheckHeart(heart(0), "C", "A", 0.03); c.Passed {
		t.Errorf("a shoe without heart rate: %+v", c)
	}
}
