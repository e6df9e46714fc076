package recording

import (
	"encoding/xml"
	"fmt"
	"math"
	"strings"
	"time"

	"soletrial/pipeline/units"
)

// readPoint reads one trkpt element to its end.
func (r *gpxReader) readPoint(start xml.StartElement) error {
	p := newPoint()
	p.segment = r.segment
	for _, a := range start.Attr {
		switch strings.ToLower(a.Name.Local) {
		case "lat":
			p.lat, _ = foreignNumber(a.Value, false) // a point without a place still has its sensors
		case "lon":
			p.lon, _ = foreignNumber(a.Value, false)
		}
	}
	name, text := "", ""
	for depth := 1; depth > 0; {
		token, err := r.decoder.Token()
		if err != nil {
			return r.broken(err)
		}
		if err := r.nest(token); err != nil {
			return err
		}
		switch token := token.(type) {
		case xml.StartElement:
			depth++
			r.line, r.column = r.decoder.InputPos()
			name, text = strings.ToLower(token.Name.Local), ""
		case xml.CharData:
			if len(text) < longestNumber {
				text += string(token)
			}
		case xml.EndElement:
			depth--
			if err := r.setValue(&p, name, strings.TrimSpace(text)); err != nil {
				return err
			}
			name, text = "", ""
		}
	}
	if p.at.IsZero() {
		r.untimed++
		return nil
	}
	r.points = append(r.points, p)
	return nil
}

// setValue takes the text of an element that has no elements inside.
func (r *gpxReader) setValue(p *point, name, text string) error {
	if name == "time" {
		at, ok := gpxTime(text)
		if !ok {
			return r.failAt(fmt.Sprintf("%q is not a time", text), "GPX needs a time such as 2026-05-01T17:30:00Z")
		}
		p.at = at
		return nil
	}
	c, ok := gpxWords[name]
	if missingWord(text) {
		return nil
	}
	if !ok {
		r.ignored[name]++
		return nil
	}
	v, ok := foreignNumber(text, false)
	if !ok {
		return r.failAt(fmt.Sprintf("%q in element %s is not a number", text, name),
			"correct it or leave the element out")
	}
	p.values[c] = v
	r.found[c] = name
	return nil
}

// longestNumber bounds how much text of an element is examined.
const longestNumber = 200

// gpxTime reads the time of a point. GPX times are in UTC, so that one without a
// zone is taken as UTC.
func gpxTime(text string) (time.Time, bool) {
	at, err := time.Parse(time.RFC3339Nano, text)
	if err != nil {
		at, err = time.Parse("2006-01-02T15:04:05.999999999", text)
	}
	return at, err == nil && !at.IsZero()
}

// earthRadius is the mean radius R1 = (2a+b)/3 of the Earth in metres, as the
// International Union of Geodesy and Geophysics defines it for the ellipsoid GRS
// 80 (Moritz 1980, Bulletin geodesique 54:395: 6371008.7714 m).
const earthRadius = 6371008.8

// pathLength adds up the great-circle distance from point to point within each
// segment; the way between two segments was not recorded and is not counted. A
// point without a place has no distance.
//
// It uses trigonometric functions whose last bit may differ between machines.
// That is allowed here: an imported recording is an input, written once with two
// decimals and then kept in git, not a table that must be derived again.
func pathLength(points []point) []float64 {
	out := make([]float64, len(points))
	total, last := 0.0, -1
	for i, p := range points {
		if !units.Known(p.lat) || !units.Known(p.lon) {
			out[i] = units.Missing
			continue
		}
		if last >= 0 && points[last].segment == p.segment {
			total += haversine(points[last], p)
		}
		out[i], last = total, i
	}
	return out
}

// haversine is the great-circle distance between two points in metres (Sinnott
// 1984, Virtues of the haversine, Sky and Telescope 68:158, from memory).
func haversine(a, b point) float64 {
	const radian = math.Pi / 180
	lat := math.Sin((b.lat - a.lat) * radian / 2)
	lon := math.Sin((b.lon - a.lon) * radian / 2)
	h := float64(lat*lat) + float64(float64(math.Cos(a.lat*radian)*math.Cos(b.lat*radian))*float64(lon*lon))
	return 2 * earthRadius * math.Asin(min(1, math.Sqrt(h)))
}
