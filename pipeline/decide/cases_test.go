package decide

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"soletrial/pipeline/trial"
)

// expected is the content of a case's expected.json; testdata/cases/README.md describes it.
// The numbers were made outside this program, by dense linear algebra on grids doubled until
// nothing moved, and cross-checked by a second derivation and by Stan.
type expected struct {
	Held, Compared, Drift string
	Shoes                 []string
	Groups                [][]string
	Terms                 struct{ Gamma, K, W bool }
	Spreads               map[string]*struct{ Mean, SD float64 }
	Prior                 struct {
		KMean       float64 `json:"k_mean"`
		KSD         float64 `json:"k_sd"`
		BlockS0     float64 `json:"block_s0"`
		BlockDF     float64 `json:"block_df"`
		DayScale    float64 `json:"day_scale"`
		RunnerScale float64 `json:"runner_scale"`
		DriftSD     float64 `json:"drift_sd"`
	}
	Sensor map[string]struct {
		ByShoe  map[string]float64 `json:"by_shoe"`
		Pairs   []expectedPair
		Fastest []struct {
			Shoes     []string
			PLargest  map[string]*float64 `json:"p_largest"`
			PSmallest map[string]*float64 `json:"p_smallest"`
		}
	}
}

type expectedPair struct {
	A, B       string
	Comparable bool
	expectedDifference
	Next expectedDifference `json:"next_session"`
}

type expectedDifference struct {
	D, Pct  struct{ Mean, SD, Q025, Q500, Q975 float64 }
	PGt0    float64 `json:"p_gt_0"`
	PGtW    float64 `json:"p_gt_w"`
	PAbsLtW float64 `json:"p_abs_lt_w"`
}

// readCase returns a case's blocks, its settings (the package's defaults with the case's
// drift) and what is expected.
func readCase(t testing.TB, dir string) ([]Block, Settings, expected) {
	t.Helper()
	var want expected
	text, err := os.ReadFile(filepath.Join(dir, "expected.json"))
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, &want); err != nil {
		t.Fatal(err)
	}
	compared, _ := trial.OutcomeNamed(want.Compared)
	settings, err := DefaultSettings(trial.Effort(want.Held), compared)
	if err != nil {
		t.Fatal(err)
	}
	if want.Drift == trial.DriftNone {
		settings.Drift = NoDrift
	}
	return readBlocks(t, filepath.Join(dir, "data.csv")), settings, want
}

