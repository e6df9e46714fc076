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
	"regexp"
	"strings"
	"testing"

	"github.com/muktihari/fit/kit/semicircles"
	"github.com/muktihari/fit/profile/mesgdef"
	"github.com/muktihari/fit/profile/typedef"
	"github.com/muktihari/fit/proto"
	"github.com/rogpeppe/go-internal/diff"

	"soletrial/cmd/internal/cli"
	"soletrial/pipeline/recording/fittest"
)

// person is who runs, where, and with which device.
type person struct {
	name, home, birth, weight string
	serial                    uint32
	lat, lon                  float64
	place                     [2]int32 // in semicircles, see [fittest.Spec]
	kilos                     uint16   // in tenths
	age, height, rest, most   uint8
}

// planted is somebody invented, and another is somebody else in every respect, but
// for a place that mirrors hers, so that distances are the same to the last bit.
var (
	planted = person{name: "Plantedname", home: "Plantedhome", birth: "1979-11-23", weight: "83.4917",
		serial: 3987654321, lat: 47.123456, lon: 11.987654,
		place: [2]int32{fittest.PlantedLatitude,
			fittest.PlantedLongitude}, kilos: 835, age: 46, height: 187, rest: 41, most: 193}
	another = person{name: "Someoneelse", home: "Elsewhere", birth: "2001-02-03", weight: "55.1203",
		serial: 1234509876, lat: -47.123456, lon: -11.987654,
		place: [2]int32{-345678901, 456789012}, kilos: 551, age: 24, height: 161, rest: 58, most: 207}
)

// secrets are the markers in every form in which a program could write them down.
func (w person) secrets() []string {
	all := []string{w.name, strings.ToLower(w.name), strings.ToUpper(w.name), w.home, fmt.Sprint(w.serial),
		fmt.Sprintf("%x", w.serial), w.weight, w.weight[:5], w.birth, "planted@"}
	for _, degrees := range []float64{w.lat, w.lon, semicircles.ToDegrees(w.place[0]),
		semicircles.ToDegrees(w.place[1])} {
		size := math.Abs(degrees)
		point := fmt.Sprintf("%.4f", size)[:6] // degrees, two or three decimals
		radians, semicircles := fmt.Sprintf("%.5f", size*math.Pi/180)[:6], fmt.Sprint(int(size / 180 * (1 << 31)))[:6]
		all = append(all, point, strings.Replace(point, ".", ",", 1), radians, semicircles)
	}
	return all
}

// runs are recordings with the markers wherever their format has room.
func (w person) runs() map[string][]byte {
	more := []proto.Message{
		mesgdef.NewUserProfile(nil).SetFriendlyName(w.name).SetWeight(w.kilos).SetAge(w.age).SetHeight(
			w.height).SetRestingHeartRate(w.rest).SetDefaultMaxRunningHeartRate(w.most).
			SetUserRunningStepLength(uint16(w.height) * 6).ToMesg(nil),
		mesgdef.NewDeviceInfo(nil).SetSerialNumber(w.serial).SetProductName(w.name).ToMesg(nil),
		mesgdef.NewWorkout(nil).SetWktName(w.name).ToMesg(nil),
		mesgdef.NewCoursePoint(nil).SetName(w.name).SetType(typedef.CoursePointGeneric).SetPositionLat(
			w.place[0]).SetPositionLong(w.place[1]).ToMesg(nil),
	}
	var gpx, csv strings.Builder
	fmt.Fprintf(&gpx,
		`<?xml version="1.0"?><!-- %[1]s --><gpx version="1.1" creator="%[1]s %[2]d" `+
			`xmlns="http://www.topografix.com/GPX/1/1"><metadata><name>%[1]s</name><desc>%[1]s</desc>`+
			`<author><name>%[1]s</name><email id="planted" domain="example.invalid"/></author>`+
			`<copyright author="%[1]s"/><keywords>%[1]s</keywords></metadata>`+
			`<wpt lat="%[3]f" lon="%[4]f"><name>%[1]s</name></wpt>`+
			`<trk><name>%[1]s</name><cmt>%[1]s</cmt><src>%[2]d</src><trkseg>`,
		w.name, w.serial, w.lat, w.lon)
	fmt.Fprintf(&csv, "# exported for %s from %s\n"+
		"elapsed_s,power_w,speed_mps,latitude,longitude,athlete,serial,email,weight,birth,note\n",
		w.name, w.home)
	for i := range 1200 {
		lat, lon := w.lat+math.Copysign(float64(i)*3e-8, w.lat), w.lon+math.Copysign(float64(i)*4e-8, w.lon)
		fmt.Fprintf(&gpx, `<trkpt lat="%.7f" lon="%.7f"><time>2026-05-02T10:%02d:%02dZ</time>`+
			`<name>%s</name><desc>%s</desc><extensions>`+
			`<power>%d</power><serial>%d</serial><owner>%s</owner></extensions></trkpt>`,
			lat, lon, i/60, i%60, w.name, w.name, 250+i%7, w.serial, w.name)
		fmt.Fprintf(&csv, "%d,%d,4.0,%.7f,%.7f,%s,%d,planted@example.invalid,%s,%s,%s\n", i, 250+i%7, lat, lon,
			w.name, w.serial, w.weight, w.birth, w.name)
	}
	gpx.WriteString("</trkseg></trk></gpx>")
	return map[string][]byte{
		w.name + ".fit": fittest.Run(fittest.Spec{Positions: true, From: w.place, Serial: w.serial, Owner: w.name,
			More: more}),
		w.name + ".gpx": []byte(gpx.String()), w.name + ".csv": []byte(csv.String()),
	}
}

