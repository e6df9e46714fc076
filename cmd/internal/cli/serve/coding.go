package serve

import (
	"strconv"
	"strings"
)

// unlisted is the weight of sending a file as it is where nothing is said about
// that: acceptable, but less wanted than anything that is named.
const unlisted = 0.0001

// wantsGzip reads the Accept-Encoding fields of a request (RFC 9110, sections
// 12.4.2 and 12.5.3): whether the gzip coding is wanted rather than none, and
// whether the file may be sent without one. A request without the field gets the
// file as it is.
func wantsGzip(fields []string) (zipped, plain bool) {
	weights := map[string]float64{}
	for _, field := range fields {
		for _, element := range strings.Split(field, ",") {
			if coding, weight, ok := weightOf(element); ok {
				weights[coding] = weight
			}
		}
	}
	of := func(otherwise float64, names ...string) float64 {
		for _, name := range names {
			if weight, named := weights[name]; named {
				return weight
			}
		}
		return otherwise
	}
	gz, identity := of(0, "gzip", "x-gzip", "*"), of(unlisted, "identity", "*")
	return gz > 0 && gz >= identity, identity > 0
}

// weightOf reads one element such as "gzip;q=0.8"; it is not ok where there is none.
func weightOf(element string) (coding string, weight float64, ok bool) {
	coding, parameter, weighted := strings.Cut(element, ";")
	if coding = strings.ToLower(strings.TrimSpace(coding)); coding == "" {
		return "", 0, false
	}
	if !weighted {
		return coding, 1, true
	}
	name, value, _ := strings.Cut(strings.TrimSpace(parameter), "=")
	whole, decimals, _ := strings.Cut(value, ".")
	if !strings.EqualFold(name, "q") || whole != "0" && whole != "1" || len(decimals) > 3 || strings.Trim(decimals,
		"0123456789") != "" {
		return "", 0, false
	}
	weight, err := strconv.ParseFloat(value, 64)
	return coding, weight, err == nil && weight <= 1
}
