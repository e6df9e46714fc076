package recording_test

import (
	"fmt"
	"strings"
	"testing"

	"soletrial/pipeline/recording"
	"soletrial/pipeline/trial"
)

// rowsUnder are thirty samples under two rows of headings.
func rowsUnder(head string) []byte {
	var b strings.Builder
	b.WriteString(head)
	for i := range 30 {
		fmt.Fprintf(&b, "%d,%d,%d\n", i, 260+i*7%23, 140+i/10)
	}
	return []byte(b.String())
}

// Two rows of headings, as spreadsheets and laboratories write them, are read as one.
func TestTwoRowsOfHeadings(t *testing.T) {
	for name, head := range map[string]string{
		"names over units":              "time,power,heart rate\ns,W,bpm\n",
		"names over units in brackets":  "time,power,heart rate\n[s],[W],[bpm]\n",
		"units over names":              "s,W,bpm\ntime,power,heart rate\n",
		"a title over names":            "Run 1,,\ntime,power,heart rate\n",
		"groups over names":             "clock,foot,chest\ntime,power,heart rate\n",
		"a name over one, under others": "time,foot,chest\ns,power,heart rate\n",
		"the same names twice":          "time,power,heart rate\ntime,power,heart rate\n",
		"a name cut over both":          "time,power,heart\n,,rate\n",
		"cut, with units":               "Elapsed,Power,Heart\ntime (s),(W),rate (bpm)\n",
		"cut, over units":               "elapsed,power,heart\ntime,,rate\ns,W,bpm\n",
		"cut, more below than above":    "elapsed,,heart\ntime,power,rate\n[s],[W],[bpm]\n",
		"cut, under a title":            "Run 1,,\ntime,power,heart\n,,rate\n",
	} {
		imp := mustRead(t, "run.csv", rowsUnder(head), recording.Options{})
		s := imp.Samples
		if s.Len() != 30 || s.Values[trial.PowerW][1] != 267 || s.Values[trial.HeartRateBpm][29] != 142 ||
			s.Elapsed[29] != 29 || len(imp.Warnings) != 0 {
			t.Errorf("%s: %d samples, %+v, %q", name, s.Len(), imp.Sources, imp.Warnings)
		}
	}
}

// "time" is a name of its own, and part of another: contact time is no clock. 0.23 s are
// 230 ms (arithmetic).
func TestNamesCutOverTwoRows(t *testing.T) {
	imp := mustRead(t, "run.csv", []byte("elapsed,run,ground contact\ntime,power,time\ns,W,s\n"+
		"0,260,0.23\n1,261,0.231\n2,262,0.232\n"), recording.Options{})
	s := imp.Samples
	if got := s.Values[trial.ContactMs]; s.Len() != 3 || len(got) != 3 || got[0] < 229.9 || got[0] > 230.1 ||
		s.Values[trial.PowerW][2] != 262 || len(imp.Warnings) != 0 {
		t.Errorf("%d samples, contact %v, %+v, %q", s.Len(), got, imp.Sources, imp.Warnings)
	}
}

// A unit above the name counts: 14.4 km/h are 4 m/s (arithmetic).
func TestUnitsOverNames(t *testing.T) {
	imp := mustRead(t, "run.csv", []byte("s,km/h\ntime,speed\n0,14.4\n1,14.4\n2,14.4\n3,14.4\n"),
		recording.Options{})
	if v := imp.Samples.Values[trial.SpeedMps][2]; v < 3.999 || v > 4.001 {
		t.Errorf("14.4 km/h are %v m/s", v)
	}
}

// Names of another language over units: the line to paste names the headings, not the units.
// Two columns of one name are distinguished by the row under it.
func TestTwoRowsOfHeadingsToMap(t *testing.T) {
	_, err := recording.Read("run.csv", rowsUnder("zeit,leistung,puls\ns,W,bpm\n"), recording.Options{})
	want := "add --map elapsed_s=zeit --map heart_rate_bpm=puls --map power_w=leistung)"
	if err == nil || !strings.HasSuffix(err.Error(), want) {
		t.Errorf("%v; want %s", err, want)
	}
	mapped := recording.Options{Columns: map[string]string{"elapsed_s": "zeit", "power_w": "leistung"}}
	if imp := mustRead(t, "run.csv", rowsUnder("zeit,leistung,puls\ns,W,bpm\n"), mapped); imp.Samples.Len() != 30 {
		t.Errorf("the line pasted: %d samples", imp.Samples.Len())
	}
	twice := rowsUnder("time,power,power\nseconds,foot,chest\n")
	_, err = recording.Read("run.csv", twice, recording.Options{})
	if err == nil || !strings.Contains(err.Error(), "power (foot)") {
		t.Errorf("two columns of one name: %v", err)
	}
	mapped = recording.Options{Columns: map[string]string{"power_w": "power (foot)"}}
	if imp := mustRead(t, "run.csv", twice, mapped); imp.Samples.Values[trial.PowerW][1] != 267 {
		t.Errorf("the column that was chosen: %+v", imp.Sources)
	}
}
