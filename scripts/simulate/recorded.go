package main

import (
	"fmt"
	"math"
	"math/rand/v2"

	"soletrial/pipeline/decide"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// recordedDesign is a kind of trial of two shoes that is simulated down to the samples of its
// recordings and then goes through everything: steady windows, findings, ground distances,
// sensors, answer and evidence. B is the shoe with whatever is wrong or better.
type recordedDesign struct {
	name     string
	effort   trial.Effort
	sessions int
	orders   []string // one for each session, in turn
	// advantage is by how much B is faster at the same power or heart rate, and, by the
	// exponent of heart rate over speed, easier at the same pace. A logarithm, as all below.
	advantage float64
	// The foot sensor reads so much long in B, and the power so much high.
	speedError, powerError float64
	// powerBy is what the power comes from.
	powerBy powerSource
	// ground is true where the distance of every block was measured.
	ground bool
	// uneven is how much harder B was run, in pace or heart rate.
	uneven float64
	// warmUp is how much slower a runner is at the start of a session; it fades over ten minutes.
	warmUp float64
	// limit is what the design is held to.
	limit limit
}

// powerSource is where the held power comes from.
type powerSource int

const (
	footSensor powerSource = iota // the device that gives the speed
	otherOnShoe
	offShoe
)

// limit is the share of trials in which something may, or must, come up.
type limit struct {
	what  string // in the words of the table
	of    func(recordedTrial) bool
	most  float64 // NaN where there is a least instead
	least float64
}

// recordedTrial is what one simulated trial comes to.
type recordedTrial struct {
	status   decide.Status
	named    string // the shoe that is said to be the fastest, "" for none
	evidence decide.Evidence
}

// How blocks and days vary, as standard deviations of logarithms: as a careful runner's do.
const (
	recordedBlockSD, recordedDaySD = 0.009, 0.004
	heartBlockSD, heartDaySD       = 0.012, 0.005
	sampleSD                       = 0.005 // of one sample about the mean of its block
	heldSD                         = 0.008 // of what was held about its target
	sampleS                        = 15
	recordedBlockS, recordedRestS  = 300, 240
	warmUpFadesS                   = 600
	readingM                       = 1 // error of a distance on the ground
)

// What is held and what the runner is like.
const (
	heldPowerW, heldSpeedMps, heldHeartBpm = 270, 4.0, 150
)

// dataset simulates one trial.
func (d recordedDesign) dataset(r *rand.Rand) (*trial.Dataset, []derive.SessionResult) {
	ds := &trial.Dataset{
		Runners: []trial.Runner{{ID: "runner", MassKg: units.Missing, HeightCm: units.Missing}},
		Facts:   trial.DatasetFacts{Method: trial.DefaultMethod(), Limits: trial.DefaultLimits()},
	}
	ds.Facts.Limits.GapS = 2 * sampleS
	for _, id := range []string{"A", "B"} {
		ds.Shoes = append(ds.Shoes, trial.Shoe{ID: id, MassG: units.Missing, SizeEU: units.Missing,
			WornKm: units.Missing, HeelMm: units.Missing, ForefootMm: units.Missing})
	}
	body := d.body(r)
	for s := range d.sessions {
		ds.Sessions = append(ds.Sessions, trial.Session{ID: fmt.Sprint("day ", s+1), Facts: d.facts(s)})
	}
	results := make([]derive.SessionResult, d.sessions)
	for s := range d.sessions {
		session := &ds.Sessions[s]
		recordings := d.run(body, session, d.orders[s%len(d.orders)], r)
		results[s] = derive.Session(ds, session, recordings)
	}
	return ds, results
}

// facts are those of a session.
func (d recordedDesign) facts(s int) trial.SessionFacts {
	target := map[trial.Effort]string{trial.Power: fmt.Sprint(heldPowerW), trial.HeartRate: fmt.Sprint(heldHeartBpm),
		trial.Pace: units.FormatPace(1000 / heldSpeedMps)}
	facts := trial.SessionFacts{Date: fmt.Sprintf("2026-05-%02d", s+1), Runner: "runner", Effort: string(d.effort),
		Target: target[d.effort]}
	m := units.Missing
	facts.Conditions = trial.Conditions{AirC: m, HumidityPct: m, PressureHpa: m, WindMps: m, WbgtC: m}
	return facts
}

// exponents are how a body answers to effort.
type exponents struct{ speedByPower, heartByPower, heartBySpeed, speedByHeart float64 }

// body draws a runner: the exponents differ from one to the next as the priors say.
func (d recordedDesign) body(r *rand.Rand) exponents {
	e := trial.DefaultMethod().Prior.Exponents
	draw := func(of trial.PriorExponent) float64 { return of.Mean + of.SD*r.NormFloat64() }
	return exponents{draw(e.PowerSpeed), draw(e.PowerHeartRate), draw(e.PaceHeartRate), draw(e.HeartRateSpeed)}
}

// run simulates one session and returns its recordings.
func (d recordedDesign) run(body exponents, session *trial.Session, order string, r *rand.Rand) []trial.Recording {
	var devices devices
	speedForm, heartForm := 0.02*r.NormFloat64(), 0.02*r.NormFloat64()
	speedDrift, heartDrift := 0.01*r.NormFloat64(), 0.02*r.NormFloat64()
	speedDay, heartDay := map[rune]float64{}, map[rune]float64{}
	for _, shoe := range "AB" {
		speedDay[shoe], heartDay[shoe] = recordedDaySD*r.NormFloat64(), heartDaySD*r.NormFloat64()
	}
	for place, shoe := range order {
		start := float64(600 + place*(recordedBlockS+recordedRestS))
		middle := start + recordedBlockS/2
		// What is true of the block, on this day and at this time of it.
		b := d.block(body, shoe, r)
		b.speed += speedForm + speedDay[shoe] + speedDrift*middle/3600 - d.warmUp*math.Exp(-middle/warmUpFadesS)
		b.heart += heartForm + heartDay[shoe] + heartDrift*middle/3600
		switch d.effort {
		case trial.Pace:
			b.speed = b.held // nothing but the runner's pace makes it
		case trial.HeartRate:
			b.heart = b.held
		}
		// What the devices and the person with them write down.
		ground := heldSpeedMps * math.Exp(b.speed) * recordedBlockS
		session.Blocks = append(session.Blocks, d.written(place, shoe, start, ground, r))
		if shoe == 'B' {
			b.speed += d.speedError
		}
		devices.record(start, b, r)
	}
	return devices.recordings(d.powerBy)
}

// devices are what the foot sensor, a watch and the source of the power recorded.
type devices struct{ speed, heart, power trial.Samples }

// record adds the samples of a block with the given means.
func (v *devices) record(start float64, means logs, r *rand.Rand) {
	for t := start; t < start+recordedBlockS; t += sampleS {
		sample := func(s *trial.Samples, c trial.Channel, mean float64) {
			s.Elapsed = append(s.Elapsed, t)
			s.Values[c] = append(s.Values[c], mean*(1+sampleSD*r.NormFloat64()))
		}
		sample(&v.speed, trial.SpeedMps, heldSpeedMps*math.Exp(means.speed))
		sample(&v.heart, trial.HeartRateBpm, heldHeartBpm*math.Exp(means.heart))
		sample(&v.power, trial.PowerW, heldPowerW*math.Exp(means.power))
	}
}

// recordings puts the power where it comes from: into the foot sensor's recording, or its own.
func (v *devices) recordings(by powerSource) []trial.Recording {
	recording := func(device, mount string, samples *trial.Samples) trial.Recording {
		return trial.Recording{
			Fact:    trial.RecordingFact{File: device + ".csv", Device: device, Mount: mount, OffsetS: units.Missing},
			Samples: samples,
		}
	}
	foot, watch := recording("foot sensor", "shoe", &v.speed), recording("watch", "wrist", &v.heart)
	switch by {
	case otherOnShoe:
		return []trial.Recording{foot, watch, recording("power meter", "shoe", &v.power)}
	case offShoe:
		return []trial.Recording{foot, watch, recording("power meter", "waist", &v.power)}
	}
	v.speed.Values[trial.PowerW] = v.power.Values[trial.PowerW]
	return []trial.Recording{foot, watch}
}

// logs are logarithms of what is true of a block over what is usual; power is what is shown.
type logs struct{ held, power, speed, heart float64 }

// block simulates a block but for the day.
func (d recordedDesign) block(body exponents, shoe rune, r *rand.Rand) logs {
	var b logs
	advantage := 0.0
	b.held = heldSD * r.NormFloat64()
	if shoe == 'B' {
		advantage = d.advantage
		b.held += d.uneven
	}
	speedNoise, heartNoise := recordedBlockSD*r.NormFloat64(), heartBlockSD*r.NormFloat64()
	switch d.effort {
	case trial.Power:
		b.power = b.held
		work := b.power // what the runner gives
		if shoe == 'B' {
			work -= d.powerError
		}
		b.speed = body.speedByPower*work + advantage + speedNoise
		b.heart = body.heartByPower*work + heartNoise
	case trial.Pace:
		b.heart = body.heartBySpeed*(b.held-advantage) + heartNoise
		b.power = b.held
	case trial.HeartRate:
		b.speed = body.speedByHeart*b.held + advantage + speedNoise
		b.power = b.speed
	}
	return b
}

// written is the block as blocks.csv has it.
func (d recordedDesign) written(place int, shoe rune, start, ground float64, r *rand.Rand) trial.Block {
	m := units.Missing
	b := trial.Block{ID: fmt.Sprint(place + 1), Shoe: string(shoe), Start: start, End: start + recordedBlockS,
		DistanceM: m, Laps: m, RPE: m, ComfortMm: m}
	b.Target = map[trial.Effort]float64{trial.Power: heldPowerW, trial.HeartRate: heldHeartBpm,
		trial.Pace: 1000 / heldSpeedMps}[d.effort]
	for i := range b.Measured {
		b.Measured[i] = m
	}
	if d.ground {
		b.DistanceM = math.Round(ground + readingM*r.NormFloat64())
	}
	return b
}
