package yamltext

import (
	"bytes"
	"fmt"
	"reflect"
	"strings"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// lineWidth is where the comments of the template wrap.
const lineWidth = 80

// DatasetTemplate returns the dataset.yaml that a new dataset starts with: every
// key with its description, every default of the method and the limits written
// out, and the keys that have no default as comments. It reads back as a dataset
// with exactly the defaults. The first line tells editors where the schema is.
func DatasetTemplate() []byte {
	facts := trial.DatasetFacts{Title: trial.DefaultTitle, Method: trial.DefaultMethod(), Limits: trial.DefaultLimits()}
	var out bytes.Buffer
	out.WriteString("# yaml-language-server: $schema=schemas/dataset.schema.json\n\n")
	writeKeys(&out, reflect.ValueOf(facts), "")
	return out.Bytes()
}

// writeKeys writes the fields of a struct as keys, each under its description.
func writeKeys(out *bytes.Buffer, facts reflect.Value, indent string) {
	for i := range facts.NumField() {
		field := facts.Type().Field(i)
		key := trial.KeyOf(field)
		if indent == "" && i > 0 {
			out.WriteString("\n")
		}
		writeComment(out, trial.Meaning(facts.Type(), key), indent)
		writeKey(out, key, facts.Field(i), indent)
	}
}

func writeComment(out *bytes.Buffer, text, indent string) {
	line := indent + "#"
	for word := range strings.FieldsSeq(text) {
		if len(line)+1+len(word) > lineWidth {
			out.WriteString(line + "\n")
			line = indent + "#"
		}
		line += " " + word
	}
	out.WriteString(line + "\n")
}

// writeKey writes one key with its value; a key without a value is a comment.
func writeKey(out *bytes.Buffer, key string, value reflect.Value, indent string) {
	switch kind := value.Kind(); {
	case kind == reflect.Struct:
		fmt.Fprintf(out, "%s%s:\n", indent, key)
		writeKeys(out, value, indent+"  ")
	case kind == reflect.Float64 && !units.Known(value.Float()):
		fmt.Fprintf(out, "%s# %s:\n", indent, key)
	case kind == reflect.Float64:
		fmt.Fprintf(out, "%s%s: %s\n", indent, key, units.FormatExact(value.Float()))
	case key == "ranges":
		fmt.Fprintf(out, "%s%s:\n", indent, key)
		writeRanges(out, value.Interface().(map[string]trial.Range), indent+"  ")
	case value.IsZero() && kind != reflect.Bool:
		fmt.Fprintf(out, "%s# %s:\n", indent, key)
	default:
		fmt.Fprintf(out, "%s%s: %v\n", indent, key, value)
	}
}

// writeRanges writes the ranges in the order of the channels.
func writeRanges(out *bytes.Buffer, ranges map[string]trial.Range, indent string) {
	for c := range trial.ChannelCount {
		column := c.Info().Column
		if r, found := ranges[column]; found {
			fmt.Fprintf(out, "%s%s: {warn: %s, stop: %s}\n", indent, column, pair(r.Warn), pair(r.Stop))
		}
	}
}

func pair(limits []float64) string {
	return "[" + units.FormatExact(limits[0]) + ", " + units.FormatExact(limits[1]) + "]"
}
