package recording_test

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"soletrial/pipeline/recording"
	"soletrial/pipeline/trial"
)

const gpxHead = `<?xml version="1.0" encoding="UTF-8"?>
<gpx version="1.1" creator="invented" xmlns="http://www.topografix.com/GPX/1/1" xmlns:q="http://example.org/q">
<trk><name>an invented name</name><trkseg>
`
const gpxTail = "</trkseg></trk></gpx>\n"

func trkpt(lat, lon float64, second float64, inside string) string {
	at := time.Date(2026, 5, 1, 17, 30, 0, 0, time.UTC).Add(time.Duration(second * float64(time.Second)))
	return fmt.Sprintf("<trkpt lat=\"%.7f\" lon=\"%.7f\"><time>%s</time>%s</trkpt>\n",
		lat, lon, at.Format(time.RFC3339Nano), inside)
}

func TestGPXExtensionsByLocalName(t *testing.T) {
	for inside, want := range map[string]struct {
		c trial.Channel
		v float64
	}{
		"<extensions><q:TrackPointExtension><q:hr>151</q:hr></q:TrackPointExtension></extensions>": {
			trial.HeartRateBpm, 151,
		},
		"<extensions><HeartRate>152</HeartRate></extensions>":              {trial.HeartRateBpm, 152},
		"<extensions><q:a><q:b><q:CAD>88</q:CAD></q:b></q:a></extensions>": {trial.CadenceSpm, 176},
		"<extensions><q:RunCadence>177</q:RunCadence></extensions>":        {trial.CadenceSpm, 177},
		"<extensions><power>281</power></extensions>":                      {trial.PowerW, 281},
		"<extensions><q:PowerInWatts>282</q:PowerInWatts></extensions>":    {trial.PowerW, 282},
		"<extensions><q:atemp>21.5</q:atemp></extensions>":                 {trial.AirC, 21.5},
		"<extensions><q:speed>3.75</q:speed></extensions>":                 {trial.SpeedMps, 3.75},
		"<extensions><q:distance>12.25</q:distance></extensions>":          {trial.DistanceM, 12.25},
		"<ele>\n 245.3 </ele>":                                             {trial.AltitudeM, 245.3},
		"<extensions><hr><![CDATA[153]]></hr></extensions>":                {trial.HeartRateBpm, 153},
		"<extensions><hr/><q:hr>154</q:hr></extensions>":                   {trial.HeartRateBpm, 154},
		"<extensions><hr>NaN</hr><power>283</power></extensions>":          {trial.PowerW, 283},
	} {
		imp := mustRead(t, "run.gpx", []byte(gpxHead+trkpt(50, 8, 0, inside)+gpxTail), recording.Options{})
		if got := imp.Samples.Values[want.c]; len(got) != 1 || got[0] != want.v {
			t.Errorf("%s: %v, want %v", inside, got, want.v)
		}
	}
}

func TestGPXTimeSegmentsAndDrops(t *testing.T) {
	src := gpxHead + trkpt(0, 0, 0.25, "<extensions><foo>1</foo></extensions>") + trkpt(0, 0.001, 1.5, "") +
		"</trkseg><trkseg>" + trkpt(0, 0.5, 100, "") + trkpt(0, 0.501, 101, "") +
		"<trkpt lat=\"1\" lon=\"2\"></trkpt></trkseg></trk><wpt lat=\"1\" lon=\"1\"/></gpx>"
	imp := mustRead(t, "run", []byte(src), recording.Options{})
	if got := imp.Samples.Elapsed; len(got) != 4 || got[1] != 1.25 || got[2] != 99.75 {
		t.Errorf("elapsed %v", got)
	}
	if want := time.Date(2026, 5, 1, 17, 30, 0, 250_000_000, time.UTC); !imp.Start.Equal(want) {
		t.Errorf("start %v, want %v", imp.Start, want)
	}
	// One thousandth of a degree of the equator on a sphere: pi/180000 radii.
	arc := math.Pi / 180000 * 6371008.8
	for i, want := range []float64{0, arc, arc, 2 * arc} { // the jump between the segments does not count
		if got := imp.Samples.Values[trial.DistanceM][i]; math.Abs(got-want) > 1e-6 {
			t.Errorf("distance of point %d: %v, want %v", i, got, want)
		}
	}
	for _, want := range []string{
		"1 track points without a time", "elements foo (1)", "elements wpt (1)", "positions (4 samples)",
	} {
		if !strings.Contains(joined(imp.Dropped), want) {
			t.Errorf("dropped %q, want %q in it", imp.Dropped, want)
		}
	}
	with := mustRead(t, "run.gpx",
		[]byte(gpxHead+trkpt(0, 0, 0, "<extensions><speed>3</speed></extensions>")+gpxTail),
		recording.Options{})
	if with.Samples.Values[trial.DistanceM] != nil {
		t.Error("a distance was computed although the file has a speed")
	}
}

func TestGPXErrors(t *testing.T) {
	for _, c := range []struct{ name, src, want string }{
		{
			"cut off", gpxHead + trkpt(0, 0, 0, "") + "<trkpt lat=\"1\"",
			"run.gpx:5:15: broken XML: unexpected EOF (the file is damaged or cut off; export it again)",
		},
		{
			"crossed elements", gpxHead + "<trkpt><time></trkpt></time>",
			`run.gpx:4:22: broken XML: element <time> closed by </trkpt> (the file is damaged or cut off; ` +
				`export it again)`,
		},
		{
			"no number", gpxHead + trkpt(0, 0, 0, "<ele>high</ele>"),
			`run.gpx:4:78: "high" in element ele is not a number (correct it or leave the element out)`,
		},
		{
			"no time", gpxHead + "<trkpt lat=\"1\" lon=\"1\"><time>yesterday</time></trkpt>",
			`run.gpx:4:30: "yesterday" is not a time (GPX needs a time such as 2026-05-01T17:30:00Z)`,
		},
		{
			"other XML", "<?xml version=\"1.0\"?>\n<html></html>",
			"run.gpx:2:7: this is XML, but its first element is html, not gpx (export the recording as GPX or FIT)",
		},
		{
			"no points", gpxHead + gpxTail,
			"run.gpx: the file has no track point with a time (routes and waypoints are no recording)",
		},
		{
			"strange encoding",
			"<?xml version=\"1.0\" encoding=\"ebcdic\"?><gpx/>",
			"run.gpx:1:40: broken XML: opening charset \"ebcdic\": the encoding ebcdic is not known; " +
				"save the file as UTF-8 (the file is damaged or cut off; export it again)",
		},
	} {
		_, err := recording.Read("run.gpx", []byte(c.src), recording.Options{})
		var ours *recording.Error
		if !errors.As(err, &ours) || err.Error() != c.want {
			t.Errorf("%s:\n got %v\nwant %s", c.name, err, c.want)
		}
	}
	latin := strings.Replace(gpxHead, "UTF-8", "ISO-8859-1", 1) + trkpt(0, 0, 0, "<name>\xe9\xe8</name>") + gpxTail
	if _, err := recording.Read("run.gpx", []byte(latin), recording.Options{}); err != nil {
		t.Errorf("Latin-1: %v", err)
	}
}
