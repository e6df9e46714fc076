package serve

import (
	"net/http"
	"strconv"
	"strings"
)

// maxRanges is how many parts may be asked for at once: more in one request are a mistake
// or an attack (RFC 9110, section 17.15), and ignored as section 14.2 allows.
const maxRanges = 16

// withSoundRange returns a request whose Range, if it still has one, is for bytes and in
// the form of RFC 9110, section 14.1.2. Any other is ignored, as section 14.2 says: with
// a method other than GET, in a unit that is not known, or without a meaning.
func withSoundRange(r *http.Request) *http.Request {
	fields := r.Header.Values("Range")
	if len(fields) == 0 {
		return r
	}
	sound := r.Clone(r.Context())
	sound.Header.Del("Range")
	if ranges, ok := byteRanges(fields[0]); ok && len(fields) == 1 && r.Method == http.MethodGet {
		sound.Header.Set("Range", "bytes="+ranges)
	}
	return sound
}

// byteRanges returns what a Range asks for in bytes; it is not ok where that has no
// meaning.
func byteRanges(field string) (ranges string, ok bool) {
	unit, ranges, found := strings.Cut(field, "=")
	if !found || !strings.EqualFold(unit, "bytes") {
		return "", false
	}
	asked := 0
	for part := range strings.SplitSeq(ranges, ",") {
		if part = strings.Trim(part, " \t"); part == "" {
			continue // section 5.6.1.2: a list may have empty elements
		}
		first, last, found := strings.Cut(part, "-")
		if asked++; !found || asked > maxRanges || !spans(first, last) {
			return "", false
		}
	}
	return ranges, asked > 0
}

// spans reports whether the two sides of a dash say from where to where: both, the first
// alone, or, as a length from the end, the last alone.
func spans(first, last string) bool {
	from, fromOK := position(first)
	to, toOK := position(last)
	switch {
	case first == "":
		return toOK
	case last == "":
		return fromOK
	}
	return fromOK && toOK && from <= to
}

// position reads a number of digits alone. One that no file reaches is not read.
func position(digits string) (n int64, ok bool) {
	if strings.Trim(digits, "0123456789") != "" {
		return 0, false
	}
	n, err := strconv.ParseInt(digits, 10, 64)
	return n, err == nil
}
