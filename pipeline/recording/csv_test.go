package recording_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"soletrial/pipeline/recording"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// show writes samples as "elapsed column=value ..." lines, blank cells left out.
func show(s *trial.Samples) string {
	var text []string
	for i, at := range s.Elapsed {
		line := units.FormatDecimal(at, 3)
		for c := range trial.ChannelCount {
			if s.Values[c] != nil && units.Known(s.Values[c][i]) {
				line += fmt.Sprintf(" %s=%.4g", c.Info().Column, s.Values[c][i])
			}
		}
		text = append(text, line)
	}
	return strings.Join(text, "\n")
}

func TestCSVShapes(t *testing.T) {
	const want = "0.000 power_w=280.5\n1.000 power_w=281\n2.000"
	for name, src := range map[string]string{
		"canonical":             "elapsed_s,power_w\n0,280.5\n1,281\n2,\n",
		"semicolon, comma":      "elapsed;power\n0;280,5\n1;281\n2;NA\n",
		"tab, comma":            "time\tpower\n0\t280,5\n1\t281,0\n2\tnull\n",
		"BOM and CRLF":          "\ufeffelapsed_s,power_w\r\n0,280.5\r\n1,281\r\n2,NaN\r\n",
		"comments, blank lines": "# made up\nelapsed_s,power\n\n0,280.5\n# lap\n1,281\n2,-\n",
		"units row":             "time,power\ns,W\n0,280.5\n1,281\n2,\n",
		"kilowatts":             "time,power\ns,kW\n0,0.2805\n1,0.281\n2,\n",
		"lines above": "Device;invented;;\n" +
			"Exported;2026-05-01;;\n" +
			"\n" +
			"time (s);power (W);foo;bar\n" +
			"0;280,5;;\n" +
			"1;281;;\n" +
			"2;;;\n",
		"unit in heading":      "Elapsed time (ms),Power [W]\n0,280.5\n1000,281\n2000,\n",
		"milliseconds by step": "timer,power\n0,280.5\n1000,281\n2000,\n",
		"minutes and seconds":  "time,power\n0:00,280.5\n0:01,281\n00:02,\n",
		"trailing separator":   "elapsed_s,power_w\n0,280.5,\n1,281,\n2,,\n",
		"plus and exponent":    "elapsed_s,power_w\n0,+2.805e2\n1,281.\n2,\n",
		"ISO": "time,power\n2026-05-01T17:30:00Z,280.5\n2026-05-01T17:30:01Z,281\n" +
			"2026-05-01T17:30:02Z,\n",
		"ISO with offset": "time,power\n" +
			"2026-05-01T19:30:00+02:00,280.5\n" +
			"2026-05-01T19:30:01+02:00,281\n" +
			"2026-05-01T19:30:02+02:00,\n",
		"local": "date_time,power\n2026-05-01 19:30:00,280.5\n2026-05-01 19:30:01,281\n" +
			"2026-05-01 19:30:02,\n",
		"German date": "timestamp;power\n" +
			"01.05.2026 19:30:00;280,5\n" +
			"01.05.2026 19:30:01;281\n" +
			"1.5.2026 19:30:02;\n",
		"time of day":         "time,power\n23:59:59,280.5\n00:00:00,281\n00:00:01,\n",
		"epoch":               "timestamp,power\n1777656600,280.5\n1777656601,281\n1777656602,\n",
		"epoch milliseconds":  "timestamp,power\n1777656600000,280.5\n1777656601000,281\n1777656602000,\n",
		"FIT epoch":           "timestamp,power\n1146591000,280.5\n1146591001,281\n1146591002,\n",
		"rows without a time": "elapsed_s,power_w\n,300\n0,280.5\n1,281\n2,\nNA,300\n",
		"quoted":              "\"elapsed_s\",\"power_w\"\n\"0\",\"280.5\"\n\"1\",\"281\"\n\"2\",\"\"\n",
	} {
		imp := mustRead(t, "run.csv", []byte(src), recording.Options{})
		if got := show(imp.Samples); got != want {
			t.Errorf("%s:\n%s\nwant\n%s", name, got, want)
		}
	}
}

