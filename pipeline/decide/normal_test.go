package decide

import (
	"math"
	"testing"

	"soletrial/pipeline/stats"
)

// The table is as good as it says, against the function that is held against R.
func TestNormalFromTheTable(t *testing.T) {
	table := normalTable()
	for z := -9.0; z <= 9; z += 0.0137 {
		below, density := normalAt(table, z)
		if want := stats.NormalCDF(z); math.Abs(below-want) > 1e-11 {
			t.Errorf("at %g the table gives %g, want %g", z, below, want)
		}
		want := math.Exp(-z*z/2) / math.Sqrt(2*math.Pi)
		if math.Abs(density-want) > 1e-4 {
			t.Errorf("at %g its density is %g, want %g", z, density, want)
		}
	}
}
