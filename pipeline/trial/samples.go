package trial

import "soletrial/pipeline/units"

// Channel is one quantity of a recording.
type Channel int

// The channels of a recording, in their column order.
const (
	PowerW Channel = iota
	SpeedMps
	DistanceM
	CadenceSpm
	StepLengthM
	ContactMs
	OscillationCm
	HeartRateBpm
	AltitudeM
	AirC
	ChannelCount
)

// ChannelInfo describes a channel: its column, its label and unit for people,
// and the decimals it is written with.
type ChannelInfo struct {
	Column, Label, Unit string
	Decimals            int
}

var channels = [ChannelCount]ChannelInfo{
	{"power_w", "power", "W", 1},
	{"speed_mps", "speed", "m/s", 3},
	{"distance_m", "distance", "m", 2},
	{"cadence_spm", "cadence", "steps/min", 2},
	{"step_length_m", "step length", "m", 4},
	{"contact_ms", "contact time", "ms", 1},
	{"oscillation_cm", "vertical oscillation", "cm", 2},
	{"heart_rate_bpm", "heart rate", "bpm", 1},
	{"altitude_m", "altitude", "m", 1},
	{"air_c", "air temperature", "°C", 1},
}

// Info returns the description of c.
func (c Channel) Info() ChannelInfo { return channels[c] }

// ChannelNamed returns the channel whose column has the given name.
func ChannelNamed(column string) (Channel, bool) {
	for c := range ChannelCount {
		if channels[c].Column == column {
			return c, true
		}
	}
	return 0, false
}

// ElapsedColumn is the first column of every recording, seconds on the
// recording's own clock, written with ElapsedDecimals decimals.
const (
	ElapsedColumn   = "elapsed_s"
	ElapsedDecimals = 3
)

// MaxSamples is how many samples a recording may have, in whatever format it comes:
// more than four days at one a second.
const MaxSamples = 400_000

// Samples is one recording by column. Elapsed never decreases in a sound
// recording; quality reports where it does. Values[c] is nil when the recording
// has no such channel, else as long as Elapsed with NaN where blank.
type Samples struct {
	Elapsed []float64
	Values  [ChannelCount][]float64
}

// Len returns the number of samples.
func (s *Samples) Len() int { return len(s.Elapsed) }

// Has reports whether channel c holds at least one value.
func (s *Samples) Has(c Channel) bool {
	for _, v := range s.Values[c] {
		if units.Known(v) {
			return true
		}
	}
	return false
}

// Recording is one file of samples with the facts session.yaml gives about it.
type Recording struct {
	Fact    RecordingFact
	Samples *Samples
}

// Offset returns the seconds to add to Elapsed to get session time.
func (r *Recording) Offset() float64 {
	if units.Known(r.Fact.OffsetS) {
		return r.Fact.OffsetS
	}
	return 0
}

// Measure is a block mean that a person may write into blocks.csv, for sessions
// without recordings or for what no recording holds.
type Measure int

// The measures, in the order of their columns in blocks.csv.
const (
	MeasurePower Measure = iota
	MeasureSpeed
	MeasureHeartRate
	MeasureCadence
	MeasureStepLength
	MeasureContact
	MeasureOscillation
	MeasureOxygen
	MeasureCount
)
