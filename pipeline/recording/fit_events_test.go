package recording_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/muktihari/fit/profile/factory"
	"github.com/muktihari/fit/profile/mesgdef"
	"github.com/muktihari/fit/profile/typedef"
	"github.com/muktihari/fit/profile/untyped/fieldnum"
	"github.com/muktihari/fit/profile/untyped/mesgnum"
	"github.com/muktihari/fit/proto"

	"soletrial/pipeline/recording"
	"soletrial/pipeline/recording/fittest"
)

var inventedStart = time.Date(2026, 5, 1, 17, 30, 0, 0, time.UTC)

func timer(second int, kind typedef.EventType) proto.Message {
	return mesgdef.NewEvent(nil).SetTimestamp(inventedStart.Add(time.Duration(second) * time.Second)).
		SetEvent(typedef.EventTimer).SetEventType(kind).ToMesg(nil)
}

// The event types are those of the FIT profile. The run itself has a start at 0
// and a stop at its end.
func TestFITPauses(t *testing.T) {
	const start, stop = typedef.EventTypeStart, typedef.EventTypeStop
	const all, disable = typedef.EventTypeStopAll, typedef.EventTypeStopDisableAll
	for _, c := range []struct {
		name   string
		events []proto.Message
		want   string
	}{
		{"none", nil, "[]"},
		{"one", []proto.Message{timer(60, all), timer(90, start)}, "[{60 90}]"},
		{
			"two kinds of stop",
			[]proto.Message{timer(60, stop), timer(70, start), timer(100, disable), timer(110, start)},
			"[{60 70} {100 110}]",
		},
		{
			"stopped twice, started twice",
			[]proto.Message{timer(60, stop), timer(65, all), timer(70, start), timer(75, start)}, "[{60 70}]",
		},
		{"out of order in the file", []proto.Message{timer(70, start), timer(60, stop)}, "[{60 70}]"},
		{"never started again", []proto.Message{timer(100, stop)}, "[]"},
		{"of no length", []proto.Message{timer(100, stop), timer(100, start)}, "[]"},
		{"before the samples", []proto.Message{timer(-50, stop), timer(-20, start)}, "[]"},
		{"another kind of event", []proto.Message{timer(60, typedef.EventTypeMarker), timer(70, start)}, "[]"},
	} {
		t.Run(c.name, func(t *testing.T) {
			imp := mustRead(t, "run.fit",
				fittest.Run(fittest.Spec{Blocks: 1, BlockS: 120, More: c.events}),
				recording.Options{})
			if got := fmt.Sprint(imp.Pauses); got != c.want {
				t.Errorf("pauses %s, want %s", got, c.want)
			}
		})
	}
}

// The expected pauses and gaps are counted in the notes beside the recordings.
func TestRealPausesAndGaps(t *testing.T) {
	for _, c := range []struct {
		name         string
		pauses       int // longer than 10 s
		total        float64
		warnedOfGaps bool
	}{
		{"g01_run_intervals_dynamics_footpod.fit", 0, 0, false},
		{"g05_run_pauses_autolaps_footpod.fit", 7, 221, false},
		{"g06_run_dynamics_2015.fit", 0, 0, false}, // steps of 2 to 4 s are no gaps
		{"g07_run_tiny_smart_recording.fit", 0, 0, false},
		// 115 s between the samples around it, which are 5 s apart
		{"g08_run_compressed_timestamps.fit", 1, 110, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			imp, _ := realFile(t, c.name, recording.Options{})
			n, total := 0, 0.0
			for _, p := range imp.Pauses {
				if p.EndS-p.StartS > 10 {
					n++
					total += p.EndS - p.StartS
				}
			}
			if n != c.pauses || total != c.total {
				t.Errorf("%d pauses of %v s together, want %d of %v: %v", n, total, c.pauses, c.total, imp.Pauses)
			}
			if got := strings.Contains(joined(imp.Warnings), "although the timer ran"); got != c.warnedOfGaps {
				t.Errorf("warnings %q", imp.Warnings)
			}
		})
	}
}

