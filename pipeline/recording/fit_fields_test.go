package recording_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/muktihari/fit/kit/datetime"
	"github.com/muktihari/fit/profile/basetype"
	"github.com/muktihari/fit/profile/factory"
	"github.com/muktihari/fit/profile/mesgdef"
	"github.com/muktihari/fit/profile/typedef"
	"github.com/muktihari/fit/profile/untyped/fieldnum"
	"github.com/muktihari/fit/profile/untyped/mesgnum"
	"github.com/muktihari/fit/proto"

	"soletrial/pipeline/recording"
	"soletrial/pipeline/recording/fittest"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

func TestFITSaysWhereFromAndWhatWasDropped(t *testing.T) {
	imp := mustRead(t, "run.fit", fittest.Run(fittest.Spec{Positions: true}), recording.Options{})
	wantSource := map[string]string{
		"elapsed_s": "record field 253 (timestamp)", "power_w": `developer field "Power" ` +
			`(Watts)`, "speed_mps": "record field 73 (enhanced_speed)",
		"cadence_spm": "record field 4 (cadence); per-leg cadence doubled (its median is " +
			"88.5)", "step_length_m": "record field 85 (step_length); mm to m",
		// native field 39 is in mm: the units string counts
		"oscillation_cm": `developer field "Vertical Oscillation" (Centimeters)`,
		"contact_ms":     "record field 41 (stance_time)", "distance_m": "record field 5 " +
			"(distance)", "heart_rate_bpm": "record field 3 (heart_rate)",
	}
	for _, s := range imp.Sources {
		got := strings.TrimSuffix(s.From+"; "+s.Conversion, "; ")
		if got != wantSource[s.Column] {
			t.Errorf("%s from %q, want %q", s.Column, got, wantSource[s.Column])
		}
		delete(wantSource, s.Column)
	}
	if len(wantSource) > 0 {
		t.Errorf("no source for %v", wantSource)
	}
	for _, want := range []string{
		"positions (1380 samples)", `"Shank Tilt" (deg), 1380 values: no channel`, "vertical oscillation: 180 zeros",
		"sport (1)",
	} {
		if !strings.Contains(joined(imp.Dropped), want) {
			t.Errorf("dropped %q, want %q in it", imp.Dropped, want)
		}
	}
}

// fitOf encodes records with the fields and developer fields that a test needs.
func fitOf(descriptions []proto.Message, records ...proto.Message) []byte {
	more := append(
		[]proto.Message{mesgdef.NewDeveloperDataId(nil).SetDeveloperDataIndex(1).SetApplicationVersion(1).ToMesg(nil)},
		descriptions...)
	for i := range records {
		at := factory.CreateField(mesgnum.Record, fieldnum.RecordTimestamp).WithValue(uint32(1_000_000_000 + i))
		records[i].Fields = append([]proto.Field{at}, records[i].Fields...)
	}
	// The encoder of fittest puts what it is given before the records of its own
	// run, which is one second long and follows these.
	start := datetime.ToTime(uint32(1_000_000_000 + len(records)))
	return fittest.Run(fittest.Spec{
		Start:       start,
		Blocks:      1,
		BlockS:      1,
		NativePower: true,
		NoDynamics:  true,
		More:        append(more, records...),
	})
}

func record(fields ...proto.Field) proto.Message {
	return proto.Message{Num: mesgnum.Record, Fields: fields}
}

func field(num byte, value any) proto.Field {
	return factory.CreateField(mesgnum.Record, num).WithValue(value)
}

func developer(num byte, value proto.Value) proto.DeveloperField {
	return proto.DeveloperField{DeveloperDataIndex: 1, Num: num, Value: value}
}

