package steady

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// A straight line is found exactly, whatever the sampling and the offset.
func TestLineThroughAnySampling(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		base := float64(rapid.IntRange(50, 400).Draw(t, "base"))
		slope := rapid.Float64Range(-0.2, 0.2).Draw(t, "slope")
		s := &trial.Samples{}
		for at := 0.0; at < 200; at += float64(rapid.IntRange(1, 4).Draw(t, "step")) {
			s.Elapsed = append(s.Elapsed, at)
		}
		values := make([]float64, s.Len())
		track := &track{elapsed: s.Elapsed, values: values, stands: standing(s, 5), offset: 30}
		for i := range values { // a sample stands for the time until the next, so its middle is what it tells of
			values[i] = base + slope*(s.Elapsed[i]+track.stands[i]/2)
		}
		if got := track.line(30, 30+s.Elapsed[s.Len()-1]); math.Abs(got.slope-slope) > 1e-9 {
			t.Fatalf("slope %v, want %v", got.slope, slope)
		}
	})
}

// By hand: 240 W for 100 s and 260 W for 100 s: mean 250, standard deviation 10,
// and the line through them rises by 1.5 times the step over the window, 30 W.
func TestSteadinessByHand(t *testing.T) {
	ds, session, recordings := steadyRun(300, func(float64) float64 { return 3 })
	addBlock(session, 0, 275)
	power := recordings[0].Samples.Values[trial.PowerW]
	for i := range power {
		power[i] = 240
		if i >= 160 {
			power[i] = 260
		}
	}
	got := Session(ds, session, recordings)[0]
	near(t, "window", got.Window(), 200, 0)
	near(t, "coefficient of variation", got.EffortCVPct, 4, 1e-9)
	near(t, "change over the window", got.EffortChangePct, 12, 1e-3)
	if units.Known(got.HeartSlope) {
		t.Errorf("heart slope %v without a heart rate", got.HeartSlope)
	}
	session.Facts.Effort = string(trial.Pace)
	if got = Session(ds, session, recordings)[0]; got.EffortCVPct != 0 || got.EffortChangePct != 0 {
		t.Errorf("an even speed varies by %v and changes by %v", got.EffortCVPct, got.EffortChangePct)
	}
	session.Facts.Effort = string(trial.HeartRate)
	if got = Session(ds, session, recordings)[0]; units.Known(got.EffortCVPct) || units.Known(got.EffortChangePct) {
		t.Errorf("a heart rate nobody recorded varies by %v", got.EffortCVPct)
	}
}

// A first-order response with a time constant of 57.6 s (Hunt 2015) to a step of
// 40 bpm still rises after 180 s. Its least-squares slope over 195 to 315 s was
// worked out by the integral 6/T³ (2 I1 - T I0) of the exponential.
func TestHeartSlope(t *testing.T) {
	ds, session, recordings := steadyRun(400, func(float64) float64 { return 3 })
	addBlock(session, 0, 330)
	s := recordings[0].Samples
	for i := range s.Elapsed {
		s.Values[trial.HeartRateBpm] = append(s.Values[trial.HeartRateBpm], 160-40*math.Exp(-(float64(i)+0.5)/57.6))
	}
	got := Session(ds, session, recordings)[0]
	const tau, span = 57.6, 120.0
	start := 40 * math.Exp(-195/tau)
	i0 := start * tau * (1 - math.Exp(-span/tau))
	i1 := start * tau * (tau - math.Exp(-span/tau)*(tau+span))
	near(t, "slope, bpm per minute", got.HeartSlope, -60*6*(2*i1-span*i0)/(span*span*span), 1e-3)
	session.Blocks[0].End = 250 // leaves 55 s of heart-rate window
	if got = Session(ds, session, recordings)[0]; units.Known(got.HeartSlope) {
		t.Errorf("slope %v over 55 s", got.HeartSlope)
	}
}
