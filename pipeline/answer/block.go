package answer

import (
	"strings"

	"soletrial/pipeline/decide"
	"soletrial/pipeline/stats"
	"soletrial/pipeline/trial"
)

// Means are the means of one block over one steady window, missing where there is none.
// Effort is the mean of what was held, in the unit of its target.
type Means struct{ Speed, HeartRate, Effort float64 }

// Source is where a channel of a block comes from.
type Source struct {
	// Device names the recording's device; "" for numbers written by hand.
	Device string
	// OnShoe is true for a sensor on the shoe, and where nobody said that it was not.
	OnShoe bool
}

// notOnShoe are words of a mount that say that a sensor was not on the shoe.
var notOnShoe = []string{"wrist", "chest", "arm", "waist", "belt", "head", "hand", "treadmill", "pocket"}

// SourceOf tells where a recording's channels come from. A watch often records what a
// sensor on the shoe sends, so only the mount can say that it does not.
func SourceOf(fact trial.RecordingFact) Source {
	s := Source{Device: fact.Device, OnShoe: true}
	if s.Device == "" {
		s.Device = fact.File
	}
	for _, word := range notOnShoe {
		if strings.Contains(strings.ToLower(fact.Mount), word) {
			s.OnShoe = false
		}
	}
	return s
}

// Block is one included block of a session.
type Block struct {
	Session, Date, Runner, ID, Shoe string
	Effort                          trial.Effort
	Target                          float64 // in the unit of the effort; missing where none is stated
	Midpoint                        float64 // session seconds; missing without times
	Order                           int     // place in the session, 1 first
	Speed, Power                    Source
	// Sensor names what gave the speed, where blocks of one device had several sensors.
	Sensor string
	// GroundM and SensorM are the distances of the whole block, measured on the ground and by
	// the recording.
	GroundM, SensorM float64
	// Windows are the means over each window of [decide.Windows]; only the first, the
	// published one, must be there.
	Windows []Means
}

// outcome returns what is compared of a block: speed or heart rate.
func (m Means) outcome(o trial.Outcome) float64 {
	if o == trial.Heart {
		return m.HeartRate
	}
	return m.Speed
}

// modelBlocks returns the blocks of one window as the model takes them, and which of the
// given blocks they are; a block without the outcome is left out.
func modelBlocks(blocks []Block, window int, o trial.Outcome) (sensed []decide.SensedBlock, which []int) {
	sensed, which = make([]decide.SensedBlock, 0, len(blocks)), make([]int, 0, len(blocks))
	var levels trial.Levels
	for i := range blocks {
		b := &blocks[i]
		if window >= len(b.Windows) || !(b.Windows[window].outcome(o) > 0) {
			continue
		}
		m := b.Windows[window]
		sensed = append(sensed, decide.SensedBlock{Sensor: b.sensor(), Block: decide.Block{
			Session: b.Session, Level: levels.Name(b.Effort, b.Target), Runner: b.Runner, Shoe: b.Shoe,
			Y: stats.Log(m.outcome(o)), TimeH: b.Midpoint / 3600, X: b.Effort.LogRatio(m.Effort, b.Target),
		}})
		which = append(which, i)
	}
	return sensed, which
}

// sensor names what gave a block's speed.
func (b *Block) sensor() string {
	if b.Sensor != "" {
		return b.Sensor
	}
	return b.Speed.Device
}

// groundBlocks returns the blocks whose distance was measured on the ground.
func groundBlocks(blocks []Block) (ground []decide.GroundBlock) {
	for i := range blocks {
		b := &blocks[i]
		if b.Speed.Device == "" || !(b.GroundM > 0) || !(b.SensorM > 0) {
			continue
		}
		ground = append(ground, decide.GroundBlock{Session: b.Session, Shoe: b.Shoe, Sensor: b.sensor(),
			LogRatio: stats.Log(b.GroundM / b.SensorM), GroundM: b.GroundM})
	}
	return ground
}

// Model returns the blocks of the effort as the published analysis takes them, corrected for
// the sensor by the ground, for whoever asks what further blocks would do.
func (e *Effort) Model() []decide.Block {
	sensed, _ := modelBlocks(e.blocks, 0, e.Outcome)
	return e.Sensing.Correct(sensed, decide.SharedUnknown)
}
