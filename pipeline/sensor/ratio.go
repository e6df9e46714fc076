package sensor

import (
	"soletrial/pipeline/steady"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// The checks that need one recording only. Those between two devices are named
// after the channel and the two, such as "speed_mps watch/foot_sensor".
const (
	Ground = "ground" // sensor distance over ground distance
	Steps  = "steps"  // cadence x step length over speed
)

// OutcomeSet is a set of measured outcomes, one bit each.
type OutcomeSet uint32

// Ratio is one check of one block: 1 when both ways of knowing agree.
type Ratio struct {
	Block, Shoe string
	Check       string
	Outcomes    OutcomeSet // what the check tests
	Value       float64
}

// GroundRatio returns the block's sensor distance over its ground distance;
// missing without either.
func GroundRatio(b *steady.Summary) float64 { return b.SensorDistanceM / b.GroundDistanceM }

// StepRatio returns cadence x step length over speed, from block means; missing
// without one of them.
func StepRatio(b *steady.Summary) float64 {
	return units.StepProduct(b.Outcomes[trial.Cadence], b.Outcomes[trial.StepLength]) / b.Outcomes[trial.Speed]
}

// Session checks every block of a session: against the ground, cadence times step
// length against speed, and each recording that a channel is not taken from
// against the one it is taken from. Blocks are the summaries of the session's
// blocks. Checks come in this order, blocks within them in their own.
func Session(ds *trial.Dataset, session *trial.Session, recordings []trial.Recording, blocks []steady.Summary) []Ratio {
	var ratios []Ratio
	for i := range blocks {
		ratios = known(ratios, &blocks[i], Ground, speed, GroundRatio(&blocks[i]))
	}
	for i := range blocks {
		ratios = known(ratios, &blocks[i], Steps, speed|cadence|step, StepRatio(&blocks[i]))
	}
	sources := steady.Sources(ds.Facts.Method, recordings)
	for i := range recordings {
		r := &recordings[i]
		var alone []steady.Summary // the session as this recording alone has it
		for _, pair := range trial.ChannelMeans {
			if sources[pair.Channel] == nil || sources[pair.Channel] == r || r.Samples == nil ||
				!r.Samples.Has(pair.Channel) {
				continue
			}
			if alone == nil {
				alone = steady.Session(ds, session, recordings[i:i+1])
			}
			check := pair.Channel.Info().Column + " " + device(r) + "/" + device(sources[pair.Channel])
			for j := range blocks {
				ratios = known(ratios, &blocks[j], check, 1<<pair.Outcome,
					alone[j].Outcomes[pair.Outcome]/blocks[j].Outcomes[pair.Outcome])
			}
		}
	}
	return ratios
}

// known appends a ratio that is known to those of the block's shoe.
func known(ratios []Ratio, b *steady.Summary, check string, outcomes OutcomeSet, value float64) []Ratio {
	if !(value > 0) {
		return ratios
	}
	return append(ratios, Ratio{Block: b.Block, Shoe: b.Shoe, Check: check, Outcomes: outcomes, Value: value})
}

// device names a recording: its device, else its file.
func device(r *trial.Recording) string {
	if r.Fact.Device != "" {
		return r.Fact.Device
	}
	return r.Fact.File
}
