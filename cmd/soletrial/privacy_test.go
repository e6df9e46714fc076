package main_test

import (
	"archive/zip"
	"bytes"
	"compress/gzip"
	"fmt"
	"io"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/muktihari/fit/kit/semicircles"
	"github.com/muktihari/fit/profile/mesgdef"
	"github.com/muktihari/fit/profile/typedef"
	"github.com/muktihari/fit/proto"

	"soletrial/cmd/internal/cli"
	"soletrial/pipeline/recording/fittest"
)

// Who runs, where and with which device; all of it invented.
const (
	plantedName   = "Plantedname"
	plantedSerial = 3987654321
	plantedLat    = 47.123456
	plantedLon    = 11.987654
	plantedWeight = "83.4917"
	plantedBirth  = "1979-11-23"
	plantedHome   = "Plantedhome" // a folder on the way to the recordings
)

// secrets are the markers in every form in which a program could write them down.
func secrets() []string {
	all := []string{plantedName, strings.ToLower(plantedName), strings.ToUpper(plantedName), plantedHome, fmt.Sprint(plantedSerial), fmt.Sprintf("%x", plantedSerial), plantedWeight, "83.49", plantedBirth, "planted@"}
	for _, degrees := range []float64{plantedLat, plantedLon, semicircles.ToDegrees(fittest.PlantedLatitude), semicircles.ToDegrees(fittest.PlantedLongitude)} {
		size := math.Abs(degrees)
		all = append(all, fmt.Sprintf("%.4f", size)[:6], strings.Replace(fmt.Sprintf("%.4f", size)[:6], ".", ",", 1), // degrees, two or three decimals
			fmt.Sprintf("%.5f", size*math.Pi/180)[:6], fmt.Sprint(int(size / 180 * (1 << 31)))[:6]) // radians, semicircles
	}
	return all
}

// plantedRuns are recordings with the markers wherever their format has room.
func plantedRuns() map[string][]byte {
	more := []proto.Message{
		mesgdef.NewUserProfile(nil).SetFriendlyName(plantedName).SetWeight(835).SetAge(46).ToMesg(nil),
		mesgdef.NewDeviceInfo(nil).SetSerialNumber(plantedSerial).SetProductName(plantedName).ToMesg(nil),
		mesgdef.NewWorkout(nil).SetWktName(plantedName).ToMesg(nil),
		mesgdef.NewCoursePoint(nil).SetName(plantedName).SetType(typedef.CoursePointGeneric).SetPositionLat(fittest.PlantedLatitude).SetPositionLong(fittest.PlantedLongitude).ToMesg(nil),
	}
	var gpx, csv strings.Builder
	fmt.Fprintf(&gpx, `<?xml version="1.0"?><!-- %[1]s --><gpx version="1.1" creator="%[1]s %[2]d" xmlns="http://www.topografix.com/GPX/1/1"><metadata><name>%[1]s</name><desc>%[1]s</desc>`+
		`<author><name>%[1]s</name><email id="planted" domain="example.invalid"/></author><copyright author="%[1]s"/><keywords>%[1]s</keywords></metadata>`+
		`<wpt lat="%[3]f" lon="%[4]f"><name>%[1]s</name></wpt><trk><name>%[1]s</name><cmt>%[1]s</cmt><src>%[2]d</src><trkseg>`, plantedName, plantedSerial, plantedLat, plantedLon)
	fmt.Fprintf(&csv, "# exported for %s from %s\nelapsed_s,power_w,speed_mps,latitude,longitude,athlete,serial,email,weight,birth,note\n", plantedName, plantedHome)
	for i := range 1200 {
		lat, lon := plantedLat+float64(i)*3e-8, plantedLon+float64(i)*4e-8
		fmt.Fprintf(&gpx, `<trkpt lat="%.7f" lon="%.7f"><time>2026-05-02T10:%02d:%02dZ</time><name>%s</name><desc>%s</desc><extensions><power>%d</power><serial>%d</serial><owner>%s</owner></extensions></trkpt>`,
			lat, lon, i/60, i%60, plantedName, plantedName, 250+i%7, plantedSerial, plantedName)
		fmt.Fprintf(&csv, "%d,%d,4.0,%.7f,%.7f,%s,%d,planted@example.invalid,%s,%s,%s\n", i, 250+i%7, lat, lon, plantedName, plantedSerial, plantedWeight, plantedBirth, plantedName)
	}
	gpx.WriteString("</trkseg></trk></gpx>")
	return map[string][]byte{
		plantedName + ".fit": fittest.Run(fittest.Spec{Positions: true, Serial: plantedSerial, Owner: plantedName, More: more}),
		plantedName + ".gpx": []byte(gpx.String()), plantedName + ".csv": []byte(csv.String()),
	}
}