// handle takes a person's recordings through all that the program does, below dir, and
// returns what it said.
func (w person) handle(t *testing.T, dir string) []byte {
	t.Helper()
	source, mine := filepath.Join(dir, w.home), filepath.Join(dir, "mine")
	if err := os.Mkdir(source, 0o777); err != nil {
		t.Fatal(err)
	}
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
	runs := w.runs()
	for _, format := range []string{"csv", "fit", "gpx"} {
		name := w.name + "." + format
		if !bytes.Contains(runs[name], []byte(w.name)) {
			t.Fatalf("nothing is planted in %s", name)
		}
		path := filepath.Join(source, name)
		write(t, path, string(runs[name]))
		base := []string{"-d", mine, "import", "-s", "2026-05-02-" + format, "--date", "2026-05-02", "--target",
			"280", path}
		run(0, append(base, "--dry-run")...)
		run(0, append(base, "--dry-run", "--json")...)
		run(0, append(base, "--device", "pod")...)
		run(0, append(base, "--device", "pod", "--json")...)
		write(t, filepath.Join(mine, "sessions", "2026-05-02-"+format, "blocks.csv"),
			"block,shoe,start_s,end_s\n1,alder,0.0,290.0\n2,birch,360.0,650.0\n3,birch,720.0,1010.0\n")
	}
	run(0, "-d", mine, "tidy")
	for _, args := range [][]string{{"derive"}, {"derive", "--verify"}, {"compare"}, {"compare", "--json"},
		{"publish", "-o", filepath.Join(dir, "site")}} {
		run(0, append([]string{"-d", mine}, args...)...)
	}
	cli.Main([]string{"-d", mine, "check"}, nil, &said, &said)
	cli.Main([]string{"-d", mine, "check", "--json"}, nil, &said, &said)
	return said.Bytes()
}

// Nothing that says who ran, where, or with which device leaves a recording: not a
// byte of it is in anything that the program writes or prints, nor where the
// recording came from.
func TestNothingPrivateIsWritten(t *testing.T) {
	dir := t.TempDir()
	said := planted.handle(t, dir)
	read, found := 0, planted.secrets()
	look := func(where string, text []byte) {
		read += len(text)
		for _, secret := range found {
			if at := bytes.Index(text, []byte(secret)); at >= 0 && !insideNumber(text, at, secret) {
				t.Errorf("%s holds %q: ...%q...", where, secret, text[max(at-40, 0):min(at+60, len(text))])
			}
		}
	}
	look("what was printed", said)
	for _, folder := range []string{"mine", "site"} {
		eachText(t, filepath.Join(dir, folder), look)
	}
	if read < 500_000 {
		t.Errorf("only %d bytes were searched", read)
	}
	t.Logf("%d bytes were searched for %d forms of what is private", read, len(found))
}

// hashed are hashes: that of the recording as it came is written down, on purpose, and
// those of what holds it differ with it.
var hashed = regexp.MustCompile(`\b([0-9a-f]{64}|sha256-[0-9a-f]{12})\b`)

// packed is the size of the archive, in which other hashes take a few bytes more or less.
var packed = regexp.MustCompile(`(dataset\.zip">[^<]*\(|dataset\.zip</a></th>.*data-label="Size">)[0-9.]+ kB`)

// Somebody else's name, age, weight, heart, device and place change not a byte of
// anything but hashes: what does not depend on them cannot tell of them, in whatever
// form.
func TestPrivateValuesChangeNothing(t *testing.T) {
	var wrote [2]map[string]string
	for i, w := range []person{planted, another} {
		dir := t.TempDir()
		said := w.handle(t, dir)
		wrote[i] = map[string]string{"what was printed": strings.ReplaceAll(string(said), dir, "DIR")}
		for _, folder := range []string{"mine", "site"} {
			eachText(t, filepath.Join(dir, folder), func(where string, text []byte) {
				text = packed.ReplaceAll(hashed.ReplaceAll(text, []byte("HASH")), []byte("${1}SIZE"))
				wrote[i][folder+strings.ReplaceAll(where, dir, "")] = string(text)
			})
		}
	}
	if len(wrote[0]) < 40 || len(wrote[0]) != len(wrote[1]) {
		t.Errorf("%d files and names, and %d", len(wrote[0]), len(wrote[1]))
	}
	for where, text := range wrote[0] {
		if other := wrote[1][where]; text != other {
			t.Errorf("%s differs:\n%s", where, diff.Diff("hers", []byte(text), "somebody else's", []byte(other)))
		}
	}
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
