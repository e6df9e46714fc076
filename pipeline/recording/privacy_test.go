package recording_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/muktihari/fit/kit/semicircles"

	"soletrial/pipeline/recording"
	"soletrial/pipeline/recording/fittest"
)

// Who ran, where, and with which device must not be in anything that is read.
func TestNothingPrivateIsKept(t *testing.T) {
	const owner, serial = "Plantedname", 3987654321
	degrees := func(s int32) string { return fmt.Sprintf("%.3f", semicircles.ToDegrees(s)) }
	secrets := []string{owner, "3987654321", fmt.Sprint(fittest.PlantedLatitude), fmt.Sprint(fittest.PlantedLongitude),
		degrees(fittest.PlantedLatitude), degrees(fittest.PlantedLongitude), "48.123", "11.987"}
	files := map[string][]byte{
		"run.fit": fittest.Run(fittest.Spec{Positions: true, Serial: serial, Owner: owner}),
		"run.gpx": []byte(strings.ReplaceAll(gpxHead, "invented", owner+" 3987654321") +
			trkpt(48.1234567, 11.9876543, 0, "<extensions><hr>150</hr><serial>3987654321</serial></extensions>") +
			trkpt(48.1234867, 11.9876943, 1, "<desc>"+owner+"</desc>") + gpxTail),
		"run.csv": []byte("t,power,lat,lon,athlete,serial\n0,280,48.1234567,11.9876543," + owner +
			",3987654321\n1,281,48.1234867,11.9876943," + owner + ",3987654321\n"),
	}
	for name, src := range files {
		imp := mustRead(t, name, src, recording.Options{})
		text := fmt.Sprintf("%+v %+v", *imp, *imp.Samples)
		for _, secret := range secrets {
			if strings.Contains(text, secret) {
				t.Errorf("%s: %q is in what was read", name, secret)
			}
		}
		if !strings.Contains(joined(imp.Dropped), "positions (") {
			t.Errorf("%s: it is not said that positions were dropped: %q", name, imp.Dropped)
		}
	}
}
