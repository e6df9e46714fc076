package recording

import (
	"fmt"
	"strings"

	"github.com/muktihari/fit/profile/untyped/fieldnum"
	"github.com/muktihari/fit/proto"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// recordField is a field of the record message as the FIT profile defines it: a
// raw value r means r/scale-offset in the given unit.
type recordField struct {
	num           byte
	name          string // in the profile
	scale, offset float64
}

// channelFields lists, by channel, the fields that hold it, the finest first;
// where several hold a value in one record the first counts. From the FIT
// profile, message record (20). Cadence has its own rule, see cadence.
var channelFields = [trial.ChannelCount]struct {
	unit   string
	fields []recordField
}{
	trial.PowerW: {"w", []recordField{{fieldnum.RecordPower, "power", 1, 0}}},
	trial.SpeedMps: {
		"m/s",
		[]recordField{
			{fieldnum.RecordEnhancedSpeed, "enhanced_speed", 1000, 0}, {fieldnum.RecordSpeed, "speed", 1000, 0},
			{packedSpeed, "compressed_speed_distance", 100, 0},
		},
	},
	trial.DistanceM: {
		"m",
		[]recordField{
			{fieldnum.RecordDistance, "distance", 100, 0}, {packedDistance, "compressed_speed_distance", 16, 0},
		},
	},
	trial.CadenceSpm: {
		"rpm",
		[]recordField{{fieldnum.RecordCadence, "cadence", 1, 0}, {fieldnum.RecordCadence256, "cadence256", 256, 0}},
	},
	trial.StepLengthM:   {"mm", []recordField{{fieldnum.RecordStepLength, "step_length", 10, 0}}},
	trial.ContactMs:     {"ms", []recordField{{fieldnum.RecordStanceTime, "stance_time", 10, 0}}},
	trial.OscillationCm: {"mm", []recordField{{fieldnum.RecordVerticalOscillation, "vertical_oscillation", 10, 0}}},
	trial.HeartRateBpm:  {"bpm", []recordField{{fieldnum.RecordHeartRate, "heart_rate", 1, 0}}},
	trial.AltitudeM: {
		"m",
		[]recordField{
			{fieldnum.RecordEnhancedAltitude, "enhanced_altitude", 5, 500},
			{fieldnum.RecordAltitude, "altitude", 5, 500},
		},
	},
	trial.AirC: {"c", []recordField{{fieldnum.RecordTemperature, "temperature", 1, 0}}},
}

// Speed and distance that older devices pack into three bytes (field 8) are
// kept under numbers that no field of the profile has.
const (
	packedSpeed    = 250
	packedDistance = 251
)

// fractionScale is the scale of fractional_cadence (field 53).
const fractionScale = 128

// wanted marks the fields that are kept.
var wanted = func() (w [256]bool) {
	for _, c := range channelFields {
		for _, f := range c.fields {
			w[f.num] = f.num < packedSpeed
		}
	}
	w[fieldnum.RecordFractionalCadence] = true
	return w
}()

// nativeColumn gives a channel as the record's own fields have it.
func (m *messages) nativeColumn(p part, c trial.Channel) column {
	spec := channelFields[c]
	out := column{channel: c, unit: unitNamed(c, spec.unit), values: series(nil).between(p.lo, p.hi)}
	var used []string
	for _, f := range spec.fields {
		values := m.native[f.num].between(p.lo, p.hi)
		if c == trial.CadenceSpm && f.num == fieldnum.RecordCadence {
			addFraction(values, m.native[fieldnum.RecordFractionalCadence].between(p.lo, p.hi))
		}
		if fillFrom(out.values, values, f) {
			used = append(used, f.text())
		}
	}
	out.from = "record field " + strings.Join(used, " and ")
	return out
}

// fillFrom puts the field's values where dst has none yet and reports whether
// there were any.
func fillFrom(dst, values []float64, f recordField) bool {
	filled := false
	for i, v := range values {
		if !units.Known(dst[i]) && units.Known(v) {
			dst[i], filled = v/f.scale-f.offset, true
		}
	}
	return filled
}

// addFraction adds the fractional part that a cadence may have beside it.
func addFraction(cadence, fraction []float64) {
	for i, f := range fraction {
		if units.Known(f) {
			cadence[i] += f / fractionScale
		}
	}
}

func (f recordField) text() string {
	num := f.num
	if num >= packedSpeed {
		num = fieldnum.RecordCompressedSpeedDistance
	}
	return fmt.Sprintf("%d (%s)", num, f.name)
}

// packed unrolls the 12-bit distance of compressed_speed_distance.
type packed struct {
	started     bool
	last, total uint32
}

// addPacked unpacks three bytes into a speed of 12 bits (1/100 m/s) and a
// distance of 12 bits (1/16 m) that starts over after 256 m. The field is
// invalid only when all of its bytes are 0xFF.
func (m *messages) addPacked(i int, v proto.Value) {
	b := v.SliceUint8()
	if len(b) != 3 || b[0]&b[1]&b[2] == 0xFF {
		return
	}
	m.native[packedSpeed].set(i, float64(uint32(b[0])|uint32(b[1]&0x0F)<<8))
	distance := uint32(b[1])>>4 | uint32(b[2])<<4
	if m.rolled.started {
		m.rolled.total += (distance - m.rolled.last) & 0x0FFF
	} else {
		m.rolled = packed{started: true, total: distance}
	}
	m.rolled.last = distance
	m.native[packedDistance].set(i, float64(m.rolled.total))
}
