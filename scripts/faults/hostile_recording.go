package main

import (
	"archive/zip"
	"bytes"
	"compress/gzip"
	"encoding/binary"
	"io"
	"strconv"
	"strings"
)

// zeros is gzip of so many megabytes of zeros.
func zeros(megabytes int) string {
	var out bytes.Buffer
	w := gzip.NewWriter(&out)
	for range megabytes {
		w.Write(make([]byte, 1<<20)) // a buffer has room for everything
	}
	w.Close()
	return out.String()
}

// packed is gzip of a text.
func packed(text string) string {
	var out bytes.Buffer
	w := gzip.NewWriter(&out)
	io.WriteString(w, text)
	w.Close()
	return out.String()
}

// zipOf is an archive of so many files of so many megabytes of zeros each.
func zipOf(files, megabytes int) string {
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	text := make([]byte, megabytes<<20)
	for i := range files {
		file, _ := w.Create(strconv.Itoa(i) + ".csv")
		file.Write(text)
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
	const head = `<?xml version="1.0"?>`
	once := func(text string) []piece { return []piece{{text, 1}} }
	then := func(first, text string, times int) []piece { return []piece{{first, 1}, {text, times}} }
	const point = `<trk><trkseg><trkpt lat="1" lon="1"><time>2026-05-01T10:00:00Z</time>`
	entities := head + `<!DOCTYPE gpx [<!ENTITY a "` + strings.Repeat("a", 1000) + `"><!ENTITY b "` +
		strings.Repeat("&a;", 1000) + `">]><gpx version="1.1">` + point +
		`<name>&b;</name></trkpt></trkseg></trk></gpx>`
	outside := head +
		`<!DOCTYPE gpx [<!ENTITY x SYSTEM "file:///etc/passwd">]><gpx version="1.1"><trk><name>&x;</name></trk></gpx>`
	definition := "\x40\x00\x00\x14\x00\xff" + strings.Repeat("\x01\xff\x07", 255)

	// Compressed, XML, FIT and CSV.
	cases := []struct {
		name, file string
		text       []piece
		says       string
	}{
		{"gzip of zeros", "run.fit.gz", once(zeros(200)), `run\.fit: no FIT messages were found`},
		{"gzip of zeros called .csv", "run.csv", once(zeros(200)), `run: this is neither FIT, GPX nor text`},
		{"gzip bomb", "run.fit.gz", once(zeros(2000)), `run\.fit\.gz: it has more than the limit of 200 MB`},
		{"zip bomb", "run.zip", once(zipOf(20, 20)), `run\.zip: it has more than the limit of 200 MB`},
		{"zip of 100,000 names", "run.zip", once(zipOf(100000, 0)),
			`run\.zip: the archive has 100000 files, more than the limit of 1000`},
		{"zip head alone", "run.zip", once("PK\x03\x04"), `run\.zip: the compressed file is damaged or cut off`},
		{"gzip cut off", "run.fit.gz", once(zeros(10)[:5000]),
			`run\.fit\.gz: the compressed file is damaged or cut off`},
		{"gzip in gzip", "run.fit.gz.gz", once(packed(zeros(1))), `run\.fit\.gz: `},
		{"FIT head alone", "run.fit", once(fitHead(0)), `run\.fit`},
		{"FIT that claims 4 GB", "run.fit", then(fitHead(1<<32-1), "\x00", 1000), `run\.fit`},
		{"FIT of definitions only", "run.fit", then(fitHead(uint32(2000*len(definition))), definition, 2000),
			`run\.fit`},
		{"FIT of noise", "run.fit", then(fitHead(10<<20), "\x5a\xa5\x00\xff\x13", 2<<20), `run\.fit`},
		{"XML entities that unfold", "run.gpx", once(entities), `broken XML`},
		{"XML entity that names a file", "run.gpx", once(outside), `broken XML`},
		{"XML of 10 million open elements", "run.gpx", then(head+"<gpx>", "<a>", 10<<20), `run\.gpx.*nested`},
		{"XML element of 30 MB", "run.gpx", then(head+"<gpx><", "a", 30<<20), `broken XML`},
		{"XML attributes, a million", "run.gpx", then(head+"<gpx", ` a=""`, 1<<20), `run\.gpx`},
		{"XML in a point, a million levels", "run.gpx", then(head+"<gpx>"+point, "<a>", 1<<20), `run\.gpx.*nested`},
		{"CSV heading of 30 million commas", "run.csv", then("", ",", 30<<20), `run\.csv`},
		{"CSV row of 30 million commas", "run.csv", then("elapsed_s,power_w\n0,1\n", ",", 30<<20), `run\.csv`},
		{"CSV of 60 million empty lines", "run.csv", then("elapsed_s,power_w\n", "\n", 60<<20), `run\.csv`},
		{"CSV quote that never ends", "run.csv", then("elapsed_s,power_w\n\"", "1,2\n", 8<<20), `run\.csv`},
		{"CSV of 10 million rows", "run.csv", then("elapsed_s,power_w\n", "1,2\n", 10<<20), `run\.csv`},
		{"CSV of zeros", "run.csv", then("", "\x00", 30<<20), `run\.csv`},
		{"a file of nothing", "run.csv", once(""), `the file is empty`},
	}
	traps := make([]trap, len(cases))
	for i, k := range cases {
		traps[i] = trap{k.name, writePieces(k.file, k.text...), importOf(k.file), 2, k.says, 400}
	}
	return traps
}