func TestFITDeveloperFields(t *testing.T) {
	const none = basetype.Uint8Invalid
	for _, c := range []struct {
		name        string
		description proto.Message
		value       proto.Value
		channel     trial.Channel
		want        float64 // 0: the channel must not be there
	}{
		{
			"unit of the string, not of the linked field",
			fittest.Describe(1, 9, basetype.Float32, "Vertical Oscillation", "Centimeters", mesgnum.Record, 39),
			proto.Float32(6.5), trial.OscillationCm, 6.5,
		},
		{
			"millimetres", fittest.Describe(1, 9, basetype.Uint16, "vertical_oscillation", "mm", mesgnum.Record, 39),
			proto.Uint16(65), trial.OscillationCm, 6.5,
		},
		{
			"linked, no unit: the unit of the linked field",
			fittest.Describe(1, 9, basetype.Uint16, "Bounce", "", mesgnum.Record, 39), proto.Uint16(65),
			trial.OscillationCm, 6.5,
		},
		{
			"by name alone",
			fittest.Describe(1, 9, basetype.Uint16, "Ground Contact Time", "ms", mesgnum.Invalid, none),
			proto.Uint16(231), trial.ContactMs, 231,
		},
		{
			"link to another message: by name",
			fittest.Describe(1, 9, basetype.Float32, "Step Length", "m", mesgnum.Session, 85), proto.Float32(1.25),
			trial.StepLengthM, 1.25,
		},
		{
			"link to another message, unknown name",
			fittest.Describe(1, 9, basetype.Uint16, "Foo", "ms", mesgnum.Lap, 41), proto.Uint16(231), trial.ContactMs,
			0,
		},
		{
			"a unit that the channel cannot have",
			fittest.Describe(1, 9, basetype.Uint16, "Contact Time", "Watts", mesgnum.Record, 41), proto.Uint16(231),
			trial.ContactMs, 0,
		},
		{
			"seconds", fittest.Describe(1, 9, basetype.Float32, "Stance Time", "s", mesgnum.Invalid, none),
			proto.Float32(0.25), trial.ContactMs, 250,
		},
		{
			"an invalid value", fittest.Describe(1, 9, basetype.Uint16, "Contact Time", "ms", mesgnum.Record, 41),
			proto.Uint16(basetype.Uint16Invalid), trial.ContactMs, 0,
		},
		{
			"an array", fittest.Describe(1, 9, basetype.Uint16, "Contact Time", "ms", mesgnum.Record, 41),
			proto.SliceUint16([]uint16{231, 232}), trial.ContactMs, 0,
		},
		{
			"text", fittest.Describe(1, 9, basetype.String, "Contact Time", "ms", mesgnum.Record, 41),
			proto.String("231"), trial.ContactMs, 0,
		},
		{
			"native field there already",
			fittest.Describe(1, 9, basetype.Uint16, "Heart Rate", "bpm", mesgnum.Record, 3), proto.Uint16(99),
			trial.HeartRateBpm, 130,
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := record()
			r.DeveloperFields = []proto.DeveloperField{developer(9, c.value)}
			imp := mustRead(t, "run.fit", fitOf([]proto.Message{c.description}, r), recording.Options{})
			values := imp.Samples.Values[c.channel]
			if c.want == 0 {
				if values != nil {
					t.Errorf("%s is %v, want none; sources %+v", c.channel.Info().Column, values, imp.Sources)
				}
				return
			}
			at := 0
			if c.channel == trial.HeartRateBpm {
				at = 1 // the native value stands in the record of the run
			}
			if values == nil || values[at] != c.want {
				t.Errorf("%s is %v, want %v; dropped %q", c.channel.Info().Column, values, c.want, imp.Dropped)
			}
		})
	}
}

