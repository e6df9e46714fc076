package decide

import (
	"fmt"
	"math"
	"slices"
)

// The error of reading a distance on the ground, and the weight of the sensor's usual
// error in the residual of the ground fit: engineering choices.
const (
	readingErrorM = 1
	groundPriorDF = 3
)

// GroundBlock is a block whose distance was measured on the ground.
type GroundBlock struct {
	// Session, Shoe and Sensor are labels. Sensors are fitted apart.
	Session, Shoe, Sensor string
	// LogRatio is ln(ground distance / sensor distance), GroundM the former in metres.
	LogRatio, GroundM float64
}

// SensorShoe is a sensor in a shoe.
type SensorShoe struct{ Sensor, Shoe string }

// Ground is what the distances measured on the ground say of the sensors: the correction of
// the logarithm of speed for each shoe, centred over the shoes that have one, and its
// standard deviation.
type Ground struct {
	Correction map[SensorShoe]float64
	SD         map[SensorShoe]float64
}

// FitGround fits ln(ground/sensor) = session + shoe for each sensor. A shoe that shares no
// session with another stays out: nothing says how it compares. The error names a block that
// is no measurement.
func FitGround(blocks []GroundBlock, byShoe float64) (Ground, error) {
	ground := Ground{map[SensorShoe]float64{}, map[SensorShoe]float64{}}
	var sensors []string
	for i, b := range blocks {
		if math.IsNaN(b.LogRatio) || math.IsInf(b.LogRatio, 0) || !(b.GroundM > 0) {
			return Ground{}, fmt.Errorf("ground distance %d: needs a ratio and a distance above 0, not %v and %v",
				i+1, b.LogRatio, b.GroundM)
		}
		sensors = append(sensors, b.Sensor)
	}
	slices.Sort(sensors)
	for _, sensor := range slices.Compact(sensors) {
		var of []Block
		sum := 0.0
		for _, b := range blocks {
			if b.Sensor == sensor {
				of = append(of, Block{Session: b.Session, Shoe: b.Shoe, Y: b.LogRatio, TimeH: missing, X: missing})
				sum += b.GroundM
			}
		}
		reading := float64(readingErrorM*float64(len(of))) / sum
		ground.fit(sensor, of, byShoe, float64(reading*reading))
	}
	return ground, nil
}

// fit adds one sensor. It is the model of the decision without day, time and effort: least
// squares.
func (ground Ground) fit(sensor string, blocks []Block, byShoe, minVariance float64) {
	d := newDesign(blocks, Settings{Drift: NoDrift})
	g := newGiven(d, Prior{BlockSD: 1, BlockDF: 1, DaySD: 1, RunnerSD: 1})
	g.solveAt(ratios{})
	// The residual variance, with the usual error of a sensor as a prior.
	effects := g.shoeEffects()
	df := float64(d.blocks - d.cells - len(d.free))
	variance := (float64(groundPriorDF*float64(byShoe*byShoe)) + math.Max(0, g.rest[0])) / (groundPriorDF + df)
	variance = math.Max(variance, minVariance)
	blocksOf := map[string]float64{}
	for _, b := range blocks {
		blocksOf[b.Shoe]++
	}
	// Each shoe against the mean of its group, with a standard deviation of its own.
	for _, shoes := range d.groups {
		if len(shoes) == 1 {
			continue
		}
		mean := 0.0
		for _, j := range shoes {
			mean += effects.mean[j] / float64(len(shoes))
		}
		for i, v := range quasiVariances(shoes, effects, func(j int) float64 { return blocksOf[d.shoes[j]] }) {
			at := SensorShoe{sensor, d.shoes[shoes[i]]}
			ground.Correction[at] = effects.mean[shoes[i]] - mean
			ground.SD[at] = math.Sqrt(math.Max(0, float64(variance*v)))
		}
	}
}

// quasiVariances returns a variance for each shoe such that the variance of a difference is
// the sum of two: exact for two shoes and for balanced trials, by least squares over the
// pairs otherwise (Firth & de Menezes 2004, Biometrika 91:65).
func quasiVariances(shoes []int, effects conditional, blocks func(shoe int) float64) []float64 {
	n := len(effects.mean)
	of := func(a, b int) float64 {
		return effects.cov[a*n+a] + effects.cov[b*n+b] - float64(2*effects.cov[a*n+b])
	}
	k := float64(len(shoes))
	if len(shoes) == 2 {
		a, b := blocks(shoes[0]), blocks(shoes[1])
		v := of(shoes[0], shoes[1])
		return []float64{float64(v*b) / (a + b), float64(v*a) / (a + b)}
	}
	sums, total := make([]float64, len(shoes)), 0.0
	for i, a := range shoes {
		for _, b := range shoes {
			if a != b {
				sums[i] += of(a, b)
			}
		}
		total += sums[i] / 2
	}
	for i := range sums {
		sums[i] = (sums[i] - total/(k-1)) / (k - 2)
	}
	return sums
}
