package compare

import (
	"math"
	"testing"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// The half-width of the interval against what matters, 0.75 %: up to twice as wide is solid, up to
// four times fair, where sessions and blocks are enough; ten of a hundred matter in comfort.
func TestGradesByWidth(t *testing.T) {
	a := &analysis{method: trial.Method{WorthwhilePct: 0.75}}
	enough := basis{shoeBlocks: solidBlocks, referenceBlocks: solidBlocks, minSessions: solidSessions}
	few := enough
	few.referenceBlocks--
	for _, c := range []struct {
		outcome   trial.Outcome
		half      float64 // in the unit of report
		across    bool
		basis     basis
		want      Grade
		unlimited bool
	}{
		{trial.Speed, 1.49, true, enough, Solid, false}, {trial.Speed, 1.51, true, enough, Fair, false},
		{trial.Speed, 2.99, true, enough, Fair, false}, {trial.Speed, 3.01, true, enough, Thin, false},
		{trial.Speed, 1, true, few, Fair, false}, {trial.Speed, 1, false, enough, Thin, false},
		{trial.Speed, 1, true, enough, NoEvidence, true}, {trial.Comfort, 19.9, true, enough, Solid, false},
		{trial.Comfort, 20.1, true, enough, Fair, false}, {trial.RPE, 3.9, true, enough, Fair, false},
		{trial.RPE, 4.1, true, enough, Thin, false},
	} {
		half := c.half
		if c.outcome.Info().Ratio {
			half = math.Log1p(c.half / 100)
		}
		got := Comparison{Outcome: c.outcome, Model: LeastSquares, Low: -1, halfWidth: half, acrossSessions: c.across,
			basis: c.basis, Evidence: NoEvidence}
		if c.unlimited {
			got.Low = units.Missing
		}
		if a.grade(&got); got.Evidence != c.want {
			t.Errorf("%+v: %s", c, got.Evidence)
		}
	}
}
