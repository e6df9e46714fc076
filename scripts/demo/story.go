package main

import "soletrial/pipeline/trial"

// storySeed makes the committed dataset.
const storySeed = 20260307

// The invented world. Mass, plate, expected km and price of a real shoe had no part in it;
// the names were chosen because no shoe bears them.
var shoes = []shoe{
	{id: "fennock", label: "Fennock", massG: 214, heel: 38, forefoot: 30, plate: "carbon", wornKm: 46, expectedKm: 600,
		price: 229, obtained: "bought", speed: 1.026, contact: 1.012, bounce: 1.03, sensor: 1.004, comfort: 68},
	{id: "oversley", label: "Oversley", massG: 246, heel: 34, forefoot: 26, plate: "none", wornKm: 212, expectedKm: 900,
		price: 139, obtained: "bought", speed: 1.007, contact: 1.0, bounce: 1.0, sensor: 1.0, comfort: 74},
	{id: "quenby", label: "Quenby", massG: 229, heel: 36, forefoot: 29, plate: "nylon", wornKm: 88, expectedKm: 600,
		price: 239, obtained: "lent by a club mate", speed: 1.016, contact: 1.006, bounce: 1.015, sensor: 1.003,
		comfort: 61},
	{id: "tarrow", label: "Tarrow", massG: 283, heel: 32, forefoot: 22, plate: "none", wornKm: 405, expectedKm: 900,
		price: 119, obtained: "bought", speed: 1, contact: 0.995, bounce: 0.985, sensor: 0.998, comfort: 79},
}

// shoe is an invented shoe: what the register says of it, and the factors that
// the simulation gives it over the last of the list.
type shoe struct {
	id, label          string
	massG              float64
	heel, forefoot     float64
	plate, obtained    string
	wornKm, expectedKm float64
	price              float64 // EUR
	speed              float64 // at equal power
	contact, bounce    float64 // contact time and vertical oscillation
	sensor             float64 // what the foot sensor reads for its step length
	comfort            float64 // mm
}

func shoeNamed(id string) shoe {
	for _, s := range shoes {
		if s.id == id {
			return s
		}
	}
	panic("the story has no shoe " + id)
}

// lapM is a lap of the track.
const lapM = 400

// outing is one session of the story.
type outing struct {
	id, start    string
	venue        string
	effort       trial.Effort
	target       float64    // W, s/km or bpm
	order        []string   // that was run; where there is none, what the plan drew
	plan         *intention // where the session was planned
	blockS       float64
	restS        float64
	airC, wind   float64
	humidity     float64
	sky, surface string
	day          float64 // the runner's form that day, factor on speed
	laboratory   bool    // no recording; means written by hand
	metresNoted  bool    // the ground distance is written down in metres, not in laps
	fault        *fault
	deviations   []string
	notes        string
}

// intention is what goes into a plan: the order follows by the seed.
type intention struct {
	seed   uint64
	shoes  []string
	blocks int
	start  string // of the warm-up, by the clock on the wall
}

// fault is what went wrong with the foot sensor in one block.
type fault struct {
	block      int     // counting from 1
	stepLength float64 // factor on its step length
	dropout    float64 // share of samples lost
	reason     string  // what the runner wrote down
}

const (
	track     = "millmere-track"
	treadmill = "millmere-hall"
)

var story = []outing{
	{
		id: "2026-03-07-power", start: "09:10:00+01:00", venue: track, effort: trial.Power, target: 268, blockS: 330,
		restS: 150,
		order: []string{"tarrow", "fennock", "fennock", "tarrow", "fennock", "tarrow", "tarrow", "fennock"},
		airC:  7.5, humidity: 71, wind: 1.4, sky: "overcast", surface: "dry", day: 1.0, metresNoted: true,
		notes: "First try of the protocol, two shoes only.",
	},
	{
		id: "2026-03-14-power", start: "09:05:00+01:00", venue: track, effort: trial.Power, target: 268, blockS: 330,
		restS: 150,
		order: []string{"oversley", "quenby", "tarrow", "fennock", "fennock", "tarrow", "quenby", "oversley"},
		airC:  9, humidity: 64, wind: 0.8, sky: "sun and cloud", surface: "dry", day: 1.004,
	},
	{
		id: "2026-03-21-pace", start: "09:20:00+01:00", venue: track, effort: trial.Pace, target: 246, blockS: 390,
		restS: 150,
		order: []string{"fennock", "tarrow", "oversley", "quenby", "quenby", "oversley", "tarrow", "fennock"},
		airC:  8.5, humidity: 69, wind: 1.1, sky: "overcast", surface: "damp", day: 0.998,
		notes: "Pace held by a beep every 100 m.",
	},
	{
		id: "2026-03-28-power", start: "17:40:00+01:00", venue: track, effort: trial.Power, target: 268, blockS: 330,
		restS: 150,
		order: []string{"tarrow", "tarrow", "quenby", "quenby", "fennock", "fennock"},
		plan:  &intention{12, []string{"fennock", "quenby", "tarrow"}, 6, "17:25"},
		airC:  13, humidity: 52, wind: 2.6, sky: "clear", surface: "dry", day: 0.996,
		deviations: []string{"The sheet was left at home, and the order made up on the spot: the two blocks of a " +
			"shoe were run one after the other to save changing."},
		notes: "Kept in the dataset as an example of an order that ties each shoe to a part of the session.",
	},
	{
		id: "2026-04-04-treadmill", start: "10:00:00+02:00", venue: treadmill, effort: trial.Pace, target: 246,
		blockS: 360, restS: 180,
		plan: &intention{19, []string{"fennock", "tarrow"}, 4, "09:45"}, laboratory: true,
		airC: 19.5, humidity: 45, sky: "indoors", surface: "belt at 1 %", day: 1.001,
		notes: "Belt speed and gas analysis read off by hand at the end of each block; no recording was kept.",
	},
	{
		id: "2026-04-11-power", start: "09:00:00+02:00", venue: track, effort: trial.Power, target: 268, blockS: 330,
		restS: 150,
		plan:  &intention{13, []string{"fennock", "oversley", "quenby", "tarrow"}, 8, "08:45"},
		airC:  11, humidity: 60, wind: 1.9, sky: "sun", surface: "dry", day: 1.007,
		fault: &fault{block: 2, stepLength: 1.13, dropout: 0.22,
			reason: "foot sensor had come loose on the laces"},
		deviations: []string{"Block 2: the foot sensor came loose and was fixed in the rest that followed."},
	},
	{
		id: "2026-04-18-heart-rate", start: "09:15:00+02:00", venue: track, effort: trial.HeartRate, target: 154,
		blockS: 420, restS: 150,
		plan: &intention{11, []string{"fennock", "oversley", "quenby", "tarrow"}, 8, "09:00"},
		airC: 12.5, humidity: 55, wind: 1.2, sky: "cloud", surface: "dry", day: 1.002,
	},
	{
		id: "2026-04-25-power", start: "09:00:00+02:00", venue: track, effort: trial.Power, target: 268, blockS: 330,
		restS: 150,
		plan:  &intention{16, []string{"fennock", "oversley", "quenby", "tarrow"}, 8, "08:45"},
		airC:  14, humidity: 58, wind: 1.0, sky: "sun", surface: "dry", day: 1.009,
	},
}
