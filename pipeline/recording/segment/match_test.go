package segment_test

import (
	"fmt"
	"testing"

	"pgregory.net/rapid"

	"soletrial/pipeline/recording/segment"
)

func plan(seconds ...float64) []segment.Planned {
	var out []segment.Planned
	for i, s := range seconds {
		out = append(out, segment.Planned{Shoe: fmt.Sprintf("shoe-%d", i%4), DurationS: s})
	}
	return out
}

// Worked by hand: what a person with both lists in front of them would say.
func TestMatch(t *testing.T) {
	equal := plan(330, 330, 330, 330)
	mixed := plan(600, 330, 330, 180, 330)
	for _, c := range []struct {
		name             string
		found            []float64
		plan             []segment.Planned
		of               string
		missed, doubtful string
	}{
		{"as planned", []float64{331, 328, 335, 330}, equal, "[0 1 2 3]", "[]", "[]"},
		{
			"a warm-up and an end that were not planned", []float64{900, 331, 328, 335, 330, 1200}, equal,
			"[-1 0 1 2 3 -1]", "[]", "[]",
		},
		{"one of equal ones missing", []float64{331, 328, 335}, equal, "[-1 -1 -1]", "[]", "[0 1 2 3]"},
		{"one of different ones missing", []float64{605, 330, 328, 331}, mixed, "[0 1 2 4]", "[3]", "[]"},
		{"one too many among equals", []float64{331, 328, 335, 330, 332}, equal, "[-1 -1 -1 -1 -1]", "[]", "[0 1 2 3]"},
		{
			"one cut short among equals: it may be a false start of the next", []float64{331, 150, 335, 330}, equal,
			"[-1 -1 -1 -1]", "[]", "[0 1 2 3]",
		},
		{
			"one cut short after one that is like no other", []float64{600, 170, 330}, plan(600, 330, 330), "[0 -1 -1]",
			"[]", "[1 2]",
		},
		{"nothing found", nil, plan(330, 330), "[]", "[0 1]", "[]"},
		{"nothing planned", []float64{330}, nil, "[-1]", "[]", "[]"},
		{"no duration planned", []float64{330}, plan(0), "[-1]", "[0]", "[]"},
	} {
		t.Run(c.name, func(t *testing.T) {
			fit := segment.Match(c.found, c.plan)
			if got := fmt.Sprint(fit.Of); got != c.of {
				t.Errorf("of %s, want %s (could be %v)", got, c.of, fit.Could)
			}
			if got := fmt.Sprint(fit.Missed, fit.Doubtful); got != c.missed+" "+c.doubtful {
				t.Errorf("missed and doubtful %s, want %s %s", got, c.missed, c.doubtful)
			}
		})
	}
}

// Whatever the lists: what is settled keeps the order of the run and uses every
// planned block once, and every planned block is settled, missed or doubtful.
func TestMatchKeepsTheOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		length := rapid.Float64Range(0, 900)
		found := rapid.SliceOfN(length, 0, 12).Draw(t, "found")
		planned := plan(rapid.SliceOfN(length, 0, 12).Draw(t, "planned")...)
		fit := segment.Match(found, planned)
		last, settled := -1, 0
		for i, j := range fit.Of {
			if j < 0 {
				continue
			}
			if j <= last || len(fit.Could[i]) != 1 {
				t.Fatalf("of %v, could be %v", fit.Of, fit.Could)
			}
			last = j
			settled++
		}
		if settled+len(fit.Missed)+len(fit.Doubtful) != len(planned) {
			t.Fatalf("%d settled, missed %v, doubtful %v of %d", settled, fit.Missed, fit.Doubtful, len(planned))
		}
	})
}