// Nothing that says who ran, where, or with which device leaves a recording: not a
// byte of it is in anything that the program writes or prints, nor where the
// recording came from.
func TestNothingPrivateIsWritten(t *testing.T) {
	dir := t.TempDir()
	source, mine, site, kept := filepath.Join(dir, plantedHome), filepath.Join(dir, "mine"), filepath.Join(dir, "site"), filepath.Join(dir, "cache")
	if err := os.Mkdir(source, 0o777); err != nil {
		t.Fatal(err)
	}
	t.Setenv("SOLETRIAL_CACHE", kept)
	var said bytes.Buffer
	run := func(want int, args ...string) {
		t.Helper()
		before := said.Len()
		if code := cli.Main(args, strings.NewReader(""), &said, &said); code != want {
			t.Fatalf("%q exits %d, want %d: %s", args, code, want, said.Bytes()[before:])
		}
	}
	run(0, "init", mine)
	write(t, filepath.Join(mine, "shoes.csv"), "id,label,mass_g\nalder,Alder,240.0\nbirch,Birch,210.0\n")
	for name, src := range plantedRuns() {
		if !bytes.Contains(src, []byte(plantedName)) {
			t.Fatalf("nothing is planted in %s", name)
		}
		path := filepath.Join(source, name)
		write(t, path, string(src))
		format := strings.TrimPrefix(filepath.Ext(name), ".")
		base := []string{"-d", mine, "import", "-s", "2026-05-02-" + format, "--date", "2026-05-02", "--target", "280", path}
		run(0, append(base, "--dry-run")...)
		run(0, append(base, "--dry-run", "--json")...)
		run(0, append(base, "--device", "pod")...)
		run(0, append(base, "--device", "pod", "--json")...)
		write(t, filepath.Join(mine, "sessions", "2026-05-02-"+format, "blocks.csv"), "block,shoe,start_s,end_s\n1,alder,0.0,290.0\n2,birch,360.0,650.0\n3,birch,720.0,1010.0\n")
	}
	run(0, "-d", mine, "tidy")
	for _, args := range [][]string{{"derive"}, {"derive", "--verify"}, {"compare"}, {"compare", "--json"}, {"publish", "-o", site}} {
		run(0, append([]string{"-d", mine}, args...)...)
	}
	cli.Main([]string{"-d", mine, "check"}, nil, &said, &said)
	cli.Main([]string{"-d", mine, "check", "--json"}, nil, &said, &said)

	read, found := 0, secrets()
	look := func(where string, text []byte) {
		read += len(text)
		for _, secret := range found {
			if at := bytes.Index(text, []byte(secret)); at >= 0 && !insideNumber(text, at, secret) {
				t.Errorf("%s holds %q: ...%q...", where, secret, text[max(at-40, 0):min(at+60, len(text))])
			}
		}
	}
	look("what was printed", said.Bytes())
	for _, folder := range []string{mine, site, kept} {
		eachText(t, folder, look)
	}
	if read < 500_000 {
		t.Errorf("only %d bytes were searched", read)
	}
	t.Logf("%d bytes were searched for %d forms of what is private", read, len(found))
}

// insideNumber reports whether what was found is digits in the middle of a longer
// number or hash, which happens by chance.
func insideNumber(text []byte, at int, secret string) bool {
	if strings.Trim(secret, "0123456789.,") != "" || at == 0 {
		return false
	}
	return strings.ContainsRune("0123456789abcdef.", rune(text[at-1]))
}

// eachText visits every file of a folder by its name and what it holds, archives
// unpacked. The explorer itself is left out: it is the same for every dataset.
func eachText(t *testing.T, folder string, visit func(where string, text []byte)) {
	t.Helper()
	err := filepath.WalkDir(folder, func(path string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		visit("the name of "+path[len(folder):], []byte(path[len(folder):]))
		text, err := os.ReadFile(path)
		switch {
		case err != nil:
			return err
		case strings.HasSuffix(path, ".wasm.gz"):
			return nil
		case strings.HasSuffix(path, ".zip"):
			return eachZipped(path, text, visit)
		case bytes.HasPrefix(text, []byte("\x1f\x8b")):
			unpacked, err := gzip.NewReader(bytes.NewReader(text))
			if err != nil {
				return err
			}
			if text, err = io.ReadAll(unpacked); err != nil {
				return err
			}
		}
		visit(path[len(folder):], text)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

func eachZipped(path string, text []byte, visit func(where string, text []byte)) error {
	archive, err := zip.NewReader(bytes.NewReader(text), int64(len(text)))
	if err != nil {
		return err
	}
	visit(path+", its comment", []byte(archive.Comment))
	for _, f := range archive.File {
		open, err := f.Open()
		if err != nil {
			return err
		}
		inner, err := io.ReadAll(open)
		if err != nil {
			return err
		}
		visit(path+": "+f.Name, append([]byte(f.Name+"\n"+f.Comment+"\n"+string(f.Extra)+"\n"), inner...))
	}
	return nil
}

func write(t *testing.T, path, text string) {
	t.Helper()
	if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
}
