package plan

import (
	"math"
	"slices"

	"soletrial/pipeline/decide"
	"soletrial/pipeline/stats"
)

// expectedTrials is how many simulated trials the expected interval is the middle of.
const expectedTrials = 11

// HalfWidth returns what the first session to come can be expected to leave open: half the
// 95 % interval of the pair of its shoes that is known best after it, percent, the sensor's
// error with it, together with all blocks so far. It is the middle one of a few simulated
// trials with the spreads as they are known now. The error names what cannot take part.
func (o Outlook) HalfWidth() (float64, error) {
	base, err := o.truth()
	if err != nil {
		return 0, err
	}
	var widths []float64
	for trial := range uint64(expectedTrials) {
		width, err := o.widthAfter(base, trial)
		if err != nil {
			return 0, err
		}
		widths = append(widths, width)
	}
	slices.Sort(widths)
	return float64(100 * stats.Expm1(widths[len(widths)/2])), nil
}

// widthAfter simulates one session and returns half the narrowest interval after it, on the
// logarithmic scale.
func (o Outlook) widthAfter(t truth, stream uint64) (float64, error) {
	normal, sensorError, gamma := o.draws(t, stream)
	blocks := append(slices.Clone(o.Blocks), o.session(t, 1, gamma, sensorError, normal)...)
	p, err := decide.Fit(blocks, o.Settings, decide.Coarse)
	if err != nil {
		return 0, err
	}
	sensor, narrowest := o.sensor(p), math.Inf(1)
	for i, a := range o.Shoes {
		for _, b := range o.Shoes[i+1:] {
			d := p.Pair(p.Shoe(a), p.Shoe(b), sensor).D // all are run in the session: they are comparable
			narrowest = min(narrowest, (d.High-d.Low)/2)
		}
	}
	return narrowest, nil
}
