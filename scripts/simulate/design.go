package main

import (
	"fmt"
	"math"
	"math/rand/v2"

	"soletrial/pipeline/compare"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// design is a kind of trial. Each session runs one of the orders, in turn; a
// letter is a block in that shoe.
type design struct {
	name     string
	sessions int
	orders   []string
	day      float64 // SD of a shoe in a session (heterogeneity), log
	drift    float64 // per hour, log
	lost     float64 // chance that a block is lost
}

// The spread of a block about its mean, on the log scale, is that of a careful
// runner with a sensor: 1.2 %. The heterogeneity of 0.8 %, and of twice the
// block's own spread in one design, is a choice, not a finding; "as blocks" is 1.2 %
// too, about where few sessions do worst.
const (
	blockSD  = 0.012
	some     = 0.008
	equal    = blockSD
	much     = 0.024
	usual    = -0.015 // drift: 1.5 % slower each hour
	powerSD  = 0.01
	target   = 270.0
	minutes  = 9 // from block to block
	meanLogV = 1.4
)

var designs = []design{
	{"1 session, 2 shoes, 8 blocks, drift", 1, []string{"ABBABAAB"}, 0, usual, 0},
	{"1 session, 2 shoes, 8 blocks, drift, heterogeneity", 1, []string{"ABBABAAB"}, some, usual, 0},
	{"2 sessions, 2 shoes, 4 blocks, drift, no heterogeneity", 2, []string{"ABBA", "BAAB"}, 0, usual, 0},
	{"2 sessions, 2 shoes, 4 blocks, drift, heterogeneity", 2, []string{"ABBA", "BAAB"}, some, usual, 0},
	{"2 sessions, 2 shoes, 8 blocks, drift, heterogeneity as blocks", 2, []string{"ABBABAAB", "BAABABBA"}, equal,
		usual, 0},
	{"3 sessions, 2 of 3 shoes each time, 4 blocks, heterogeneity as blocks", 3, []string{"ABBA", "BCCB", "CAAC"},
		equal, usual, 0},
	{"2 sessions, 3 shoes, 6 blocks, drift, heterogeneity", 2, []string{"ABCCBA", "CBAABC"}, some, usual, 0},
	{"2 sessions, 3 shoes, 6 blocks, drift, heterogeneity as blocks", 2, []string{"ABCCBA", "CBAABC"}, equal, usual, 0},
	{"3 sessions, 2 shoes, 8 blocks, drift, heterogeneity as blocks", 3, []string{"ABBABAAB", "BAABABBA"}, equal,
		usual, 0},
	{"3 sessions, 2 shoes, 8 blocks, drift, much heterogeneity", 3, []string{"ABBABAAB", "BAABABBA"}, much, usual, 0},
	{"3 sessions, 3 shoes, 6 blocks, drift, heterogeneity", 3, []string{"ABCCBA", "BCAACB", "CABBAC"}, some, usual, 0},
	{"4 sessions, 2 shoes, 8 blocks, drift, heterogeneity as blocks", 4, []string{"ABBABAAB", "BAABABBA"}, equal,
		usual, 0},
	{"4 sessions, 4 shoes, 8 blocks, no drift, no heterogeneity", 4, []string{"ABCDDCBA", "CADBBDAC"}, 0, 0, 0},
	{"6 sessions, 2 shoes, 1 block each, drift, heterogeneity", 6, []string{"AB", "BA"}, some, usual, 0},
	{
		"6 sessions, 3 shoes, unbalanced, drift, heterogeneity", 6,
		[]string{"ABCCBA", "ABBA", "BCAACB", "ACCA", "CBABC", "BCCB"}, some, usual, 0.1,
	},
	{
		"8 sessions, 4 shoes, 8 blocks, drift, heterogeneity", 8,
		[]string{"ABCDDCBA", "CADBBDAC", "DCBAABCD", "BDACCADB"}, some, usual, 0,
	},
	{
		"8 sessions, 4 shoes, 2 of them each time, drift, heterogeneity", 8,
		[]string{"ABBA", "BCCB", "CDDC", "DAAD", "ACCA", "BDDB"}, some, usual, 0,
	},
}

// simulated is a trial with what is true of it.
type simulated struct {
	dataset      *trial.Dataset
	observations []compare.Observation
	onTheDay     map[string]float64 // of each shoe, in a trial of one session
}

// draw simulates one trial from log speed = session + (shoe in session) + drift +
// power off target + block.
func draw(d design, seed, stream uint64) simulated {
	r := rand.New(rand.NewPCG(seed, stream))
	s := simulated{dataset: &trial.Dataset{Facts: trial.DatasetFacts{Method: trial.DefaultMethod()}},
		onTheDay: map[string]float64{}}
	for i := range d.sessions {
		id := fmt.Sprintf("day %d", i+1)
		s.dataset.Sessions = append(s.dataset.Sessions, trial.Session{ID: id})
		form := 0.02 * r.NormFloat64()
		of := map[rune]float64{}
		for place, shoe := range d.orders[i%len(d.orders)] {
			if _, met := of[shoe]; !met {
				of[shoe] = d.day * r.NormFloat64()
				s.onTheDay[string(shoe)] = of[shoe]
			}
			midpoint := float64(place * minutes * 60)
			off := powerSD * r.NormFloat64()
			y := meanLogV + form + of[shoe] + d.drift*midpoint/3600 + off + blockSD*r.NormFloat64()
			if r.Float64() < d.lost {
				continue
			}
			s.observations = append(s.observations, observation(id, string(shoe), place, midpoint, off, y))
		}
	}
	return s
}

func observation(session, shoe string, place int, midpoint, off, y float64) compare.Observation {
	o := compare.Observation{
		Session: session, Date: session, Runner: "runner", Block: fmt.Sprint(place + 1), Shoe: shoe, Order: place + 1,
		Effort: trial.Power, Target: target, MeanEffort: target * math.Exp(off), Midpoint: midpoint,
	}
	for i := range o.Outcomes {
		o.Outcomes[i] = units.Missing
	}
	o.Outcomes[trial.Speed] = math.Exp(y)
	return o
}
