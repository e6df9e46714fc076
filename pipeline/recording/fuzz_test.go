package recording_test

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/muktihari/fit/profile/mesgdef"
	"github.com/muktihari/fit/profile/typedef"
	"github.com/muktihari/fit/proto"

	"soletrial/pipeline/recording"
	"soletrial/pipeline/recording/fittest"
	"soletrial/pipeline/recording/segment"
	"soletrial/pipeline/trial"
)

// sound checks what holds of every result, whatever was read.
func sound(t *testing.T, imp *recording.Import, err error) {
	t.Helper()
	if err != nil {
		var ours *recording.Error
		if imp != nil || !errors.As(err, &ours) || ours.Message == "" {
			t.Fatalf("%v with %v: want an *Error alone", err, imp)
		}
		return
	}
	if imp.Samples == nil {
		if len(imp.Laps) == 0 || imp.LapTable.Len() != len(imp.Laps)+1 {
			t.Fatalf("no samples, %d laps and a table of %d", len(imp.Laps), imp.LapTable.Len())
		}
		for i, lap := range imp.Laps {
			if !(lap.EndS > lap.StartS) || math.IsInf(lap.EndS, 0) || i > 0 && lap.StartS < imp.Laps[i-1].EndS {
				t.Fatalf("lap %d: %+v", i+1, lap)
			}
		}
		return
	}
	if imp.Samples.Len() == 0 || imp.Start.Location() != time.UTC {
		t.Fatalf("%d samples from %v", imp.Samples.Len(), imp.Start)
	}
	low, high := math.Inf(1), math.Inf(-1)
	for i, at := range imp.Samples.Elapsed {
		if math.IsNaN(at) || math.IsInf(at, 0) {
			t.Fatalf("elapsed of sample %d is %v", i, at)
		}
		low, high = min(low, at), max(high, at)
	}
	if high-low > 4*86400 {
		t.Fatalf("elapsed from %v to %v", low, high)
	}
	for i, p := range imp.Pauses {
		if !(p.EndS > p.StartS) || p.StartS < 0 || i > 0 && p.StartS < imp.Pauses[i-1].EndS {
			t.Fatalf("pauses %v", imp.Pauses)
		}
	}
	if imp.Zone != nil {
		if _, ahead := imp.Start.In(imp.Zone).Zone(); ahead < -24*3600 || ahead > 24*3600 {
			t.Fatalf("zone %v", imp.Zone)
		}
	}
	columns := 1
	for c := range trial.ChannelCount {
		values := imp.Samples.Values[c]
		if values == nil {
			continue
		}
		columns++
		if len(values) != imp.Samples.Len() || !imp.Samples.Has(c) {
			t.Fatalf("%s: %d values for %d samples", c.Info().Column, len(values), imp.Samples.Len())
		}
		for i, v := range values {
			if math.IsInf(v, 0) ||
				v == 0 && (c == trial.ContactMs || c == trial.OscillationCm || c == trial.StepLengthM) {
				t.Fatalf("%s of sample %d is %v", c.Info().Column, i, v)
			}
		}
	}
	if len(imp.Sources) != columns {
		t.Fatalf("%d sources for %d columns: %+v", len(imp.Sources), columns, imp.Sources)
	}
	for i, b := range segment.Propose(segment.Evidence{
		Samples: imp.Samples, Laps: imp.Laps, Pauses: imp.Pauses,
	}).Blocks {
		if !(b.EndS > b.StartS) || b.StartS < slices.Min(imp.Samples.Elapsed) ||
			b.EndS > slices.Max(imp.Samples.Elapsed)+maxStepS {
			t.Fatalf("block %d: %+v", i+1, b)
		}
	}
}

// maxStepS is by how much a lap may end after the last sample.
const maxStepS = 3600

