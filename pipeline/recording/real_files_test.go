package recording_test

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"testing"
	"time"

	"soletrial/pipeline/recording"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// The oracle of this file is expected.json beside the recordings, made by a
// reader written for that purpose and cross-checked against another decoder.
const realFiles = "../../../shared/recordings"

type statistics struct {
	N           int
	Mean        float64
	Min, Max    float64
	MeanNonzero float64 `json:"mean_nonzero"`
}

type expectedFile struct {
	Sequences []struct {
		Laps []struct {
			Start     time.Time
			TimerS    float64 `json:"timer_s"`
			DistanceM float64 `json:"distance_m"`
		}
		Records struct {
			Count       int
			First, Last time.Time
			Fields      map[string]statistics
			Developer   map[string]statistics `json:"developer_fields"`
		}
	}
	Points      int
	First, Last time.Time
	HaversineM  float64               `json:"haversine_m_R6371008_8"`
	Extensions  map[string]statistics `json:"extensions"`
	Rows        int
	Columns     map[string]statistics
}

func realFile(t *testing.T, name string, o recording.Options) (*recording.Import, expectedFile) {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(realFiles, "expected.json"))
	if err != nil {
		t.Skipf("skipped: the folder of real recordings is not here: %v", err)
	}
	expected := map[string]expectedFile{}
	if err := json.Unmarshal(text, &expected); err != nil {
		t.Fatal(err)
	}
	src, err := os.ReadFile(filepath.Join(realFiles, name))
	if err != nil {
		t.Fatal(err)
	}
	imp, err := recording.Read(name, src, o)
	if err != nil {
		t.Fatal(err)
	}
	return imp, expected[name]
}

// match compares a channel with the statistics of the field it was read from.
// One unit of the channel is scale units of the field. Where zeros were blanked
// the sum still has to agree, since zeros add nothing to it.
func match(t *testing.T, imp *recording.Import, c trial.Channel, want statistics, scale float64) {
	t.Helper()
	n, sum := 0, 0.0
	for _, v := range imp.Samples.Values[c] {
		if units.Known(v) {
			n++
			sum += v * scale
		}
	}
	column := c.Info().Column
	if n != want.N && (want.Min != 0 || n > want.N) {
		t.Errorf("%s: %d values, want %d", column, n, want.N)
	}
	if got := sum / float64(want.N); math.Abs(got-want.Mean) > 0.00005+1e-9 {
		t.Errorf("%s: mean %.6f over %d values, want %.4f", column, got, want.N, want.Mean)
	}
	if want.MeanNonzero != 0 && n < want.N {
		if got := sum / float64(n); math.Abs(got-want.MeanNonzero) > 0.00005+1e-9 {
			t.Errorf("%s: mean without zeros %.6f, want %.4f", column, got, want.MeanNonzero)
		}
	}
}

// fieldOf names the field of expected.json that a channel is compared with.
type fieldOf struct {
	channel   trial.Channel
	field     string
	scale     float64
	developer bool
}

func TestRealFIT(t *testing.T) {
	const mm, cm = 1000, 10 // millimetres in a metre, in a centimetre
	cadence := fieldOf{trial.CadenceSpm, "cadence_steps_per_min_incl_fraction", 1, false}
	heart := fieldOf{trial.HeartRateBpm, "heart_rate_bpm", 1, false}
	distance := fieldOf{trial.DistanceM, "distance_m", 1, false}
	speed := fieldOf{trial.SpeedMps, "speed_mps", 1, false}
	altitude := fieldOf{trial.AltitudeM, "altitude_m", 1, false}
	air := fieldOf{trial.AirC, "temperature_c", 1, false}
	step := fieldOf{trial.StepLengthM, "step_length_mm", mm, false}
	contact := fieldOf{trial.ContactMs, "stance_time_ms", 1, false}
	oscillation := fieldOf{trial.OscillationCm, "vertical_oscillation_mm", cm, false}
	power := fieldOf{trial.PowerW, "power_w", 1, false}
	devPower := fieldOf{trial.PowerW, "Power", 1, true}
	for name, fields := range map[string][]fieldOf{
		"g01_run_intervals_dynamics_footpod.fit": {
			cadence, heart, distance, speed, altitude, air, step, contact, oscillation, devPower,
		},
		"g02_run_two_watches_A_native_power.fit": {cadence, heart, distance, speed, altitude, step, power},
		"g03_run_two_watches_B.fit": {cadence, heart, distance, air, {trial.SpeedMps, "enhanced_speed_mps", 1, false},
			{trial.AltitudeM, "enhanced_altitude_m", 1, false}},
		"g04_run_footpod_export.fit": {cadence, heart, distance, speed, altitude, contact, oscillation, power},
		"g05_run_pauses_autolaps_footpod.fit": {cadence, heart, distance, speed, altitude, air, devPower,
			{trial.ContactMs, "Ground Time", 1, true}, {trial.OscillationCm, "Vertical Oscillation", 1, true}},
		"g06_run_dynamics_2015.fit": {cadence, heart, distance, speed, altitude, air, contact, oscillation},
		"g07_run_tiny_smart_recording.fit": {
			cadence, heart, distance, speed, altitude, air, step, contact, oscillation,
		},
		"g08_run_compressed_timestamps.fit": {cadence, heart, {trial.SpeedMps, "speed_mps_from_compressed", 1, false},
			{trial.DistanceM, "distance_m_from_compressed", 1, false}},
	} {
		t.Run(name, func(t *testing.T) {
			imp, want := realFile(t, name, recording.Options{})
			records := want.Sequences[0].Records
			checkSpan(t, imp, records.Count, records.First, records.Last)
			channels := 0
			for _, f := range fields {
				stats, ok := records.Fields[f.field]
				if f.developer {
					stats, ok = records.Developer[f.field]
				}
				if !ok {
					t.Fatalf("expected.json has no %s", f.field)
				}
				match(t, imp, f.channel, stats, f.scale)
			}
			for c := range trial.ChannelCount {
				if imp.Samples.Has(c) {
					channels++
				}
			}
			if channels != len(fields) {
				t.Errorf("%d channels, want %d: %+v", channels, len(fields), imp.Sources)
			}
			checkLaps(t, imp, want)
		})
	}
}

