package main

import (
	"bytes"
	"compress/gzip"
	"encoding/binary"
	"strings"
)

// bomb is gzip of many zeros.
func bomb() string {
	var out bytes.Buffer
	w := gzip.NewWriter(&out)
	zeros := make([]byte, 1<<20)
	for range 200 {
		w.Write(zeros)
	}
	w.Close()
	return out.String()
}

// fitHead is the head of a FIT file that claims so many bytes.
func fitHead(claims uint32) string {
	head := []byte{14, 0x20, 0, 0, 0, 0, 0, 0, '.', 'F', 'I', 'T', 0, 0}
	binary.LittleEndian.PutUint32(head[4:], claims)
	return string(head)
}

func recordingTraps() []trap {
	const open = `<?xml version="1.0"?>`
	entities := open + `<!DOCTYPE gpx [<!ENTITY a "` + strings.Repeat("a", 1000) + `"><!ENTITY b "` + strings.Repeat("&a;", 1000) + `"><!ENTITY c "` + strings.Repeat("&b;", 1000) +
		`">]><gpx version="1.1"><trk><trkseg><trkpt lat="1" lon="1"><time>2026-05-01T10:00:00Z</time><name>&c;</name></trkpt></trkseg></trk></gpx>`
	outside := open + `<!DOCTYPE gpx [<!ENTITY x SYSTEM "file:///etc/passwd">]><gpx version="1.1"><trk><name>&x;</name></trk></gpx>`
	definitions := strings.Repeat("\x40\x00\x00\x14\x00\xff"+strings.Repeat("\x01\xff\x07", 255), 2000)
	cases := []struct{ name, file, text, says string }{
		{"gzip bomb", "run.fit.gz", bomb(), `is compressed`},
		{"gzip bomb called .csv", "run.csv", bomb(), `is compressed`},
		{"zip archive", "run.zip", "PK\x03\x04" + strings.Repeat("x", 1000), `is compressed`},
		{"FIT head alone", "run.fit", fitHead(0), `run\.fit`},
		{"FIT that claims 4 GB", "run.fit", fitHead(1<<32-1) + strings.Repeat("\x00", 1000), `run\.fit`},
		{"FIT of definitions only", "run.fit", fitHead(uint32(len(definitions))) + definitions + "\x00\x00", `run\.fit`},
		{"FIT of noise", "run.fit", fitHead(10<<20) + strings.Repeat("\x5a\xa5\x00\xff\x13", 2<<20), `run\.fit`},
		{"XML entities that unfold", "run.gpx", entities, `broken XML`},
		{"XML entity that names a file", "run.gpx", outside, `broken XML`},
		{"XML of 10 million open elements", "run.gpx", open + "<gpx>" + strings.Repeat("<a>", 10<<20), `run\.gpx.*nested`},
		{"XML element of 30 MB", "run.gpx", open + "<gpx>" + "<" + strings.Repeat("a", 30<<20), `broken XML`},
		{"XML attributes, a million", "run.gpx", open + "<gpx" + strings.Repeat(` a=""`, 1<<20) + ">", `run\.gpx`},
		{"XML in a point, a million levels", "run.gpx", open + `<gpx><trk><trkseg><trkpt lat="1" lon="1">` + strings.Repeat("<a>", 1<<20), `run\.gpx.*nested`},
		{"CSV heading of 30 million commas", "run.csv", strings.Repeat(",", 30<<20), `run\.csv`},
		{"CSV row of 30 million commas", "run.csv", "elapsed_s,power_w\n0,1\n" + strings.Repeat(",", 30<<20), `run\.csv`},
		{"CSV of 60 million empty lines", "run.csv", "elapsed_s,power_w\n" + strings.Repeat("\n", 60<<20), `run\.csv`},
		{"CSV quote that never ends", "run.csv", "elapsed_s,power_w\n\"" + strings.Repeat("1,2\n", 8<<20), `run\.csv`},
		{"CSV of 10 million rows", "run.csv", "elapsed_s,power_w\n" + strings.Repeat("1,2\n", 10<<20), `run\.csv`},
		{"CSV of zeros", "run.csv", strings.Repeat("\x00", 30<<20), `run\.csv`},
		{"a file of nothing", "run.csv", "", `the file is empty`},
	}
	traps := make([]trap, len(cases))
	for i, k := range cases {
		traps[i] = trap{k.name, put(k.file, k.text), imports(k.file), 2, k.says, 400}
	}
	return traps
}
