package plaintext

import (
	"reflect"
	"strconv"
	"strings"
)

// field is a key of a document, as the tags of a struct field describe it. The
// JSON Schemas are generated from the same tags.
type field struct {
	key      string
	index    int
	required bool // no omitempty
	allowed  constraint
}

// constraint is what the `jsonschema` tag of a field asks of its value. A pattern
// is for editors only: a date is checked by the calendar, an address by its parts.
type constraint struct {
	words              []string // enum
	span               span
	minItems, maxItems int // maxItems 0 means any number
}

// fieldsOf lists the keys of a struct type in order.
func fieldsOf(t reflect.Type) []field {
	list := make([]field, t.NumField())
	for i := range list {
		key, options, _ := strings.Cut(t.Field(i).Tag.Get("json"), ",")
		list[i] = field{key, i, options != "omitempty", parseConstraint(t.Field(i).Tag.Get("jsonschema"))}
	}
	return list
}

func parseConstraint(tag string) constraint {
	c := constraint{span: anyNumber}
	low, high := "", ""
	for part := range strings.SplitSeq(tag, ",") {
		name, value, _ := strings.Cut(part, "=")
		switch name {
		case "enum":
			c.words = append(c.words, value)
		case "minimum":
			low = value
		case "maximum":
			high = value
		case "minItems":
			c.minItems, _ = strconv.Atoi(value)
		case "maxItems":
			c.maxItems, _ = strconv.Atoi(value)
		}
	}
	c.span = spanOf(low, high)
	return c
}

// spanOf is the range of numbers from low to high, "" for no bound.
func spanOf(low, high string) span {
	s := span{low: -1e300, high: 1e300}
	if low != "" {
		s.low, _ = strconv.ParseFloat(low, 64)
		s.words = "write " + low + " or more"
	}
	if high != "" {
		s.high, _ = strconv.ParseFloat(high, 64)
		s.words = "write " + high + " or less"
	}
	if low != "" && high != "" {
		s.words = "write " + low + " to " + high
	}
	return s
}