func readBlocks(t testing.TB, path string) []Block {
	t.Helper()
	file, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	number := func(text string) float64 {
		if text == "" {
			return math.NaN()
		}
		x, err := strconv.ParseFloat(text, 64)
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
	var blocks []Block
	for _, r := range rows[1:] {
		blocks = append(blocks, Block{Y: number(r[0]), Session: r[1], Level: r[2], Runner: r[3], Shoe: r[4],
			TimeH: number(r[5]), X: number(r[6])})
	}
	return blocks
}

func caseDirs(t testing.TB) []string {
	t.Helper()
	dirs, err := filepath.Glob("testdata/cases/d*")
	if err != nil || len(dirs) != 19 {
		t.Fatalf("%d cases (%v), want 19", len(dirs), err)
	}
	return dirs
}

func TestReferenceCases(t *testing.T) {
	for _, dir := range caseDirs(t) {
		t.Run(filepath.Base(dir), func(t *testing.T) {
			blocks, settings, want := readCase(t, dir)
			checkPrior(t, settings, want)
			p, err := Fit(blocks, settings, Exact)
			if err != nil {
				t.Fatal(err)
			}
			checkSpreads(t, p, want)
			for _, sensor := range want.Sensor {
				errors := Sensor{SD: make([]float64, len(p.Shoes))}
				for j, shoe := range p.Shoes {
					errors.SD[j] = sensor.ByShoe[shoe]
				}
				for _, pair := range sensor.Pairs {
					checkPair(t, p, errors, pair)
				}
				best := p.best(errors)
				for _, group := range sensor.Fastest {
					chances := group.PLargest
					if settings.SmallerIsBetter {
						chances = group.PSmallest
					}
					for shoe, chance := range chances {
						got := best[slices.Index(p.Shoes, shoe)]
						if chance == nil {
							if !math.IsNaN(got) {
								t.Errorf("%s alone in its group: chance %v, want NaN", shoe, got)
							}
							continue
						}
						within(t, "chance of "+shoe, got, *chance, 1e-3)
					}
				}
			}
		})
	}
}

// The reference's settings are the ones of decision.md; so must the package's defaults be.
func checkPrior(t *testing.T, s Settings, want expected) {
	t.Helper()
	w := want.Prior
	p := s.Prior
	got := []float64{p.BlockSD, p.BlockDF, p.DaySD, p.RunnerSD, p.DriftSD, p.Exponent.Mean, p.Exponent.SD}
	for i, x := range []float64{w.BlockS0, w.BlockDF, w.DayScale, w.RunnerScale, w.DriftSD, w.KMean, w.KSD} {
		if math.Abs(got[i]-x) > 1e-15 { // percent divided by 100
			t.Errorf("default prior %+v, want %+v", p, w)
		}
	}
}

func checkSpreads(t *testing.T, p *Posterior, want expected) {
	t.Helper()
	if got := (struct{ Gamma, K, W bool }{p.Terms.Drift, p.Terms.Exponent, p.Terms.Runner}); got != want.Terms {
		t.Errorf("terms %+v, want %+v", got, want.Terms)
	}
	for i, group := range p.Groups {
		var names []string
		for _, j := range group {
			names = append(names, p.Shoes[j])
		}
		if !slices.Equal(names, want.Groups[i]) {
			t.Errorf("group %v, want %v", names, want.Groups[i])
		}
	}
	s := p.Spreads
	for name, got := range map[string]Moments{"sigma": s.Sigma, "tau": s.Tau, "omega": s.Omega, "gamma": s.Gamma,
		"k": s.K} {
		w := want.Spreads[name]
		if w == nil {
			if !math.IsNaN(got.Mean) || !math.IsNaN(got.SD) {
				t.Errorf("%s = %v, want none", name, got)
			}
			continue
		}
		within(t, name+" mean", got.Mean, w.Mean, 2e-4*w.SD+1e-12)
		within(t, name+" SD", got.SD, w.SD, 1e-3*w.SD)
	}
}

func checkPair(t *testing.T, p *Posterior, sensor Sensor, want expectedPair) {
	t.Helper()
	a, b := slices.Index(p.Shoes, want.A), slices.Index(p.Shoes, want.B)
	if p.settings.SmallerIsBetter {
		a, b = b, a // the reference takes a less b whatever is better
	}
	got := p.Pair(a, b, sensor)
	if got.Comparable != want.Comparable {
		t.Errorf("%s, %s comparable: %v", want.A, want.B, got.Comparable)
	}
	if !want.Comparable {
		return
	}
	what := want.A + " less " + want.B
	checkDifference(t, what, got.D, want.expectedDifference)
	checkDifference(t, what+" on one day", oneDay(p, a, b, sensor), want.Next)
}

// The tolerances asked for are 2e-4 in probabilities and 2e-3 percent in interval ends; the
// program promises 1e-5 in probabilities.
func checkDifference(t *testing.T, what string, got Difference, want expectedDifference) {
	t.Helper()
	within(t, what+": mean", got.Mean, want.D.Mean, 1e-6)
	within(t, what+": SD", got.SD, want.D.SD, 2e-4*want.D.SD)
	within(t, what+": 2.5 %", Percent(got.Low), want.Pct.Q025, 2e-4)
	within(t, what+": 50 %", Percent(got.Median), want.Pct.Q500, 2e-4)
	within(t, what+": 97.5 %", Percent(got.High), want.Pct.Q975, 2e-4)
	within(t, what+": P(d > 0)", got.Above, want.PGt0, 1e-5)
	within(t, what+": P(d > w)", got.AboveWorthwhile, want.PGtW, 1e-5)
	within(t, what+": P(|d| < w)", got.Within, want.PAbsLtW, 1e-5)
}

func within(t testing.TB, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s = %.10g, want %.10g, off by %.2g", what, got, want, got-want)
	}
}

func BenchmarkDemonstration(b *testing.B) {
	dir := "testdata/cases/d29-demo-blocks"
	for _, c := range []struct {
		name     string
		accuracy Accuracy
	}{{"exact", Exact}, {"coarse", Coarse}, {"moving", Moving}} {
		blocks, settings, _ := readCase(b, dir)
		b.Run(strings.Join([]string{c.name, "fit"}, "-"), func(b *testing.B) {
			for b.Loop() {
				if _, err := Fit(blocks, settings, c.accuracy); err != nil {
					b.Fatal(err)
				}
			}
		})
		p, _ := Fit(blocks, settings, c.accuracy)
		sensor := Sensor{SD: []float64{0.003, 0.003, 0.003, 0.003}}
		b.Logf("%s: %d nodes", c.name, len(p.nodes))
		b.Run(c.name+"-pairs", func(b *testing.B) {
			for b.Loop() {
				p.Pairs(sensor)
			}
		})
		b.Run(c.name+"-best", func(b *testing.B) {
			for b.Loop() {
				p.best(sensor)
			}
		})
	}
}

// While a control is dragged a coarser grid serves; it may not show another answer.
func TestCoarserIsNearExact(t *testing.T) {
	for _, dir := range caseDirs(t) {
		blocks, settings, _ := readCase(t, dir)
		exact, err := Fit(blocks, settings, Exact)
		if err != nil {
			t.Fatal(err)
		}
		for name, accuracy := range map[string]Accuracy{"coarse": Coarse, "moving": Moving} {
			coarser, err := Fit(blocks, settings, accuracy)
			if err != nil {
				t.Fatal(err)
			}
			what := dir + ", " + name
			for _, want := range exact.Pairs(Sensor{}) {
				got := coarser.Pair(want.Shoe, want.Reference, Sensor{})
				within(t, what+": chance to be better", got.D.Above, want.D.Above, 2e-3)
				within(t, what+": low", got.D.Low, want.D.Low, 0.02*want.D.SD)
				within(t, what+": high", got.D.High, want.D.High, 0.02*want.D.SD)
			}
			best := coarser.best(Sensor{})
			for j, want := range exact.best(Sensor{}) {
				if !math.IsNaN(want) {
					within(t, what+": chance to be the best", best[j], want, 4e-3)
				}
			}
		}
	}
}
