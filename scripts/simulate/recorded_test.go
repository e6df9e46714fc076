package main

import (
	"math"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"

	"soletrial/pipeline/decide"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/quality"
	"soletrial/pipeline/trial"
)

// designNamed finds a design by what its name begins with.
func designNamed(t *testing.T, name string) recordedDesign {
	t.Helper()
	for _, d := range recordedDesigns {
		if strings.HasPrefix(d.name, name) {
			return d
		}
	}
	t.Fatalf("no design %q", name)
	return recordedDesign{}
}

// Recordings show what the design says: every block is included, birch's speed is 1.5 % long
// against the ground and alder's is not, and an uneven pace is found.
func TestRecordedTrialsShowTheirFlaws(t *testing.T) {
	means := func(d recordedDesign, of func(*derive.Block) float64) (ratio float64) {
		sums := map[string][2]float64{}
		for seed := range uint64(20) {
			_, sessions := d.dataset(rand.New(rand.NewPCG(1, seed)))
			for _, s := range sessions {
				for i := range s.Blocks {
					b := &s.Blocks[i]
					if !b.Included {
						t.Fatalf("%s: block %s is out: %s", d.name, b.Block, b.Reason)
					}
					sum := sums[b.Shoe]
					sums[b.Shoe] = [2]float64{sum[0] + math.Log(of(b)), sum[1] + 1}
				}
			}
		}
		return sums["B"][0]/sums["B"][1] - sums["A"][0]/sums["A"][1]
	}
	ground := func(b *derive.Block) float64 { return b.SensorDistanceM / b.GroundDistanceM }
	held := func(b *derive.Block) float64 { return 1 / b.MeanEffort }
	speed := func(b *derive.Block) float64 { return b.Outcomes[trial.Speed] }
	// 120 blocks of each shoe: three standard errors of a block's SD by 9 (0.2 to 0.9 %).
	for _, c := range []struct {
		name string
		of   func(*derive.Block) float64
		want float64
		se   float64
	}{
		{"speed 1.5 % long, power from another device", ground, long, 0.002},
		{"held pace", held, fast, heldSD},
		{"held heart rate", held, -beats, heldSD},
		{"2 % over three days of A B B A", speed, math.Log(1.02), 0.018},
	} {
		d := designNamed(t, c.name)
		if got := means(d, c.of); math.Abs(got-c.want) > 3*c.se*math.Sqrt(2./120) {
			t.Errorf("%s: %.5f, want %.5f", d.name, got, c.want)
		}
	}
}

// A power sensor that reads low in one shoe shows in heart rate, and that is found.
func TestLowPowerIsFoundByHeartRate(t *testing.T) {
	d := designNamed(t, "power 2 % low, eight")
	found := 0
	for seed := range uint64(6) {
		ds, sessions := d.dataset(rand.New(rand.NewPCG(2, seed)))
		for _, f := range derive.FromSessions(ds, sessions, nil, 1).Findings {
			if f.Rule == quality.HeartByShoe && strings.Contains(f.Message, "higher in B, the faster shoe") {
				found++
			}
		}
	}
	if found < 3 {
		t.Errorf("found in %d of 6 trials, want at least half", found)
	}
}

// A small version of `make simulate`: a flaw names no shoe and a real difference is found. The
// same seed gives the same trials.
func TestRecordedDesignsInSmall(t *testing.T) {
	const n = 8
	for i, d := range recordedDesigns {
		if i%2 == 1 && testing.Short() {
			continue
		}
		trials := d.study(n, 3, uint64(i))
		if rate := d.limit.rate(trials); d.limit.broken(rate, n) {
			t.Errorf("%s: %s in %.0f %%, limit %s %%", d.name, d.limit.what, 100*rate, d.limit)
		}
	}
	d := designNamed(t, "4 %")
	first, again, other := d.study(n, 3, 1), d.study(n, 3, 1), d.study(n, 4, 1)
	if !reflect.DeepEqual(first, again) || reflect.DeepEqual(first, other) {
		t.Errorf("seed 3 gave %+v and %+v, seed 4 %+v", first, again, other)
	}
}

// By hand: of four trials one names A and two B; limits of 3 % and a half hold 400 trials to
// 5.6 % (3 + 3 x 0.85) and 42.5 % (50 - 3 x 2.5).
func TestLimitsOfRecordedTrials(t *testing.T) {
	trials := []recordedTrial{{named: "A", status: decide.Fastest, evidence: decide.Fair},
		{named: "B", status: decide.Fastest, evidence: decide.Thin}, {named: "B", status: decide.Fastest,
			evidence: decide.Solid}, {status: decide.Open, evidence: decide.NoEvidence}}
	for _, c := range []struct {
		limit      limit
		rate       float64
		text       string
		kept, past float64
	}{
		{namesNone(0.03), 0.75, "at most 3", 0.055, 0.057}, {namesB(0.5), 0.5, "at least 50", 0.43, 0.42},
		{staysThin(0.05), 0.5, "at most 5", 0.08, 0.084},
	} {
		if got := c.limit.rate(trials); got != c.rate || c.limit.String() != c.text {
			t.Errorf("%s: %g, %q", c.limit.what, got, c.limit)
		}
		if c.limit.broken(c.kept, 400) || !c.limit.broken(c.past, 400) {
			t.Errorf("%s: kept at %g and broken at %g, not so", c.limit.what, c.kept, c.past)
		}
	}
	if got := recordedStatuses(trials); got != "0, 75, 0, 25, 0" {
		t.Errorf("statuses %q", got)
	}
}