func TestCSVStart(t *testing.T) {
	start := time.Date(2026,
		5, 1, 17, 30, 0, 0, time.UTC) // 1777656600 s after 1970, 1146591000 s after 1989-12-31 (checked with date -u)
	for src, want := range map[string]time.Time{
		"time,power\n2026-05-01T19:30:00+02:00,1\n":                        start,
		"time,power\n2026-05-01T17:30:00.250Z,1\n":                         start.Add(250 * time.Millisecond),
		"timestamp,power\n1777656600,1\n":                                  start,
		"timestamp,power\n1777656600250,1\n":                               start.Add(250 * time.Millisecond),
		"timestamp,power\n1146591000,1\n":                                  start,
		"elapsed_s,timestamp,power\n10,2026-05-01T17:30:10Z,1\n":           start,
		"elapsed_s,timestamp,power\n,,1\n5,,1\n6,1777656606,1\n":           start,
		"time,power\n2026-05-01 17:30:00,1\n":                              {},
		"time,power\n17:30:00,1\n":                                         {},
		"elapsed_s,power\n0,1\n":                                           {},
		"elapsed_s,date,power\n0,someday,1\n":                              {},
		"elapsed_s,date_time,timestamp,power\n0,,2026-05-01T17:30:00Z,1\n": {}, // the blank column was the one chosen
	} {
		if imp := mustRead(t, "run.csv", []byte(src), recording.Options{}); !imp.Start.Equal(want) {
			t.Errorf("%q starts %v, want %v", src, imp.Start, want)
		}
	}
}

// The conversions are exact factors: the mile of 1959, 3.6 km/h to a m/s.
func TestCSVUnits(t *testing.T) {
	for src, want := range map[string]string{
		"t,speed (km/h)\n0,14.4\n":                 "0.000 speed_mps=4",
		"t,speed_kmh\n0,14.4\n":                    "0.000 speed_mps=4",
		"t,speed [mph]\n0,10\n":                    "0.000 speed_mps=4.47",
		"t,speed\n0,14.4\n":                        "0.000 speed_mps=4", // 14.4 m/s is no running speed
		"t,speed\n0,4\n":                           "0.000 speed_mps=4",
		"t,pace\n0,4:10\n":                         "0.000 speed_mps=4",
		"t,pace (min/km)\n0,4:10\n":                "0.000 speed_mps=4",
		"t,pace (min/mi)\n0,8:00\n":                "0.000 speed_mps=3.353",
		"t,pace (s/km)\n0,250\n":                   "0.000 speed_mps=4",
		"t,pace (s/km)\n0,0\n1,250\n":              "0.000\n1.000 speed_mps=4",
		"t,distance_km\n0,1.25\n":                  "0.000 distance_m=1250",
		"t,cadence\n0,88\n":                        "0.000 cadence_spm=176",
		"t,cadence\n0,176\n":                       "0.000 cadence_spm=176",
		"t,cadence (spm)\n0,110\n":                 "0.000 cadence_spm=110",
		"t,cadence_rpm\n0,88\n":                    "0.000 cadence_spm=176",
		"t,step_length\n0,1.2\n":                   "0.000 step_length_m=1.2",
		"t,step_length\n0,120\n":                   "0.000 step_length_m=1.2",
		"t,step_length (mm)\n0,1200\n":             "0.000 step_length_m=1.2",
		"t,stance_time_ms\n0,240\n":                "0.000 contact_ms=240",
		"t,ground contact time\n0,0.24\n":          "0.000 contact_ms=240",
		"t,contact\n0,0\n1,240\n":                  "0.000\n1.000 contact_ms=240",
		"t,oscillation\n0,85\n":                    "0.000 oscillation_cm=8.5",
		"t,oscillation\n0,8.5\n":                   "0.000 oscillation_cm=8.5",
		"t,oscillation_cm\n0,0.2\n":                "0.000 oscillation_cm=0.2",
		"t,Heart Rate (bpm)\n0,150\n":              "0.000 heart_rate_bpm=150",
		"t,elevation (ft)\n0,1000\n":               "0.000 altitude_m=304.8",
		"t,temperature (°F)\n0,68\n":               "0.000 air_c=20",
		"t,speed,cadence,stride_length\n0,3,180,2": "0.000 speed_mps=3 cadence_spm=180 step_length_m=1",
		// without a cadence or a speed nothing tells a stride from a step
		"t,speed,stride_length\n0,3,1.5":         "0.000 speed_mps=3 step_length_m=1.5",
		"t,cadence,stride_length\n0,180,1.5":     "0.000 cadence_spm=180 step_length_m=1.5",
		"t,speed,cadence,step_length\n0,3,180,1": "0.000 speed_mps=3 cadence_spm=180 step_length_m=1",
	} {
		imp := mustRead(t, "run.csv", []byte(src), recording.Options{})
		if got := show(imp.Samples); got != want {
			t.Errorf("%q gives %q, want %q; sources %+v", src, got, want, imp.Sources)
		}
	}
}