func fitSeeds() [][]byte {
	small := fittest.Spec{Blocks: 2, BlockS: 4, RestS: 2, Positions: true}
	native, big, packed := small, small, small
	native.NativePower, big.BigEndian = true, true
	packed.NativePower, packed.CompressedTimestamp = true, true
	run := fittest.Run(small)
	paused := fittest.Spec{Blocks: 1, BlockS: 60, NativePower: true, More: []proto.Message{
		timer(10, typedef.EventTypeStopAll), timer(20, typedef.EventTypeStart),
		mesgdef.NewActivity(nil).SetTimestamp(inventedStart).SetLocalTimestamp(inventedStart.Add(2 * time.Hour)).
			ToMesg(nil),
	}}
	holed := fittest.Run(paused)
	copy(holed[len(holed)/3:], strings.Repeat("\xff", 32))
	return [][]byte{
		fittest.Run(paused), holed,
		run, fittest.Run(native), fittest.Run(big), fittest.Run(packed), run[:len(run)/2],
		append(append([]byte(nil), run...), fittest.Run(native)...),
		reheaded(run, 12, -1), reheaded(run, 14, 0), reheaded(run, 12, 1<<31),
	}
}

func FuzzFIT(f *testing.F) {
	seeds := fitSeeds()
	if len(seeds) != 11 {
		f.Fatalf("%d seeds, want 11", len(seeds))
	}
	for _, s := range seeds {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, src []byte) {
		imp, err := recording.Read("run.fit", src, recording.Options{})
		sound(t, imp, err)
	})
}

func FuzzGPX(f *testing.F) {
	point := trkpt(48.1, 11.9, 0, "<ele>1</ele><extensions><q:hr>150</q:hr><q:cad>88</q:cad></extensions>")
	seeds := []string{
		gpxHead + point + trkpt(48.2, 11.8, 1.5, "") + gpxTail, gpxHead + point, "<gpx><trk/></gpx>", "<gpx>" +
			point + "</gpx>",
		"<?xml version=\"1.0\" encoding=\"ISO-8859-1\"?><gpx>" + point +
			"</gpx>", "<gpx><trkpt lat=\"x\"><time/></trkpt></gpx>", "<?xml",
	}
	if len(seeds) != 7 {
		f.Fatalf("%d seeds, want 7", len(seeds))
	}
	for _, s := range seeds {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, src []byte) {
		imp, err := recording.Read("run.gpx", src, recording.Options{})
		sound(t, imp, err)
	})
}

// Whatever is packed, what comes out is bounded and has names.
func FuzzUnpack(f *testing.F) {
	for _, s := range [][]byte{gzipped(f, []byte("t,power\n0,280\n")), zipped(f, "a.csv", "b/c.csv"),
		zipped(f, "day/"), gzipped(f, gzipped(f, nil)), []byte("PK\x03\x04"), []byte("\x1f\x8b"), nil} {
		f.Add("run.zip", s)
		f.Add("run.fit.gz", s)
	}
	f.Fuzz(func(t *testing.T, name string, src []byte) {
		files, err := recording.Unpack(name, src)
		if (err == nil) != (len(files) > 0) {
			t.Fatalf("%d files, %v", len(files), err)
		}
		size := 0
		for _, file := range files {
			size += len(file.Content)
		}
		if size > recording.MaxBytes {
			t.Fatalf("%d bytes out of %d", size, len(src))
		}
	})
}

func FuzzCSV(f *testing.F) {
	seeds := []string{
		"elapsed_s,power_w\n0,280.5\n1,281\n2,\n", "time;power;lat\n0;280,5;1\n" +
			"1;281;1\n", "# x\n\ufefft\tspeed (km/h)\n0\t14,4\n",
		"timestamp,cadence,step_length,speed\n1777656600000,88,2,3\n", "time,pace\n23:59:59,4:10\n" +
			"0:00:00,4:11\n", "a,b\n\"x\ny\",1\n", "time,power\ns,kW\n2026-05-01T17:30:00Z,0.3\n",
		"Lap,Time,Distance km,Avg Power,Contact\n1,5:00,1.21,268,231\n2,2:00,0.31,120,260\n",
		"Lap;Start;Duration;mi;min/mi\n1;0:00;5:00,5;0,75;6:40\n",
	}
	if len(seeds) != 9 {
		f.Fatalf("%d seeds, want 7", len(seeds))
	}
	for _, s := range seeds {
		f.Add([]byte(s), "")
		f.Add([]byte(s), "b")
	}
	f.Fuzz(func(t *testing.T, src []byte, power string) {
		o := recording.Options{}
		if power != "" {
			o.Columns = map[string]string{"power_w": power}
		}
		imp, err := recording.Read("run.csv", src, o)
		sound(t, imp, err)
	})
}
