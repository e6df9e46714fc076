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
	if imp.Samples != nil || len(imp.Laps) != 4 || imp.LapTable.Len() != 5 {
		t.Fatalf("%d laps, table of %d, samples %v", len(imp.Laps), imp.LapTable.Len(), imp.Samples)
	}
	if l := imp.Laps[3]; l.StartS != 600 || l.EndS != 930 || math.Abs(l.DistanceM-1350) > 1e-9 {
		t.Errorf("lap 4: %+v", l)
	}
	m := imp.LapTable.Values
	if m[trial.PowerW][1] != 268 || m[trial.HeartRateBpm][1] != 147 || m[trial.ContactMs][1] != 225 ||
		math.Abs(m[trial.SpeedMps][1]-4) > 1e-9 || units.Known(m[trial.ContactMs][0]) {
		t.Errorf("means of laps: %v", m)
	}
	if imp.LapTable.Elapsed[4] != 930 || units.Known(m[trial.PowerW][4]) {
		t.Errorf("the table ends with %v s, %v W", imp.LapTable.Elapsed[4], m[trial.PowerW][4])
	}
	imperial := strings.NewReplacer("Distance", "Distance (mi)", "Avg Pace", "Avg Pace (min/mi)").Replace(lapTable)
	imp = mustRead(t, "laps.csv", []byte(imperial), recording.Options{})
	if d := imp.Laps[1].DistanceM; math.Abs(d-1.32*1609.344) > 1e-6 {
		t.Errorf("1.32 miles are %v m", d)
	}
	if v := imp.LapTable.Values[trial.SpeedMps][1]; math.Abs(v-1609.344/250) > 1e-9 {
		t.Errorf("4:10 for a mile is %v m/s", v)
	}
	// Samples with a column for the lap are samples.
	imp = mustRead(t, "run.csv",
		[]byte("seconds,lap,power\n0,1,280\n1,1,281\n2,1,282\n3,1,283\n4,2,284\n"),
		recording.Options{})
	if imp.Samples == nil || imp.Samples.Len() != 5 || imp.LapTable != nil {
		t.Errorf("samples with laps: %+v", imp)
	}
}

// Units in the cells are read: one mile is 1609.344 m, 6:42 for a mile are 402 s
// (arithmetic). Another unit further down is no slip that may be passed over.
func TestUnitsInTheCells(t *testing.T) {
	table := "Lap,Time,Distance,Avg Pace,Avg HR,Avg Power\n1,5:30,0.82 mi,6:42/mi,147 bpm,268 W\n" +
		"2,5:30,0.84 mi,6:33 /mi,148,269\n"
	imp := mustRead(t, "laps.csv", []byte(table), recording.Options{})
	m := imp.LapTable.Values
	if math.Abs(imp.Laps[0].DistanceM-0.82*1609.344) > 1e-6 || m[trial.PowerW][0] != 268 ||
		m[trial.HeartRateBpm][0] != 147 || math.Abs(m[trial.SpeedMps][0]-1609.344/402) > 1e-9 {
		t.Errorf("lap 1: %+v, %v", imp.Laps[0], m)
	}
	_, err := recording.Read("laps.csv", []byte(strings.Replace(table, "0.84 mi", "1.35 km", 1)), recording.Options{})
	want := `laps.csv:3:8: "1.35 km" in column "Distance" is in another unit than the mi of the rows above`
	if err == nil || !strings.HasPrefix(err.Error(), want) {
		t.Errorf("%v; want %s", err, want)
	}
}

// Exports end with a row for the whole run: it is no lap. Two laps of which the second is
// as long as the first are laps.
func TestTheSumOfTheLapsIsNoLap(t *testing.T) {
	imp := mustRead(t, "laps.csv", []byte(lapTable+"Summary,15:30,3.01,5:09,128,188,\n"), recording.Options{})
	if len(imp.Laps) != 4 || imp.LapTable.Len() != 5 {
		t.Errorf("%d laps, table of %d: %q", len(imp.Laps), imp.LapTable.Len(), imp.Dropped)
	}
	imp = mustRead(t, "laps.csv", []byte("Lap,Time,Power\n1,5:30,268\n2,5:30,269\n"), recording.Options{})
	if len(imp.Laps) != 2 {
		t.Errorf("%d laps of two", len(imp.Laps))
	}
}

// A table of laps in another language: the line to paste takes the lengths of the laps for
// the time, not their numbers, and pasted it is read as laps.
func TestTheMapOfATableOfLaps(t *testing.T) {
	table := []byte("Runde;Zeit;Strecke;Leistung\n1;2:00;0,15;180\n2;5:30;1,32;268\n3;2:30;0,19;175\n4;5:30;1,35;269\n")
	_, err := recording.Read("laps.csv", table, recording.Options{})
	want := "(if its values are what they look like, add --map elapsed_s=Zeit --map power_w=Leistung)"
	if err == nil || !strings.HasSuffix(err.Error(), want) {
		t.Errorf("%v; want %s", err, want)
	}
	imp := mustRead(t, "laps.csv", table, recording.Options{
		Columns: map[string]string{"elapsed_s": "Zeit", "power_w": "Leistung", "distance_m": "Strecke"}})
	if len(imp.Laps) != 4 || imp.Laps[3].StartS != 600 || imp.LapTable.Values[trial.PowerW][1] != 268 {
		t.Errorf("laps %+v, means %v", imp.Laps, imp.LapTable)
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

// Rows that last days are no laps: these are seconds since 1970, and nobody runs for 54 years.
func TestLapsOfDaysAreNoLaps(t *testing.T) {
	table := "lap,time,power\n1,1714579200,268\n2,1714579530,100\n3,1714579860,269\n"
	imp := mustRead(t, "laps.csv", []byte(table), recording.Options{})
	if imp.LapTable != nil || imp.Samples.Len() != 3 {
		t.Errorf("a table of laps of %v s", imp.LapTable.Elapsed)
	}
}