func TestCSVGuessesAreSaid(t *testing.T) {
	imp := mustRead(t, "run.csv", []byte("t,speed,cadence,foo,lat,Speed (knots)\n0,14.4,88,1,2,3\n"), recording.Options{
		Columns: map[string]string{"speed_mps": "speed"},
	})
	for _, want := range []string{`column "speed" states no unit; taken as km/h`} {
		if !strings.Contains(joined(imp.Warnings), want) {
			t.Errorf("warnings %q, want %q", imp.Warnings, want)
		}
	}
	for _, want := range []string{`positions (columns "lat")`, `columns that are not mapped: "foo", "Speed (knots)"`} {
		if !strings.Contains(joined(imp.Dropped), want) {
			t.Errorf("dropped %q, want %q", imp.Dropped, want)
		}
	}
	imp = mustRead(t, "run.csv", []byte("t,power,speed (knots),speed\n0,280,7,3\n"), recording.Options{})
	if imp.Samples.Values[trial.SpeedMps] != nil ||
		!strings.Contains(joined(imp.Warnings), "several columns could be it") {
		t.Errorf("two speeds: %+v, warnings %q", imp.Sources, imp.Warnings)
	}
	imp = mustRead(t, "run.csv", []byte("t,speed (knots)\n0,3\n"), recording.Options{})
	if !strings.Contains(joined(imp.Warnings), `the unit "knots" of column "speed (knots)" is not understood`) {
		t.Errorf("warnings %q", imp.Warnings)
	}
}