// Values chosen here; how they are stored is from the FIT profile.
func TestFITNativeFields(t *testing.T) {
	src := fitOf(nil,
		record(field(fieldnum.RecordAltitude, uint16((12.4+500)*5)), field(fieldnum.RecordTemperature, int8(-3)),
			field(fieldnum.RecordHeartRate, uint8(0))),
		// 3.00 m/s, 4080/16 m
		record(field(fieldnum.RecordCompressedSpeedDistance, []byte{0x2C, 0x01, 0xFF}),
			field(fieldnum.RecordHeartRate, uint8(basetype.Uint8Invalid))),
		// started over after 256 m, and 16/16 m on
		record(field(fieldnum.RecordCompressedSpeedDistance, []byte{0x2C, 0x01, 0x01}),
			field(fieldnum.RecordHeartRate, uint8(140))),
		record(field(fieldnum.RecordCompressedSpeedDistance, []byte{0xFF, 0xFF, 0xFF}),
			field(fieldnum.RecordStepLength, uint16(12505))),
	)
	imp := mustRead(t, "run.fit", src, recording.Options{})
	near := func(c trial.Channel, i int, want float64) {
		t.Helper()
		if got := imp.Samples.Values[c][i]; got-want > 1e-9 || want-got > 1e-9 || got != got {
			t.Errorf("%s of sample %d: %v, want %v", c.Info().Column, i, got, want)
		}
	}
	near(trial.AltitudeM, 0, 12.4)
	near(trial.AirC, 0, -3)
	near(trial.SpeedMps, 1, 3)
	near(trial.DistanceM, 1, 255)
	near(trial.DistanceM, 2, 256+16.0/16)
	near(trial.StepLengthM, 3, 1.2505)
	near(trial.HeartRateBpm, 2, 140)
	for _, gap := range []struct {
		c trial.Channel
		i int
	}{
		{trial.HeartRateBpm, 0}, {trial.HeartRateBpm, 1}, {trial.HeartRateBpm, 3}, {trial.SpeedMps, 3},
		{trial.DistanceM, 3}, {trial.AltitudeM, 1},
	} {
		if v := imp.Samples.Values[gap.c][gap.i]; v == v {
			t.Errorf("%s of sample %d is %v, want blank", gap.c.Info().Column, gap.i, v)
		}
	}
}

func TestFITLapsAndTriggers(t *testing.T) {
	spec := fittest.Spec{WarmUpS: 200}
	imp := mustRead(t, "run.fit", fittest.Run(spec), recording.Options{})
	if len(imp.Laps) != 8 || imp.Laps[1].StartS != 200 || imp.Laps[1].EndS != 500 || imp.Laps[1].Trigger != "manual" {
		t.Fatalf("laps %+v", imp.Laps)
	}
	start := time.Date(2026, 5, 1, 17, 30, 0, 0, time.UTC)
	for trigger, want := range map[typedef.LapTrigger]string{
		typedef.LapTriggerManual: "manual", typedef.LapTriggerDistance: "distance", typedef.LapTriggerTime: "time",
		typedef.LapTriggerPositionLap: "position", typedef.LapTriggerSessionEnd: "session_end",
		typedef.LapTriggerInvalid: "", 77: "",
	} {
		late := mesgdef.NewLap(nil).SetStartTime(start.Add(100 * time.Second)).SetTotalElapsedTime(300_700).
			SetLapTrigger(trigger).ToMesg(nil)
		imp := mustRead(t, "run.fit",
			fittest.Run(fittest.Spec{Blocks: 1, More: []proto.Message{late}}),
			recording.Options{})
		if got := imp.Laps[1]; got.Trigger != want || got.DistanceM == got.DistanceM {
			t.Errorf("trigger %d: %+v, want %q and no distance", trigger, got, want)
		}
	}
}