func checkSpan(t *testing.T, imp *recording.Import, n int, first, last time.Time) {
	t.Helper()
	if imp.Samples.Len() != n {
		t.Fatalf("%d samples, want %d", imp.Samples.Len(), n)
	}
	if want := last.Sub(first).Seconds(); imp.Samples.Elapsed[n-1] != want || imp.Samples.Elapsed[0] != 0 {
		t.Errorf("elapsed %v to %v, want 0 to %v", imp.Samples.Elapsed[0], imp.Samples.Elapsed[n-1], want)
	}
	if first.Year() < 1998 { // a clock that was never set: see readFIT
		if !imp.Start.IsZero() || len(imp.Warnings) == 0 {
			t.Errorf("start %v, warnings %q; want none and one", imp.Start, imp.Warnings)
		}
	} else if !imp.Start.Equal(first) || imp.Start.Location() != time.UTC {
		t.Errorf("start %v, want %v in UTC", imp.Start, first)
	}
}

func checkLaps(t *testing.T, imp *recording.Import, want expectedFile) {
	t.Helper()
	laps := want.Sequences[0].Laps
	if len(imp.Laps) != len(laps) {
		t.Fatalf("%d laps, want %d", len(imp.Laps), len(laps))
	}
	first := want.Sequences[0].Records.First
	for i, lap := range laps {
		got := imp.Laps[i]
		if got.StartS != lap.Start.Sub(first).Seconds() || got.DistanceM != lap.DistanceM {
			t.Errorf("lap %d: %+v, want start %v and distance %v", i+1, got, lap.Start, lap.DistanceM)
		}
		if length := got.EndS - got.StartS; length < lap.TimerS-2 {
			t.Errorf("lap %d is %v s long, want at least its timer time %v less two roundings", i+1, length, lap.TimerS)
		}
		if i > 0 && got.StartS < imp.Laps[i-1].EndS {
			t.Errorf("lap %d starts at %v, before lap %d ends at %v", i+1, got.StartS, i, imp.Laps[i-1].EndS)
		}
	}
}

func TestRealGPX(t *testing.T) {
	imp, want := realFile(t, "g09_run_course_V01.gpx", recording.Options{})
	checkSpan(t, imp, want.Points, want.First, want.Last)
	match(t, imp, trial.HeartRateBpm, want.Extensions["hr"], 1)
	match(t, imp, trial.CadenceSpm, want.Extensions["cad"], 0.5) // the file counts one leg
	match(t, imp, trial.AltitudeM, want.Extensions["ele"], 1)
	distance := imp.Samples.Values[trial.DistanceM]
	if got := distance[len(distance)-1]; math.Abs(got-want.HaversineM) > 0.005 {
		t.Errorf("distance %.4f m, want %.2f (great circle on a sphere of 6371008.8 m)", got, want.HaversineM)
	}
}

func TestRealCSV(t *testing.T) {
	chest := map[string]string{
		"power_w": "pod_power", "heart_rate_bpm": "hrm_heart_rate", "cadence_spm": "hrm_cadence_sum",
		"step_length_m": "hrm_step_length", "contact_ms": "hrm_stance_time",
		"oscillation_cm": "hrm_vertical_oscillation",
	}
	pod := map[string]string{"power_w": "pod_power", "heart_rate_bpm": "hrm_heart_rate", "cadence_spm": "pod_cadence",
		"contact_ms": "pod_stance_time", "oscillation_cm": "pod_vertical_oscillation"}
	scales := map[string]float64{
		"hrm_cadence_sum": 0.5, "pod_cadence": 0.5, "hrm_step_length": 1000, "hrm_vertical_oscillation": 10,
	}
	for name, columns := range map[string]map[string]string{"chest strap": chest, "foot pod": pod} {
		t.Run(name, func(t *testing.T) {
			imp, want := realFile(t, "g10_run_course_V01_two_sensors.csv", recording.Options{Columns: columns})
			first := time.Date(2023, 3, 8, 19, 37, 40, 0, time.UTC) // expected.json: first_row, last_row
			checkSpan(t, imp, want.Rows, first, first.Add(889*time.Second))
			for column, heading := range columns {
				c, _ := trial.ChannelNamed(column)
				scale := scales[heading]
				if scale == 0 {
					scale = 1
				}
				match(t, imp, c, want.Columns[heading], scale)
			}
			match(t, imp, trial.DistanceM, want.Columns["distance"], 1)
			match(t, imp, trial.SpeedMps, want.Columns["enhanced_speed"], 1)
			match(t, imp, trial.AltitudeM, want.Columns["enhanced_altitude"], 1)
		})
	}
}