// at puts a record at a second of the run.
func at(second int) proto.Message {
	stamp := factory.CreateField(mesgnum.Record, fieldnum.RecordTimestamp).
		WithValue(uint32(inventedStart.Unix()-631065600) + uint32(second))
	return record(stamp, field(fieldnum.RecordHeartRate, uint8(100)))
}

// A gap is only named where the timer ran.
func TestFITGapsThatAreNoPauses(t *testing.T) {
	early := []proto.Message{at(-100), at(-40), at(-9)}
	imp := mustRead(t, "run.fit", fittest.Run(fittest.Spec{Blocks: 1, BlockS: 120, More: early}), recording.Options{})
	if got := joined(imp.Warnings); !strings.Contains(got,
		"no sample was written for 91 s although the timer ran; gaps: 2, the longest of 60 s at 0 s") {
		t.Errorf("warnings %q", got)
	}
	paused := append(early,
		timer(-100, typedef.EventTypeStop),
		timer(-45, typedef.EventTypeStart),
		timer(-39, typedef.EventTypeStop),
		timer(-10, typedef.EventTypeStart))
	imp = mustRead(t, "run.fit", fittest.Run(fittest.Spec{Blocks: 1, BlockS: 120, More: paused}), recording.Options{})
	if len(imp.Warnings) > 0 || len(imp.Pauses) != 2 {
		t.Errorf("pauses %v, warnings %q", imp.Pauses, imp.Warnings)
	}
}

// A clock that was set late, and a damaged time, lie years away. 631065600 is
// 1989-12-31 in seconds since 1970 (FIT protocol, date_time).
func TestFITTimesThatJumpYears(t *testing.T) {
	const year = 365 * 86400
	run := fittest.Spec{Blocks: 1, BlockS: 120}
	run.More = []proto.Message{at(-30 * year), at(-30*year + 1), at(50 * year)}
	imp := mustRead(t, "run.fit", fittest.Run(run), recording.Options{})
	if !imp.Start.Equal(inventedStart) || imp.Samples.Len() != 120 || imp.Samples.Elapsed[119] != 119 ||
		len(imp.Laps) != 1 {
		t.Errorf("%d samples from %v, laps %v", imp.Samples.Len(), imp.Start, imp.Laps)
	}
	if got := joined(imp.Warnings); !strings.Contains(got, "3 of 123 samples were excluded") {
		t.Errorf("warnings %q", got)
	}
	var apart []proto.Message
	for i := range 200 {
		apart = append(apart, at(-30*year+i*5*86400))
	}
	run.More = apart
	if _, err := recording.Read("run.fit", fittest.Run(run), recording.Options{}); err == nil ||
		!strings.Contains(err.Error(), "no stretch of four days") {
		t.Errorf("years apart: %v", err)
	}
	lap := mesgdef.NewLap(nil).SetStartTime(inventedStart.Add(9 * time.Hour)).SetTotalElapsedTime(300_000).ToMesg(nil)
	imp = mustRead(t, "run.fit", fittest.Run(fittest.Spec{Blocks: 1, More: []proto.Message{lap}}), recording.Options{})
	if len(imp.Laps) != 1 || !strings.Contains(joined(imp.Warnings), "laps outside the samples were ignored: 1") {
		t.Errorf("a lap hours later: %v, warnings %q", imp.Laps, imp.Warnings)
	}
}

