package plaintext

import (
	"reflect"
	"strconv"
	"strings"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

const planHead = `# Written before the run. Commit it before the first recording, and leave it as
# it is: what came otherwise belongs into session.yaml, under deviations.
`

const fieldLogHead = `# Written at the venue. Bring it into the dataset with: soletrial log fieldlog.yaml
`

// AppendPlan appends plan.yaml in canonical form: keys in the order of
// [trial.PlanFacts], lists of shoes on one line, what is missing left out.
func AppendPlan(dst []byte, facts *trial.PlanFacts) []byte {
	return appendKeys(append(dst, planHead...), reflect.ValueOf(*facts), "", "")
}

// AppendFieldLog appends fieldlog.yaml in canonical form, as [AppendPlan] does for a
// plan. It needs no YAML library, so the track page can write it.
func AppendFieldLog(dst []byte, log *trial.FieldLog) []byte {
	return appendKeys(append(dst, fieldLogHead...), reflect.ValueOf(*log), "", "")
}

// AppendSessionKey appends one key of a session.yaml with its value, such as
// conditions; nothing where it says nothing.
func AppendSessionKey(dst []byte, facts *trial.SessionFacts, key string) []byte {
	value := reflect.ValueOf(*facts)
	for _, f := range fieldsOf(value.Type()) {
		if f.key == key && !saysNothing(value.Field(f.index)) {
			dst = append(append(dst, key...), ':')
			return appendValue(dst, value.Field(f.index), "")
		}
	}
	return dst
}

// appendKeys appends the fields of a struct that hold something as keys. The first
// line is indented by first, which may hold the dash of a list, the others by indent.
func appendKeys(dst []byte, facts reflect.Value, first, indent string) []byte {
	for _, f := range fieldsOf(facts.Type()) {
		value := facts.Field(f.index)
		if saysNothing(value) && !(f.required && value.Kind() == reflect.Struct) {
			continue
		}
		dst = append(dst, first...)
		dst = append(append(dst, f.key...), ':')
		dst = appendValue(dst, value, indent)
		first = indent
	}
	return dst
}

// saysNothing reports whether a value says nothing: missing numbers and blank texts only.
func saysNothing(value reflect.Value) bool {
	switch value.Kind() {
	case reflect.Float64:
		return !units.Known(value.Float())
	case reflect.Slice:
		return value.Len() == 0
	case reflect.Struct:
		for i := range value.NumField() {
			if !saysNothing(value.Field(i)) {
				return false
			}
		}
		return true
	}
	return value.IsZero()
}

// appendValue appends what follows the colon of a key at the given indentation.
func appendValue(dst []byte, value reflect.Value, indent string) []byte {
	switch value.Kind() {
	case reflect.Struct:
		if saysNothing(value) {
			return append(dst, " {}\n"...)
		}
		return appendKeys(append(dst, '\n'), value, indent+"  ", indent+"  ")
	case reflect.Slice:
		if value.Type().Elem().Kind() == reflect.Struct {
			return appendItems(append(dst, '\n'), value, indent+"  ")
		}
		return appendList(dst, value, indent)
	}
	return append(append(append(dst, ' '), scalarText(value)...), '\n')
}

func scalarText(value reflect.Value) string {
	switch value.Kind() {
	case reflect.Float64:
		return units.FormatExact(value.Float())
	case reflect.Bool:
		return strconv.FormatBool(value.Bool())
	}
	return plainOrQuoted(value.String())
}

// appendItems appends a list of structs, each after a dash.
func appendItems(dst []byte, list reflect.Value, indent string) []byte {
	for i := range list.Len() {
		dst = appendKeys(dst, list.Index(i), indent+"- ", indent+"  ")
	}
	return dst
}

// appendList appends ids and numbers on one line, and texts with blanks in them each
// on its own.
func appendList(dst []byte, list reflect.Value, indent string) []byte {
	texts, spaced := make([]string, list.Len()), false
	for i := range texts {
		texts[i] = scalarText(list.Index(i))
		spaced = spaced || strings.Contains(texts[i], " ")
	}
	if !spaced {
		return append(append(append(dst, " ["...), strings.Join(texts, ", ")...), "]\n"...)
	}
	dst = append(dst, '\n')
	for _, text := range texts {
		dst = append(append(append(append(dst, indent...), "  - "...), text...), '\n')
	}
	return dst
}

// plainOrQuoted writes text so that YAML reads it as that text. Letters, digits and
// few other characters mean themselves without quotes, also as a number or a clock
// time, whose text is what is read.
func plainOrQuoted(text string) string {
	if plainText(text) {
		return text
	}
	return string(appendString(nil, text))
}

const plainLetters = blockLetters + "._: -+"

func plainText(text string) bool {
	if text == "" || strings.EqualFold(text, "null") || strings.Contains(text, ": ") {
		return false
	}
	return strings.Trim(text, plainLetters) == "" && strings.IndexByte(blockLetters, text[0]) >= 0 &&
		strings.IndexByte(blockLetters, text[len(text)-1]) >= 0
}
