package segment_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"soletrial/pipeline/recording/segment"
	"soletrial/pipeline/trial"
)

// randomSession invents a session as people run them, and says how.
func randomSession(chance *rand.Rand) (session, string) {
	between := func(lo, hi float64) float64 { return float64(int(lo + (hi-lo)*chance.Float64())) }
	watts := between(220, 340)
	n, length, rest := 2+chance.IntN(10), between(170, 600), between(45, 240)
	restWatts := []float64{0, 62, 0.5 * watts, 0.65 * watts}[chance.IntN(4)]
	noise := between(2, 15)
	var all []leg
	if chance.IntN(5) > 0 {
		all = append(all, easy(between(300, 1200), watts*(0.6+0.14*chance.Float64())))
	}
	if chance.IntN(3) == 0 {
		all = append(all, repeat(4, easy(20, 1.3*watts), easy(60, 90))...)
	}
	if chance.IntN(3) > 0 {
		all = append(all, easy(between(40, 200), 50))
	}
	stopped := chance.IntN(4) == 0
	for range n {
		all = append(all, effort(between(0.96*length, 1.04*length), watts*(0.975+0.05*chance.Float64())))
		if stopped {
			all = append(all, easy(3, 60), stop(rest), easy(2, 60))
		} else {
			all = append(all, easy(between(0.9*rest, 1.1*rest), restWatts))
		}
	}
	if chance.IntN(3) > 0 {
		all = append(all, easy(between(200, 1500), 0.7*watts))
	}
	s := invent(noise, all)
	how := fmt.Sprintf("%d blocks of %v s at %v W, rests of %v s at %.0f W, noise %v W, stopped %v",
		n, length, watts, rest, restWatts, noise, stopped)
	switch chance.IntN(5) {
	case 0:
		s, how = s.only(trial.SpeedMps, trial.HeartRateBpm), how+" speed"
	case 1:
		s, how = s.sparse(), how+" sparse"
	case 2:
		s, how = s.only(trial.DistanceM), how+" distance"
	}
	return s, how
}

// The oracle is the invention. Of 2,000 such sessions two were wrong when the rules
// were set, both with a sample every few seconds only; these must all be right.
func TestSessionsAsPeopleRunThem(t *testing.T) {
	const sessions = 150
	for seed := range uint64(sessions) {
		s, how := randomSession(rand.New(rand.NewPCG(seed, 1)))
		if problem := differs(segment.Propose(s.evidence()).Blocks, day{s.truth, 15}); problem != "" {
			t.Errorf("session %d: %s; want %v\n%s", seed, problem, s.truth, how)
		}
	}
}
