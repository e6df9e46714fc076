package main

import (
	"math"
	"math/rand/v2"

	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Chance in the story, as standard deviations of the logarithm of speed.
const (
	shoeDaySD = 0.0030 // how a shoe's advantage varies from day to day
	blockSD   = 0.0035 // what is left between blocks
	warmUp    = 120    // seconds of walking before the first block

	plannedWarmUp = 900
	runner        = "r1"
)

// dataset returns the files of the dataset by path.
func dataset(seed uint64) (map[string][]byte, error) {
	files := map[string][]byte{"dataset.yaml": []byte(datasetYAML)}
	m := units.Missing
	files["runners.csv"] = plaintext.AppendRunners(nil,
		[]trial.Runner{{ID: runner, Label: "Runner One (invented)", MassKg: massKg, HeightCm: heightCm,
			LegLengthCm: m}})
	files["venues.csv"] = plaintext.AppendVenues(nil, []trial.Venue{
		{ID: treadmill, Label: "Millmere sports hall (invented)", Kind: "treadmill", LapM: m, Lane: m, AltitudeM: 85},
		{ID: track, Label: "Millmere track (invented)", Kind: "track", LapM: lapM, Lane: 1, AltitudeM: 85},
	})
	var register []trial.Shoe
	for _, s := range shoes {
		register = append(register, trial.Shoe{ID: s.id, Label: s.label, MassG: s.massG, SizeEU: 43, HeelMm: s.heel,
			ForefootMm: s.forefoot, Plate: s.plate, WornKm: s.wornKm, ExpectedKm: s.expectedKm,
			Price: s.price, Currency: "EUR", Obtained: s.obtained, Notes: "invented"})
	}
	files["shoes.csv"] = plaintext.AppendShoes(nil, register)
	for i := range story {
		o := story[i]
		if err := addPlan(files, &o); err != nil {
			return nil, err
		}
		addOuting(files, &o, rand.New(rand.NewPCG(seed, uint64(i))))
	}
	return files, nil
}

func addOuting(files map[string][]byte, o *outing, rng *rand.Rand) {
	folder := "sessions/" + o.id + "/"
	files[folder+"session.yaml"] = sessionYAML(o)
	advantage := map[string]float64{}
	for _, s := range shoes { // in the order of the list, so that chance falls the same way every time
		advantage[s.id] = 1 + float64(shoeDaySD*rng.NormFloat64())
	}
	day := &recorder{outing: o, rng: rng, body: newBody(rng)}
	day.wait(warmUp)
	for i, id := range o.order {
		day.block(i+1, shoeNamed(id), advantage[id]*(1+float64(blockSD*rng.NormFloat64())))
		day.wait(o.restS)
	}
	files[folder+"blocks.csv"] = plaintext.AppendBlocks(nil, o.effort, o.target, day.blocks)
	if !o.laboratory {
		files[folder+"foot_sensor.csv"] = plaintext.AppendSamples(nil, &day.foot)
		files[folder+"watch.csv"] = plaintext.AppendSamples(nil, &day.wrist)
	}
}

// recorder records one outing as it goes.
type recorder struct {
	outing      *outing
	rng         *rand.Rand
	body        *body
	clock       float64
	foot, wrist trial.Samples
	blocks      []trial.Block
}

func (d *recorder) wait(seconds float64) {
	for range int(seconds) {
		d.record(d.body.walk(), 1, false)
	}
}

func (d *recorder) block(number int, s shoe, blockFactor float64) {
	o := d.outing
	start, startDistance := d.clock, d.body.distance
	step, dropout := 1.0, 0.0
	if o.fault != nil && o.fault.block == number {
		step, dropout = o.fault.stepLength, o.fault.dropout
	}
	var sums second
	for t := range int(o.blockS) {
		r := d.body.run(stride{o, s, blockFactor}, float64(t))
		d.record(r, step, d.rng.Float64() < dropout)
		if float64(t) >= o.blockS-120 {
			sums = add(sums, r)
		}
	}
	b := d.row(number, s, start)
	if o.laboratory {
		d.fillMeasured(&b, sums, s, blockFactor)
	} else {
		// Laps are counted, and the last one read off the marks on the kerb, one every 5 m.
		metres := 5 * math.Round((d.body.distance-startDistance)/5)
		if o.metresNoted {
			b.DistanceM = metres
		} else {
			b.Laps = metres / lapM
		}
	}
	d.blocks = append(d.blocks, b)
}

// row is what the runner writes down about a block.
func (d *recorder) row(number int, s shoe, start float64) trial.Block {
	b := trial.Block{ID: string(rune('0' + number)), Shoe: s.id, Start: start, End: start + d.outing.blockS,
		Target: d.outing.target, DistanceM: units.Missing, Laps: units.Missing}
	b.RPE = math.Round(11+float64(number)/4-10*(s.speed-1)+d.rng.NormFloat64()/3) / 2
	b.ComfortMm = math.Round(s.comfort + 3*d.rng.NormFloat64())
	if d.outing.fault != nil && d.outing.fault.block == number {
		b.Excluded, b.Reason = true, d.outing.fault.reason
	}
	for m := range b.Measured {
		b.Measured[m] = units.Missing
	}
	return b
}

// fillMeasured fills the means of a block run in the laboratory: the belt's speed,
// heart rate, and oxygen uptake by the metabolic equation of the American
// College of Sports Medicine, 3.5 + 0.2 S (S in m/min), at what the shoe costs.
func (d *recorder) fillMeasured(b *trial.Block, sums second, s shoe, blockFactor float64) {
	speed := units.Pace(d.outing.target)
	b.Measured[trial.MeasureSpeed] = units.Round(speed, 4)
	b.Measured[trial.MeasureHeartRate] = units.Round(sums.heart/120, 1)
	oxygen := (3.5 + float64(12*speed)) / (s.speed * blockFactor) * (1 + float64(0.004*d.rng.NormFloat64()))
	b.Measured[trial.MeasureOxygen] = units.Round(oxygen, 2)
	b.Measured[trial.MeasureCadence] = units.Round(sums.cadence/120, 1)
}

func add(a, b second) second {
	a.heart += b.heart
	a.cadence += b.cadence
	return a
}

// record appends one second to both devices. The foot sensor reads the step
// length with a factor when it sits loose, and nothing when it drops out.
func (d *recorder) record(r second, stepFactor float64, lost bool) {
	foot := []struct {
		channel trial.Channel
		value   float64
	}{{trial.PowerW, r.power}, {trial.SpeedMps, r.speed}, {trial.DistanceM, r.distance}, {trial.CadenceSpm, r.cadence},
		{trial.StepLengthM, r.step * stepFactor}, {trial.ContactMs, r.contact}, {trial.OscillationCm, r.bounce}}
	d.foot.Elapsed = append(d.foot.Elapsed, d.clock)
	for _, f := range foot {
		value := f.value
		if lost {
			value = units.Missing
		}
		d.foot.Values[f.channel] = append(d.foot.Values[f.channel], tidy(f.channel, value))
	}
	d.wrist.Elapsed = append(d.wrist.Elapsed, d.clock)
	d.wrist.Values[trial.HeartRateBpm] = append(d.wrist.Values[trial.HeartRateBpm], units.Round(r.heart, 0))
	d.clock++
}

// tidy rounds to what a sensor sends: whole watts, steps and milliseconds.
func tidy(c trial.Channel, v float64) float64 {
	switch c {
	case trial.PowerW, trial.ContactMs:
		return units.Round(v, 0)
	case trial.CadenceSpm:
		return units.Round(2*v, 0) / 2
	case trial.StepLengthM:
		return units.Round(v, 3)
	}
	return v
}
