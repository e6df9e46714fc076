package intake

import (
	"testing"

	"soletrial/pipeline/trial"
)

// The workout that plan writes has a warm-up, then put on, block, put on, block, and a run home.
func TestBlockIsAStepOfTheWorkout(t *testing.T) {
	for _, c := range []struct {
		warmUpS     float64
		block, step int
	}{{600, 0, 2}, {600, 1, 4}, {600, 7, 16}, {0, 0, 1}, {0, 1, 3}} {
		if got := workoutStep(&trial.PlanFacts{WarmUpS: c.warmUpS}, c.block); got != c.step {
			t.Errorf("warm-up %v s, block %d is step %d, want %d", c.warmUpS, c.block, got, c.step)
		}
	}
}