func TestCSVErrors(t *testing.T) {
	mapped := func(pairs ...string) recording.Options {
		o := recording.Options{Columns: map[string]string{}}
		for i := 0; i < len(pairs); i += 2 {
			o.Columns[pairs[i]] = pairs[i+1]
		}
		return o
	}
	for _, c := range []struct {
		name, src string
		o         recording.Options
		want      string
	}{
		{"empty", "", mapped(), "run.csv: the file is empty (export it again)"},
		{"comments only", "# nothing\n", mapped(), "run.csv: the file has no rows (export it again)"},
		{
			"nothing known", "zeit,leistung\n0,280\n", mapped(),
			`run.csv:1: none of the columns is known: "zeit", "leistung" (if its values are ` +
				`what they look like, add --map power_w=leistung)`},
		{
			"no time", "a b,power\n0,280\n", mapped(),
			`run.csv:1: no column is known to be the time: "a b", "power" (say which is which, such as --map ` +
				`elapsed_s='a b')`,
		},
		{
			"wrong heading", "t,Pod_Power,hr\n0,280,150\n", mapped("power_w", "pod_power"),
			`run.csv:1: there is no column "pod_power" for power_w, did you mean "Pod_Power"? (the columns are ` +
				`"t", "Pod_Power", "hr")`,
		},
		{
			"wrong channel", "t,p\n0,280\n", mapped("power", "p"),
			`run.csv: the column map names "power", which is no channel, did you mean "power_w"? (the channels ` +
				`are elapsed_s, power_w, speed_mps, distance_m, cadence_spm, step_length_m, contact_ms, ` +
				`oscillation_cm, heart_rate_bpm, altitude_m, air_c)`,
		},
		{
			"heading twice", "t,p,p\n0,280,1\n", mapped("power_w", "p"),
			`run.csv:1:3: there are several columns "p" for power_w (rename one of them in the file)`,
		},
		{
			"no number", "t,power\n0,280\n1,fast\n", mapped(),
			`run.csv:3:3: "fast" in column "power" is not a number (correct it, or leave the cell blank where ` +
				`nothing was measured)`,
		},
		{
			"decimal comma in quotes", "t,power\n0,\"280,5\"\n", mapped(),
			`run.csv:2:3: "280,5" in column "power" is not a number: it has a decimal comma, but commas ` +
				`separate the cells (write a decimal point)`,
		},
		{
			"decimal commas", "t,power,hr\n0,280,5,150,5\n", mapped(),
			`run.csv:2:9: this row has 5 cells, the headings are 3 (a decimal comma cuts a number in two where ` +
				`commas separate the cells: write decimal points, or export with semicolons between the cells)`,
		},
		{
			"one cell", "t,power\n0,280\n1\n", mapped(),
			`run.csv:3: this row has 1 cell, the headings are 2 (is the file cut off here?)`,
		},
		{
			"heading of a channel twice", "t,power_w,power_w\n0,280,281\n", mapped(),
			`run.csv:1:3: there are several columns "power_w" for power_w (rename one of them in the file)`,
		},
		{
			"a word for a channel twice", "t,Power,hr,Power\n0,280,150,281\n", mapped(),
			`run.csv:1:3: there are several columns "Power" for power_w (rename one of them in the file)`,
		},
		{
			"time twice", "t,power,t\n0,280,0\n", mapped(),
			`run.csv:1:1: there are several columns "t" for elapsed_s (rename one of them in the file)`,
		},
		{
			"clock twice", "t,time,time,power\n0,1,2,280\n", mapped(),
			`run.csv:1:3: there are several columns "time" for the date and time (rename one of them in the file)`,
		},
		{
			"hexadecimal", "t,power\n0,0x1p4\n", mapped(),
			`run.csv:2:3: "0x1p4" in column "power" is not a number (correct it, or leave the cell blank where ` +
				`nothing was measured)`,
		},
		{
			"infinite", "t,power\n0,1e999\n", mapped(),
			`run.csv:2:3: "1e999" in column "power" is not a number (correct it, or leave the cell blank where ` +
				`nothing was measured)`,
		},
		{
			"no time in a cell", "t,power\n0,280\nlater,281\n", mapped(),
			`run.csv:3:1: "later" in column "t" is not a time as in the rows above (times are seconds, ` +
				`h:mm:ss, dates such as 2026-05-01T17:30:00Z, or seconds or milliseconds since 1970)`,
		},
		{
			"American date", "time,power\n05/01/2026 17:30:00,280\n", mapped(),
			`run.csv:2:1: "05/01/2026 17:30:00" in column "time" is not a time as in the rows above (times are ` +
				`seconds, h:mm:ss, dates such as 2026-05-01T17:30:00Z, or seconds or milliseconds since 1970)`,
		},
		{
			"no times at all", "t,power\n,280\n", mapped(),
			`run.csv:1:1: column "t" has no time (map another column, such as --map elapsed_s=COLUMN)`,
		},
		{
			"short row", "t,power,hr\n0,280,150\n1,2", mapped(),
			`run.csv:3: this row has 2 cells, the headings are 3 (is the file cut off here?)`,
		},
		{
			"long row", "t,power\n0,280\n1,281,good\n", mapped(),
			`run.csv:3:7: this row has 3 cells, the headings are 2 (quote a cell that contains the separator)`,
		},
		{
			"bare quote", "t,power\n0,28\"0\n", mapped(),
			`run.csv:2:5: bare " in non-quoted-field (check the quotes in this row)`,
		},
		{
			"open quote", "t,power\n0,\"280\n", mapped(),
			`run.csv:2:8: extraneous or missing " in quoted-field (check the quotes in this row)`,
		},
		{
			"power per mass", "t,power (W/kg)\n0,4\n", mapped(),
			`run.csv:1:3: column "power (W/kg)" is in W/kg: power per body mass cannot be turned into watts ` +
				`(map a column in W, or leave it out)`,
		},
		{
			"archive", "PK\x03\x04\x00\x00", mapped(),
			"run.csv: the compressed file is damaged or cut off (export it again, or unpack it first)",
		},
		{
			"too wide", strings.Repeat(",", 2000), mapped(),
			"run.csv:1: this line has 2001 cells, more than the 2000 that are read (is it the right file?)",
		},
		{
			"binary", "AB\x03\x04\x00\x00", mapped(),
			"run.csv: this is neither FIT, GPX nor text (a CSV file must be saved as UTF-8 text)",
		},
	} {
		_, err := recording.Read("run.csv", []byte(c.src), c.o)
		var ours *recording.Error
		if !errors.As(err, &ours) || err.Error() != c.want {
			t.Errorf("%s:\n got %v\nwant %s", c.name, err, c.want)
		}
	}
}

// A clock without a zone still tells the local day and time at which elapsed
// reads 0, also from a second column of time.
func TestLocalClockOfACSV(t *testing.T) {
	want := time.Date(2026, 5, 3, 19, 30, 5, 0, time.UTC)
	for _, text := range []string{
		"time,power\n2026-05-03 19:30:05,280\n2026-05-03 19:30:06,281\n",
		"elapsed_s,time,power\n0,,280\n1,2026-05-03 19:30:06,281\n",
	} {
		imp := mustRead(t, "run.csv", []byte(text), recording.Options{})
		if !imp.Start.IsZero() || !imp.Local.Equal(want) {
			t.Errorf("%q: start %v, local %v", text, imp.Start, imp.Local)
		}
		imp = mustRead(t, "run.csv", []byte(text), recording.Options{Zone: time.FixedZone("", 7200)})
		if !imp.Local.IsZero() || !imp.Start.Equal(want.Add(-2*time.Hour)) {
			t.Errorf("%q in a zone: start %v, local %v", text, imp.Start, imp.Local)
		}
	}
}
