package main

import (
	"fmt"
	"math/rand/v2"
	"strconv"
	"time"

	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// shoe is an invented shoe: what it does to speed at equal power, in parts of
// ten thousand, and to contact time, ms.
type shoe struct {
	id, label      string
	massG          float64
	speed, contact int
}

var shoes = []shoe{
	{"alder", "Alder (invented)", 245, 10_000, 0}, {"birch", "Birch (invented)", 215, 10_120, -4},
	{"cedar", "Cedar (invented)", 230, 10_060, 2},
	{"damson", "Damson (invented)", 198, 10_150, -6}, {"elder", "Elder (invented)", 260, 9_960, 3},
	{"fir", "Fir (invented)", 222, 10_080, -1},
}

// register returns n shoes: those with names, then numbered ones. Each is as fast as one of
// those with names.
func register(n int) []shoe {
	all := make([]shoe, n)
	for i := range all {
		all[i] = shoes[i%len(shoes)]
		if i >= len(shoes) {
			all[i].id, all[i].label = fmt.Sprintf("shoe-%02d", i+1), fmt.Sprintf("Shoe %d (invented)", i+1)
		}
	}
	return all
}

const datasetYAML = `# Invented data: made by scripts/bulk from a seed. Nobody ran this.
title: Shoes over many sessions (invented, made for measuring)
description: Made-up runners, made-up shoes, made-up samples; they say nothing about any real shoe.
invented: true
licence: CC0-1.0
method:
  reference: alder
  races:
    - {distance_m: 10000, time: "41:30"}
`

// registers returns the files at the top of the dataset.
func registers(shoes []shoe) map[string][]byte {
	m := units.Missing
	var runners []trial.Runner
	for i, mass := range []float64{62, 67, 74} {
		id := "r" + strconv.Itoa(i+1)
		runners = append(runners, trial.Runner{ID: id, Label: "Runner " + strconv.Itoa(i+1) + " (invented)",
			MassKg: mass, HeightCm: 170 + 4*float64(i), LegLengthCm: m})
	}
	var rows []trial.Shoe
	for _, s := range shoes {
		rows = append(rows, trial.Shoe{ID: s.id, Label: s.label, MassG: s.massG, SizeEU: 43, HeelMm: m,
			ForefootMm: m, WornKm: 100, ExpectedKm: m, Price: m, Notes: "invented"})
	}
	return map[string][]byte{
		"dataset.yaml": []byte(datasetYAML),
		"runners.csv":  plaintext.AppendRunners(nil, runners),
		"shoes.csv":    plaintext.AppendShoes(nil, rows),
		"venues.csv": plaintext.AppendVenues(nil,
			[]trial.Venue{{ID: "loop", Label: "Millmere loop (invented)", Kind: "track", LapM: 400, Lane: 1,
				AltitudeM: 85}}),
	}
}

// efforts are what the sessions hold in turn; most hold one power.
var efforts = []struct {
	effort trial.Effort
	target float64
	text   string
}{
	{trial.Power, 250, "250"}, {trial.Power, 250, "250"}, {trial.Power, 280, "280"}, {trial.Power, 250, "250"},
	{trial.Power, 250, "250"}, {trial.Pace, 270, "4:30"}, {trial.Power, 250, "250"},
}

// session returns the files of session i, one a day.
func session(i int, want size, shoes []shoe, seed uint64) map[string][]byte {
	day := time.Date(1990, 1, 1, 0, 0, 0, 0, time.UTC).AddDate(0, 0, i).Format("2006-01-02")
	held := efforts[i%len(efforts)]
	rng := rand.New(rand.NewPCG(seed, uint64(i)))
	r := newRun(rng, held.effort, held.target)
	blocks := r.all(order(rng, want.minutes, shoes), want.minutes*60, held.target)
	yaml := fmt.Sprintf("# Invented data.\ndate: %s\nstart: \"09:00\"\nrunner: r%d\nvenue: loop\neffort: %s\ntarget: "+
		"\"%s\"\nprotocol:\n  warm_up_s: 900\nconditions:\n  surface: synthetic track\n  air_c: %d\n  wind_mps: "+
		"1\nrecordings:\n  - file: foot_sensor.csv\n    device: foot_sensor\n    mount: left shoe\n    offset_s: 0\n",
		day, i%want.runners+1, held.effort, held.text, 10+i%9)
	folder := "sessions/" + day + "/"
	return map[string][]byte{
		folder + "session.yaml":    []byte(yaml),
		folder + "blocks.csv":      plaintext.AppendBlocks(nil, held.effort, held.target, blocks),
		folder + "foot_sensor.csv": plaintext.AppendSamples(nil, &r.samples),
	}
}

// order returns the shoes of the blocks, there and back: four shoes in eight
// blocks, or two in four where there is less time.
func order(rng *rand.Rand, minutes int, shoes []shoe) []shoe {
	n := min(4, len(shoes))
	if minutes < 40 {
		n = 2
	}
	first := rng.IntN(len(shoes))
	var there []shoe
	for k := range n {
		there = append(there, shoes[(first+k)%len(shoes)])
	}
	for k := range n {
		there = append(there, there[n-1-k])
	}
	return there
}
