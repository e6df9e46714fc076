package recording_test

import (
	"strings"
	"testing"

	"soletrial/pipeline/recording"
	"soletrial/pipeline/recording/fittest"
)

func TestFormatIsFoundFromContent(t *testing.T) {
	fit := fittest.Run(fittest.Spec{Blocks: 1, BlockS: 5})
	gpx := []byte(gpxHead + trkpt(1, 2, 0, "") + gpxTail)
	csv := []byte("t,power\n0,280\n")
	for _, c := range []struct {
		name string
		src  []byte
		want string
	}{
		{"a.csv", fit, "fit"}, {"a", fit, "fit"}, {"a.fit", gpx, "gpx"},
		{"a.csv", append([]byte("\ufeff\r\n "), gpx...), "gpx"},
		{"a.gpx", []byte("<gpx>" + trkpt(1, 2, 0, "") + "</gpx>"), "gpx"}, {"a", csv, "csv"}, {"a.txt", csv, "csv"},
	} {
		if imp := mustRead(t, c.name, c.src, recording.Options{}); imp.Format != c.want {
			t.Errorf("%s beginning %q: %s, want %s", c.name, c.src[:12], imp.Format, c.want)
		}
	}
}

func TestReadRefuses(t *testing.T) {
	columns := recording.Options{Columns: map[string]string{"power_w": "p"}}
	for _, c := range []struct {
		name string
		src  []byte
		o    recording.Options
		want string
	}{
		{"a.fit", nil, recording.Options{}, "a.fit: no FIT messages were found"},
		{"a.fit", []byte("0,1,2\n"), recording.Options{}, "a.fit: no FIT messages were found"},
		{"a.gpx", []byte("0,1,2\n"), recording.Options{}, "a.gpx: the file has no track point"},
		{"a.fit", fittest.Run(fittest.Spec{Blocks: 1, BlockS: 5}), columns, "a FIT file, which has no headings"},
		{"a.csv", make([]byte, 200<<20+1), recording.Options{}, "more than the limit of 200 MB"},
	} {
		_, err := recording.Read(c.name, c.src, c.o)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q in it", c.name, err, c.want)
		}
	}
}