func TestTimesThatJumpYearsInText(t *testing.T) {
	csv := "time,power\n" +
		"1990-01-01T00:00:00Z,1\n" +
		"2026-05-01T17:30:00Z,280\n" +
		"2026-05-01T17:30:01Z,281\n" +
		"2026-05-01T17:30:02Z,282\n"
	gpx := gpxHead + strings.Replace(trkpt(48, 11, 0, ""), "2026", "1990", 1) + trkpt(48, 11, 0, "") +
		trkpt(48, 11, 1, "") + trkpt(48, 11, 2, "") + gpxTail
	for name, src := range map[string]string{"run.csv": csv, "run.gpx": gpx} {
		imp := mustRead(t, name, []byte(src), recording.Options{})
		if imp.Samples.Len() != 3 || imp.Samples.Elapsed[0] != 0 || imp.Samples.Elapsed[2] != 2 ||
			imp.Start.Year() != 2026 || !strings.Contains(joined(imp.Warnings), "1 of 4 samples") {
			t.Errorf("%s: %v from %v, warnings %q", name, imp.Samples.Elapsed, imp.Start, imp.Warnings)
		}
	}
	for _, c := range []struct{ name, src, apart string }{
		{"run.csv", "elapsed_s,power\n0,1\n500000,2\n1000000,3\n1468800,4\n", "up to 17 days apart"},
		{
			"run.gpx",
			gpxHead + trkpt(48, 11, 0, "") + strings.Replace(trkpt(48, 11, 0, ""), "2026", "1990", 1) + gpxTail,
			"up to 36 years apart",
		},
	} {
		if _, err := recording.Read(c.name, []byte(c.src), recording.Options{}); err == nil ||
			!strings.Contains(err.Error(), c.apart) {
			t.Errorf("%s: %v, want %q", c.name, err, c.apart)
		}
	}
}

// Local time: FIT profile, message activity, local_timestamp.
func TestLocalTime(t *testing.T) {
	activity := func(ahead time.Duration) []byte {
		m := mesgdef.NewActivity(nil).SetTimestamp(inventedStart).SetLocalTimestamp(inventedStart.Add(ahead)).
			ToMesg(nil)
		return fittest.Run(fittest.Spec{Blocks: 1, BlockS: 120, More: []proto.Message{m}})
	}
	csv := func(first string) []byte {
		return []byte("time,power\n" + first + ",280\n" + strings.Replace(first, ":00", ":01", 1) + ",281\n")
	}
	berlin := time.FixedZone("", 7200)
	for _, c := range []struct {
		name, file string
		src        []byte
		zone       *time.Location
		want       string // the local start, "" where the zone is not known
	}{
		{"two hours ahead", "run.fit", activity(2 * time.Hour), nil, "2026-05-01T19:30:00+02:00"},
		{
			"behind, with a second in between", "run.fit", activity(-4*time.Hour + time.Second), nil,
			"2026-05-01T13:30:00-04:00",
		},
		{"a quarter of an hour", "run.fit", activity(5*time.Hour + 45*time.Minute), nil, "2026-05-01T23:15:00+05:45"},
		{"a day later", "run.fit", activity(9 * time.Hour), nil, "2026-05-02T02:30:00+09:00"},
		{"the same time twice", "run.fit", activity(0), nil, ""},
		{"no zone on Earth", "run.fit", activity(15 * time.Hour), nil, ""},
		{"years away", "run.fit", activity(-20 * 8760 * time.Hour), nil, ""},
		{"stated by the person", "run.fit", activity(-4 * time.Hour), berlin, "2026-05-01T19:30:00+02:00"},
		{"CSV with a zone", "run.csv", csv("2026-05-01T19:30:00+02:00"), nil, "2026-05-01T19:30:00+02:00"},
		{"CSV in UTC", "run.csv", csv("2026-05-01T17:30:00Z"), nil, ""},
		{"CSV without a zone, stated", "run.csv", csv("2026-05-01 19:30:00"), berlin, "2026-05-01T19:30:00+02:00"},
		{
			"CSV with one zone, shown in another", "run.csv", csv("2026-05-01T13:30:00-04:00"), berlin,
			"2026-05-01T19:30:00+02:00",
		},
		{
			"GPX in UTC, stated", "run.gpx", []byte(gpxHead + trkpt(48, 11, 0, "") + gpxTail), berlin,
			"2026-05-01T19:30:00+02:00",
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			imp := mustRead(t, c.file, c.src, recording.Options{Zone: c.zone})
			got := ""
			if imp.Zone != nil {
				got = imp.Start.In(imp.Zone).Format(time.RFC3339)
			}
			if got != c.want || !imp.Start.Equal(inventedStart) || imp.Start.Location() != time.UTC {
				t.Errorf("%q, start %v, want %q", got, imp.Start, c.want)
			}
		})
	}
}
