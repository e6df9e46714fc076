package main

import (
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"runtime"

	"soletrial/pipeline/decide"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/parallel"
	"soletrial/pipeline/trial"
)

// What a trial is held to: that a shoe is not named that is no better, that evidence stays
// thin, and that the better shoe is named.
func namesNone(most float64) limit {
	return limit{"*fastest*", func(t recordedTrial) bool { return t.named != "" }, most, math.NaN()}
}

func staysThin(most float64) limit {
	return limit{"evidence above thin", func(t recordedTrial) bool {
		return t.evidence == decide.Fair || t.evidence == decide.Solid
	}, most, math.NaN()}
}

func namesB(least float64) limit {
	return limit{"the better shoe *fastest*", func(t recordedTrial) bool { return t.named == "B" }, math.NaN(), least}
}

var (
	abba  = []string{"ABBA", "BAAB"}
	eight = []string{"ABBABAAB"}
)

// longPct is how much too long the speed sensor reads in one shoe, and the like.
var (
	long  = math.Log(1.015)
	low   = math.Log(0.98)
	fast  = math.Log(1.018)
	beats = math.Log((heldHeartBpm + 2.) / heldHeartBpm)
)

var recordedDesigns = []recordedDesign{
	{name: "speed 1.5 % long, power from another device", effort: trial.Power, sessions: 3, orders: abba,
		speedError: long, powerBy: offShoe, ground: true, limit: namesNone(0.03)},
	{name: "speed 1.5 % long, power from another sensor on the shoe", effort: trial.Power, sessions: 3, orders: abba,
		speedError: long, powerBy: otherOnShoe, ground: true, limit: namesNone(0.03)},
	{name: "speed 1.5 % long, power from the same device", effort: trial.Power, sessions: 3, orders: abba,
		speedError: long, ground: true, limit: namesNone(0.03)},
	{name: "speed and power 1.5 % long, from the same device", effort: trial.Power, sessions: 3, orders: abba,
		speedError: long, powerError: long, ground: true, limit: namesNone(0.03)},
	{name: "power 2 % low", effort: trial.Power, sessions: 3, orders: abba, powerError: low, limit: staysThin(0.05)},
	{name: "power 2 % low, eight sessions", effort: trial.Power, sessions: 8, orders: abba, powerError: low,
		limit: staysThin(0.05)},
	{name: "held pace 1.8 % faster", effort: trial.Pace, sessions: 3, orders: abba, uneven: fast,
		limit: namesNone(0.08)},
	{name: "held heart rate 2 bpm higher", effort: trial.HeartRate, sessions: 3, orders: abba, uneven: beats,
		limit: namesNone(0.08)},
	{name: "same shoe first, slow warm-up", effort: trial.Power, sessions: 3, orders: []string{"ABBA"}, warmUp: 0.02,
		limit: namesNone(0.08)},
	{name: "2 % over three days of A B B A", effort: trial.Power, sessions: 3, orders: abba, advantage: math.Log(1.02),
		ground: true, powerBy: offShoe, limit: namesB(0.5)},
	{name: "2 % over three days of A B B A, nothing counted", effort: trial.Power, sessions: 3, orders: abba,
		advantage: math.Log(1.02), limit: namesB(0.5)},
	{name: "4 % over one day of eight blocks", effort: trial.Power, sessions: 1, orders: eight,
		advantage: math.Log(1.04), limit: namesB(0.5)},
}

// study simulates n trials. Each has its own random numbers.
func (d recordedDesign) study(n int, seed, stream uint64) []recordedTrial {
	return parallel.Map(runtime.GOMAXPROCS(0), n, func(i int) recordedTrial {
		r := rand.New(rand.NewPCG(seed, stream<<32|uint64(i)))
		ds, sessions := d.dataset(r)
		return concluded(derive.FromSessions(ds, sessions, nil, 1))
	})
}

func concluded(r *derive.Result) recordedTrial {
	e, g := r.Answers.Top()
	if g == nil {
		return recordedTrial{}
	}
	t := recordedTrial{evidence: g.Lead.Evidence, status: g.Status}
	if g.Status == decide.Fastest {
		t.named = e.Posterior.Shoes[g.Leading[0]]
	}
	return t
}

// recorded prints the table of whole trials and returns the limits that are broken.
func recorded(out io.Writer, n int, seed uint64, flush func() error) []string {
	fmt.Fprintln(out,
		"| two shoes, from the samples on | same, fastest, leading, open, blocked, % | held to | % | limit, % |")
	fmt.Fprintln(out, "|---|---|---|---|---|")
	var broken []string
	for i, d := range recordedDesigns {
		trials := d.study(n, seed, uint64(i))
		rate := d.limit.rate(trials)
		fmt.Fprintf(out, "| %s | %s | %s | %.1f | %s |\n", d.name, recordedStatuses(trials), d.limit.what, 100*rate,
			d.limit)
		if d.limit.broken(rate, n) {
			broken = append(broken, fmt.Sprintf("%s: %s in %.1f %%, limit %s %%", d.name, d.limit.what, 100*rate,
				d.limit))
		}
		if err := flush(); err != nil {
			return append(broken, err.Error())
		}
	}
	return broken
}

func (l limit) rate(trials []recordedTrial) float64 {
	n := 0
	for _, t := range trials {
		if l.of(t) {
			n++
		}
	}
	return float64(n) / float64(len(trials))
}

// broken reports whether a rate is beyond the limit by more than chance: three standard
// errors, as for the decisions.
func (l limit) broken(rate float64, n int) bool {
	if bound := l.most; bound == bound {
		return rate > bound+3*math.Sqrt(bound*(1-bound)/float64(n))
	}
	return rate < l.least-3*math.Sqrt(l.least*(1-l.least)/float64(n))
}

func (l limit) String() string {
	if l.most == l.most {
		return fmt.Sprintf("at most %.0f", 100*l.most)
	}
	return fmt.Sprintf("at least %.0f", 100*l.least)
}

func recordedStatuses(trials []recordedTrial) string {
	text := ""
	for i, s := range []decide.Status{decide.Same, decide.Fastest, decide.Leading, decide.Open, decide.Blocked} {
		n := 0
		for _, t := range trials {
			if t.status == s {
				n++
			}
		}
		if i > 0 {
			text += ", "
		}
		text += fmt.Sprintf("%.0f", 100*float64(n)/float64(len(trials)))
	}
	return text
}