// A lap ends when its message was written, or else where the next one starts; none
// overlaps another or lies outside the samples.
func TestFITLapEnds(t *testing.T) {
	start := time.Date(2026, 5, 1, 17, 30, 0, 0, time.UTC)
	at := func(s int) time.Time { return start.Add(time.Duration(s) * time.Second) }
	lap := func(from, elapsed, written int) proto.Message {
		m := mesgdef.NewLap(nil).SetStartTime(at(from)).SetTotalElapsedTime(uint32(1000 * elapsed))
		if written > -100 {
			m.SetTimestamp(at(written))
		}
		return m.ToMesg(nil)
	}
	for _, c := range []struct {
		name string
		laps []proto.Message
		want string
	}{
		{"written when it ended", []proto.Message{lap(0, 100, 100), lap(100, 200, 300)}, "[[0 100] [100 300]]"},
		{
			"paused: start and elapsed reach into the rest", []proto.Message{lap(0, 150, 100), lap(140, 200, 290)},
			"[[0 100] [140 290]]",
		},
		{"all written at the end", []proto.Message{lap(0, 100, 300), lap(100, 100, 300)}, "[[0 100] [100 300]]"},
		{"never timed", []proto.Message{lap(0, 130, -100), lap(100, 150, -100)}, "[[0 100] [100 250]]"},
		{
			"starts before the first sample", []proto.Message{lap(-2, 102, 100), lap(100, 100, 200)},
			"[[0 100] [100 200]]",
		},
		{
			"two at the same time", []proto.Message{lap(0, 100, 100), lap(100, 0, 100), lap(100, 100, 200)},
			"[[0 100] [100 200]]",
		},
	} {
		var records []proto.Message
		for i := range 301 {
			records = append(records, mesgdef.NewRecord(nil).SetTimestamp(at(i)).SetHeartRate(150).ToMesg(nil))
		}
		imp := mustRead(t, "run.fit", fittest.Encode(append(records, c.laps...)), recording.Options{})
		got := [][2]float64{}
		for _, l := range imp.Laps {
			got = append(got, [2]float64{l.StartS, l.EndS})
		}
		if fmt.Sprint(got) != c.want {
			t.Errorf("%s: %v, want %s", c.name, got, c.want)
		}
	}
}

// A description may come after the first record that needs it, or never.
func TestFITDescribedLate(t *testing.T) {
	power := fittest.Describe(1, 9, basetype.Uint16, "Power", "Watts", mesgnum.Record, fieldnum.RecordPower)
	r := record()
	r.DeveloperFields = []proto.DeveloperField{developer(9, proto.Uint16(281))}
	r.Fields = []proto.Field{field(fieldnum.RecordTimestamp, uint32(1_000_000_000))}
	spec := fittest.Spec{Start: datetime.ToTime(uint32(1_000_000_001)), Blocks: 1, BlockS: 3, NativePower: true}
	id := mesgdef.NewDeveloperDataId(nil).SetDeveloperDataIndex(1).SetApplicationVersion(1).ToMesg(nil)
	for name, c := range map[string]struct {
		more    []proto.Message
		want    float64
		dropped string
	}{
		"before": {[]proto.Message{id, power, r}, 281, ""},
		"after":  {[]proto.Message{id, r, power}, 281, ""},
		"twice": {
			[]proto.Message{id, power, r, fittest.Describe(1, 9, basetype.Uint16, "Cadence", "rpm", mesgnum.Record, 4)},
			281, "",
		},
		"never": {[]proto.Message{id, r}, units.Missing, "developer fields that nothing describes (1)"},
	} {
		spec.More, spec.NoPower = c.more, true
		imp := mustRead(t, "run.fit", fittest.Run(spec), recording.Options{})
		got := units.Missing
		if values := imp.Samples.Values[trial.PowerW]; values != nil {
			got = values[0]
		}
		if got != c.want && units.Known(c.want) || units.Known(got) != units.Known(c.want) {
			t.Errorf("%s: power %v, want %v; dropped %q", name, got, c.want, imp.Dropped)
		}
		if !strings.Contains(joined(imp.Dropped), c.dropped) || len(imp.Warnings) > 0 {
			t.Errorf("%s: dropped %q, warnings %q", name, imp.Dropped, imp.Warnings)
		}
	}
}
