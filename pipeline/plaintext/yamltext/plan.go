package yamltext

import (
	"bytes"
	"fmt"
	"reflect"
	"regexp"
	"strconv"
	"strings"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

const planHead = `# Written before the run. Commit it before the first recording, and leave it as
# it is: what came otherwise belongs into session.yaml, under deviations.
`

// AppendPlan appends plan.yaml in canonical form: keys in the order of
// [trial.PlanFacts], lists of shoes on one line, what is missing left out.
func AppendPlan(dst []byte, facts *trial.PlanFacts) []byte {
	out := bytes.NewBuffer(append(dst, planHead...))
	writePlain(out, reflect.ValueOf(*facts), "")
	return out.Bytes()
}

// writePlain writes the fields of a struct that hold something as keys.
func writePlain(out *bytes.Buffer, facts reflect.Value, indent string) {
	for i := range facts.NumField() {
		key, _, _ := strings.Cut(facts.Type().Field(i).Tag.Get("json"), ",")
		value := facts.Field(i)
		switch value.Kind() {
		case reflect.Struct:
			fmt.Fprintf(out, "%s%s:\n", indent, key)
			writePlain(out, value, indent+"  ")
		case reflect.Slice:
			writeList(out, key, value.Interface().([]string), indent)
		case reflect.Float64:
			if x := value.Float(); units.Known(x) {
				fmt.Fprintf(out, "%s%s: %s\n", indent, key, plainNumber(x))
			}
		default:
			if text := value.String(); text != "" {
				fmt.Fprintf(out, "%s%s: %s\n", indent, key, plainOrQuoted(text))
			}
		}
	}
}

// writeList writes ids on one line, and texts with blanks in them each on its own.
func writeList(out *bytes.Buffer, key string, list []string, indent string) {
	if len(list) == 0 {
		return
	}
	quoted := make([]string, len(list))
	for i, text := range list {
		quoted[i] = plainOrQuoted(text)
	}
	if line := strings.Join(quoted, ", "); !strings.Contains(line, " ") ||
		!strings.Contains(strings.Join(list, ""), " ") {
		fmt.Fprintf(out, "%s%s: [%s]\n", indent, key, line)
		return
	}
	fmt.Fprintf(out, "%s%s:\n", indent, key)
	for _, text := range quoted {
		fmt.Fprintf(out, "%s  - %s\n", indent, text)
	}
}

// plain is text that means itself in YAML without quotes, also as a number or a
// clock time, whose text is what is read.
var plain = regexp.MustCompile(`^[a-z0-9]([a-z0-9._: -]*[a-z0-9])?$`)

func plainOrQuoted(text string) string {
	if plain.MatchString(text) && !strings.Contains(text, ": ") && text != "null" {
		return text
	}
	return strconv.Quote(text)
}
