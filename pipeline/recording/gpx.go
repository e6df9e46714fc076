package recording

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
	"time"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// gpxWords lists the local names, in lower case, that hold a channel inside a
// track point or its extensions. The namespaces are not examined: every writer
// has its own, while the local names are common.
var gpxWords = map[string]trial.Channel{
	"hr": trial.HeartRateBpm, "heartrate": trial.HeartRateBpm,
	"cad": trial.CadenceSpm, "cadence": trial.CadenceSpm, "runcadence": trial.CadenceSpm,
	"power": trial.PowerW, "watts": trial.PowerW, "powerinwatts": trial.PowerW,
	"speed": trial.SpeedMps, "distance": trial.DistanceM,
	"atemp": trial.AirC, "temp": trial.AirC, "ele": trial.AltitudeM,
}

// readGPX reads the track points of a GPX file, all tracks and segments of it in
// order. Waypoints and routes are no recording and are left out.
func readGPX(name string, src []byte, o Options) (*Import, error) {
	imp := &Import{Format: "gpx", Zone: o.Zone}
	r := &gpxReader{
		name:    name,
		decoder: xml.NewDecoder(bytes.NewReader(bytes.TrimPrefix(src, []byte(utf8BOM)))),
		imp:     imp,
		ignored: map[string]int{},
	}
	r.decoder.CharsetReader = oneByteCharset
	if err := r.read(); err != nil {
		return nil, err
	}
	if len(r.points) == 0 {
		return nil, &Error{
			File:    name,
			Message: "the file has no track point with a time",
			Hint:    "routes and waypoints are no recording",
		}
	}
	if err := r.dropOutliers(); err != nil {
		return nil, err
	}
	imp.fillFromPoints(r)
	return imp, nil
}

// dropOutliers leaves out the points whose time cannot be right.
func (r *gpxReader) dropOutliers() error {
	seconds := make([]float64, len(r.points))
	for i, p := range r.points {
		seconds[i] = float64(p.at.Unix())
	}
	outlier, n := timeOutliers(seconds)
	if message := r.imp.judgeOutliers(n, seconds); message != "" {
		return &Error{File: r.name, Message: message, Hint: outlierHint}
	}
	r.points = without(r.points, outlier)
	return nil
}

func (imp *Import) fillFromPoints(r *gpxReader) {
	first := r.points[0].at
	imp.Start = first.UTC()
	imp.setZone(first)
	imp.Samples = &trial.Samples{Elapsed: make([]float64, len(r.points))}
	for i, p := range r.points {
		imp.Samples.Elapsed[i] = p.at.Sub(first).Seconds()
	}
	imp.Sources = append(imp.Sources, Source{Column: trial.ElapsedColumn, From: "trkpt/time", Values: len(r.points)})
	for c := range trial.ChannelCount {
		if column := r.channel(c); count(column.values) > 0 {
			imp.take(column)
		}
	}
	if r.untimed > 0 {
		imp.drop("%d track points without a time", r.untimed)
	}
	for _, name := range slices.Sorted(maps.Keys(r.ignored)) {
		imp.drop("elements %s (%d): no channel for them", name, r.ignored[name])
	}
	imp.drop("positions (%d samples)", len(r.points))
}

// channel gives a channel as the points have it; distance is computed from the
// positions when the file has neither distance nor speed.
func (r *gpxReader) channel(c trial.Channel) column {
	out := column{channel: c, from: "element " + r.found[c], values: make([]float64, len(r.points))}
	if c != trial.CadenceSpm {
		out.unit = &unitTable[c][0] // GPX is in metres, seconds and degrees Celsius
	}
	for i, p := range r.points {
		out.values[i] = p.values[c]
	}
	if c == trial.DistanceM && r.found[trial.DistanceM] == "" && r.found[trial.SpeedMps] == "" {
		out.from, out.values = "positions", pathLength(r.points)
		out.done = append(out.done, "great-circle distance between the points of a segment")
	}
	return out
}

// point is one track point. Latitude and longitude serve for distance only and
// leave this file with it.
type point struct {
	at       time.Time
	lat, lon float64
	segment  int
	values   [trial.ChannelCount]float64
}

func newPoint() point {
	p := point{lat: units.Missing, lon: units.Missing}
	for c := range p.values {
		p.values[c] = units.Missing
	}
	return p
}

// gpxReader walks the tokens of a GPX file.
type gpxReader struct {
	name    string
	decoder *xml.Decoder
	imp     *Import
	points  []point
	found   [trial.ChannelCount]string // the local name each channel was found under
	segment int
	untimed int
	depth   int            // how many elements are open
	ignored map[string]int // elements that hold no channel, by local name

	line, column int // where the text of the current element begins
}

func (r *gpxReader) read() error {
	rootSeen := false
	for {
		token, err := r.decoder.Token()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return r.broken(err)
		}
		// Depth is limited, for every kind of token.
		if err := r.nest(token); err != nil {
			return err
		}
		start, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		local := strings.ToLower(start.Name.Local)
		// The root must be gpx; points count by the segment that they are in.
		switch {
		case !rootSeen && local != "gpx":
			return r.fail("this is XML, but its first element is "+start.Name.Local+", not gpx",
				"export the recording as GPX or FIT")
		case local == "trkseg":
			r.segment++
		case local == "wpt", local == "rtept":
			r.ignored[local]++
		case local == "trkpt":
			if err := r.readPoint(start); err != nil {
				return err
			}
		}
		rootSeen = true
	}
}

// maxDepth is how deep elements may stand in each other; extensions of track
// points stand six deep.
const maxDepth = 100

// nest follows how deep the reader is in the file.
func (r *gpxReader) nest(token xml.Token) error {
	switch token.(type) {
	case xml.StartElement:
		r.depth++
	case xml.EndElement:
		r.depth--
	}
	if r.depth > maxDepth {
		return r.fail(fmt.Sprintf("elements are nested deeper than %d levels", maxDepth), "this is no recording")
	}
	return nil
}

// fail is an error at the reader's place in the file.
func (r *gpxReader) fail(message, hint string) *Error {
	line, column := r.decoder.InputPos()
	return &Error{File: r.name, Line: line, Column: column, Message: message, Hint: hint}
}

// failAt is an error about the text of the current element.
func (r *gpxReader) failAt(message, hint string) *Error {
	return &Error{File: r.name, Line: r.line, Column: r.column, Message: message, Hint: hint}
}

// broken is the error for text that is not well-formed XML.
func (r *gpxReader) broken(err error) *Error {
	message := strings.TrimPrefix(err.Error(), "xml: ")
	if syntax, ok := errors.AsType[*xml.SyntaxError](err); ok {
		message = syntax.Msg
	}
	return r.fail("broken XML: "+message, "the file is damaged or cut off; export it again")
}

// oneByteCharset reads the old one-byte encodings as if they were Latin-1. Only
// text that is thrown away (names, comments) can hold anything but ASCII.
func oneByteCharset(charset string, in io.Reader) (io.Reader, error) {
	switch strings.ToLower(charset) {
	case "us-ascii", "ascii", "iso-8859-1", "iso-8859-15", "latin1", "windows-1252":
	default:
		return nil, errors.New("the encoding " + charset + " is not known; save the file as UTF-8")
	}
	bytesIn, err := io.ReadAll(in)
	if err != nil {
		return nil, err
	}
	runes := make([]rune, len(bytesIn))
	for i, b := range bytesIn {
		runes[i] = rune(b)
	}
	return strings.NewReader(string(runes)), nil
}
