package site

import (
	"math"

	"soletrial/pipeline/derive"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// fixture is an invented dataset of four shoes and six sessions with a recording
// each, derived for real. The wiggle in it is a fixed sequence, not chance.
type fixture struct {
	ds         *trial.Dataset
	recordings map[string][]trial.Recording
}

func newFixture() *fixture {
	f := &fixture{ds: &trial.Dataset{}, recordings: map[string][]trial.Recording{}}
	method := trial.DefaultMethod()
	method.Reference = "harrow"
	method.Races = []trial.Race{{DistanceM: 10000, Time: "42:00"}, {DistanceM: 42195, Time: "3:20:00"}}
	f.ds.Facts = trial.DatasetFacts{
		Title: "Four shoes on one track", Description: "Made up to test the pages.", Invented: true,
		Licence:      "CC-BY-4.0",
		Contributors: []trial.Contributor{{Name: "A. N. Other", Role: "runner"}}, Disclosure: "All four pairs are " +
			"invented.", Method: method, Limits: trial.DefaultLimits(),
	}
	f.ds.Runners = []trial.Runner{{ID: "runner", Label: "The runner", MassKg: 66, HeightCm: 176,
		LegLengthCm: units.Missing}}
	f.ds.Shoes = []trial.Shoe{
		{ID: "brindle", Label: "Brindle Low", MassG: 212, SizeEU: 43, HeelMm: 33, ForefootMm: 25, Plate: "none",
			WornKm: 140, ExpectedKm: units.Missing, Price: units.Missing},
		{ID: "harrow", Label: "Harrow", MassG: 268, SizeEU: 43, HeelMm: 34, ForefootMm: 26, Plate: "none", WornKm: 320,
			ExpectedKm: units.Missing, Price: units.Missing},
		{ID: "kestrel", Label: "Kestrel Longford Distance", MassG: 231, SizeEU: 43, HeelMm: 39, ForefootMm: 31,
			Plate: "carbon", WornKm: 45, ExpectedKm: units.Missing, Price: units.Missing},
		{ID: "quill", Label: "Quill", MassG: units.Missing, SizeEU: 42.5, HeelMm: units.Missing, ForefootMm: 28,
			WornKm: units.Missing, ExpectedKm: units.Missing, Price: units.Missing},
	}
	f.ds.Venues = []trial.Venue{{ID: "mill", Label: "Mill Lane track", Kind: "track", LapM: 400}}
	orders := [][]string{
		{"harrow", "kestrel", "kestrel", "harrow", "brindle", "brindle"}, {"brindle", "harrow", "kestrel", "kestrel",
			"harrow", "brindle"},
		{"kestrel", "brindle", "harrow", "harrow", "brindle", "kestrel"}, {"harrow", "kestrel", "brindle", "quill",
			"kestrel", "harrow"},
		{"quill", "harrow", "harrow", "quill"}, {"harrow", "harrow", "kestrel", "kestrel"},
	}
	for i, order := range orders {
		f.session(i, order)
	}
	return f
}

var gain = map[string]float64{"harrow": 1, "brindle": 1.006, "kestrel": 1.024, "quill": 1.019}

// wiggle is a sequence in -1..1 that repeats only after a long while.
func wiggle(n int) float64 { return math.Mod(float64(n)*0.6180339887498949, 1)*2 - 1 }

func (f *fixture) session(i int, order []string) {
	id := "s" + string(rune('1'+i))
	facts := trial.SessionFacts{
		Date: "2031-0" + string(rune('3'+i)) + "-14", Start: "18:30", Runner: "runner", Venue: "mill", Effort: "power",
		Target: "270",
		Protocol: trial.Protocol{BlockS: 420, RestS: 180, WarmUpS: 900, Display: "power only",
			Sensor: "left shoe, same lace hole"},
		Conditions: trial.Conditions{AirC: 12.5, HumidityPct: 60, PressureHpa: units.Missing, WindMps: 1.5,
			WbgtC: units.Missing, Sky: "cloud", Surface: "dry"},
		Recordings: []trial.RecordingFact{{File: "foot_sensor.csv", Device: "foot_sensor", Mount: "left shoe",
			OffsetS: units.Missing, SourceFormat: "csv"}},
		Deviations: []string{"Lane 2 for one lap of block 3."}, Notes: "Felt fine.\nA dog crossed the track.",
	}
	session := trial.Session{ID: id, Facts: facts}
	samples := &trial.Samples{}
	for c := range samples.Values {
		if channel := trial.Channel(c); channel != trial.AltitudeM && channel != trial.AirC &&
			channel != trial.DistanceM {
			samples.Values[c] = []float64{}
		}
	}
	for n, shoe := range order {
		start := 900 + float64(n)*600
		b := trial.Block{ID: string(rune('1' + n)), Shoe: shoe, Start: start, End: start + 420, Target: 270,
			DistanceM: units.Missing, Laps: units.Missing, RPE: 6, ComfortMm: 60 + 10*wiggle(n)}
		for m := range b.Measured {
			b.Measured[m] = units.Missing
		}
		if i == 1 && n == 2 {
			b.Excluded, b.Reason = true, "shoelace came undone"
		}
		session.Blocks = append(session.Blocks, b)
	}
	for t := 0.0; t < 900+float64(len(order))*600; t++ {
		f.sample(samples, &session, i, t)
	}
	f.ds.Sessions = append(f.ds.Sessions, session)
	f.recordings[id] = []trial.Recording{{Fact: facts.Recordings[0], Samples: samples}}
}

func (f *fixture) sample(s *trial.Samples, session *trial.Session, i int, t float64) {
	if math.Mod(t, 600) > 300 && math.Mod(t, 600) < 312 && i == 2 {
		return // a gap
	}
	speed, power, heart := 2.2, 150.0, 118.0
	n := int(t)
	for k, b := range session.Blocks {
		if t >= b.Start && t < b.End {
			power = 270 + 4*wiggle(i*31+k*7) + 6*wiggle(n)
			speed = 3.6*gain[b.Shoe]*(power/270)*(1+0.004*wiggle(i*17+k*5)) + 0.05*wiggle(3*n)
			heart = 166 - 42*math.Exp(-(t-b.Start)/57.6) + float64(k) + wiggle(7*n)
		}
	}
	s.Elapsed = append(s.Elapsed, t)
	cadence := 150 + 8*speed
	for c, v := range map[trial.Channel]float64{
		trial.PowerW: power, trial.SpeedMps: speed, trial.CadenceSpm: cadence,
		trial.StepLengthM: 1.001 * speed / cadence * 60,
		trial.ContactMs:   330 - 28*speed, trial.OscillationCm: 8.5 + 0.3*wiggle(5*n), trial.HeartRateBpm: heart,
	} {
		s.Values[c] = append(s.Values[c], v)
	}
}

// input derives the fixture and makes a site's input of it.
func (f *fixture) input() Input {
	var results []derive.SessionResult
	for i := range f.ds.Sessions {
		session := &f.ds.Sessions[i]
		results = append(results, derive.Session(f.ds, session, f.recordings[session.ID]))
	}
	in := Input{
		Result:     derive.FromSessions(f.ds, results, nil, 1),
		Recordings: func(s *trial.Session) ([]trial.Recording, []trial.Problem) { return f.recordings[s.ID], nil },
		Files: []File{{Path: "dataset.yaml", Text: []byte("title: x\n")},
			{Path: "shoes.csv", Text: []byte("id,label\n")}},
		Twins:   []File{{Path: "dataset.json", Text: []byte("{}\n")}},
		Program: Program{Version: "0.1.0", SHA256: "0123456789abcdef", Go: "go1.26", Identity: []byte("{}\n")},
	}
	for _, s := range f.ds.Sessions {
		in.Files = append(in.Files, File{Path: s.Folder() + "/foot_sensor.csv", Text: []byte("elapsed_s\n")},
			File{Path: s.Folder() + "/session.yaml", Text: []byte("date: 2031\n")})
		in.Twins = append(in.Twins, File{Path: s.Folder() + "/session.json", Text: []byte("{}\n")})
	}
	return in
}
