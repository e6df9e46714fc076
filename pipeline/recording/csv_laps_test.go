package recording_test

import (
	"math"
	"strings"
	"testing"

	"soletrial/pipeline/recording"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

const lapTable = `Lap,Time,Distance,Avg Pace,Avg HR,Avg Power,Avg Ground Contact Time
1,2:00,0.15,13:20,97,62,
2,5:30,1.32,4:10,147,268,225
3,2:30,0.19,13:00,120,61,
4,5:30,1.35,4:04,148,269,223
`

// One mile is 1609.344 m; what the means are is written in the tables.
func TestTablesOfLaps(t *testing.T) {
	imp := mustRead(t, "laps.csv", []byte(lapTable), recording.Options{})
	if imp.Samples != nil || len(imp.Laps) != 4 || len(imp.Means) != 4 {
		t.Fatalf("%d laps, %d means, samples %v", len(imp.Laps), len(imp.Means), imp.Samples)
	}
	if l := imp.Laps[3]; l.StartS != 600 || l.EndS != 930 || math.Abs(l.DistanceM-1350) > 1e-9 {
		t.Errorf("lap 4: %+v", l)
	}
	m := imp.Means[1]
	if m[trial.MeasurePower] != 268 || m[trial.MeasureHeartRate] != 147 || m[trial.MeasureContact] != 225 ||
		math.Abs(m[trial.MeasureSpeed]-4) > 1e-9 || units.Known(imp.Means[0][trial.MeasureContact]) {
		t.Errorf("means of lap 2: %v", m)
	}
	imperial := strings.NewReplacer("Distance", "Distance (mi)", "Avg Pace", "Avg Pace (min/mi)").Replace(lapTable)
	imp = mustRead(t, "laps.csv", []byte(imperial), recording.Options{})
	if d := imp.Laps[1].DistanceM; math.Abs(d-1.32*1609.344) > 1e-6 {
		t.Errorf("1.32 miles are %v m", d)
	}
	if v := imp.Means[1][trial.MeasureSpeed]; math.Abs(v-1609.344/250) > 1e-9 {
		t.Errorf("4:10 for a mile is %v m/s", v)
	}
	// Samples with a column for the lap are samples.
	imp = mustRead(t, "run.csv",
		[]byte("seconds,lap,power\n0,1,280\n1,1,281\n2,1,282\n3,1,283\n4,2,284\n"),
		recording.Options{})
	if imp.Samples == nil || imp.Samples.Len() != 5 || imp.Means != nil {
		t.Errorf("samples with laps: %+v", imp)
	}
}

// A file whose headings say nothing: the line to paste, from its values.
func TestTheMapToPasteIsSuggestedByValues(t *testing.T) {
	rows := []string{"zeit;puls;leistung;tempo"}
	for i := range 60 {
		rows = append(rows, units.FormatDecimal(float64(i), 0)+";"+units.FormatDecimal(float64(140+i/10), 0)+";"+
			units.FormatDecimal(float64(260+i*7%23), 0)+";"+
			strings.Replace(units.FormatDecimal(4+float64(i%5)/10, 1), ".", ",", 1))
	}
	_, err := recording.Read("run.csv", []byte(strings.Join(rows, "\n")+"\n"), recording.Options{})
	want := "(if its values are what they look like, add --map elapsed_s=zeit --map heart_rate_bpm=puls " +
		"--map power_w=leistung --map speed_mps=tempo)"
	if err == nil || !strings.HasSuffix(err.Error(), want) {
		t.Errorf("%v; want %s", err, want)
	}
}
