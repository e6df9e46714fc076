package yamltext

import (
	"bytes"
	"reflect"

	"github.com/goccy/go-yaml"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// NewSession writes a session.yaml with what is known before its recordings are
// added; what is blank is left out, and the protocol where it has no length of a
// block. An error is one of the YAML library.
func NewSession(f *trial.SessionFacts) ([]byte, error) {
	facts := yaml.MapSlice{{Key: "date", Value: f.Date}}
	for _, item := range []yaml.MapItem{
		{Key: "start", Value: f.Start}, {Key: "runner", Value: f.Runner}, {Key: "venue", Value: f.Venue},
		{Key: "effort", Value: f.Effort}, {Key: "target", Value: f.Target},
	} {
		if item.Value != "" {
			facts = append(facts, item)
		}
	}
	if p := f.Protocol; p.BlockS > 0 {
		protocol := yaml.MapSlice{
			{Key: "block_s", Value: seconds(p.BlockS)}, {Key: "rest_s", Value: seconds(p.RestS)},
			{Key: "warm_up_s", Value: seconds(p.WarmUpS)},
		}
		if p.Sensor != "" {
			protocol = append(protocol, yaml.MapItem{Key: "sensor", Value: p.Sensor})
		}
		facts = append(facts, yaml.MapItem{Key: "protocol", Value: protocol})
	}
	text, err := yaml.Marshal(facts)
	if err != nil {
		return nil, err
	}
	return withRest(text, f), nil
}

// sessionSchema tells editors where the schema of a session.yaml is.
const sessionSchema = "# yaml-language-server: $schema=../../schemas/session.schema.json\n"

// withRest puts a session.yaml under the line that names its schema, and below it the
// keys that it does not have, as comments with what they mean.
func withRest(text []byte, f *trial.SessionFacts) []byte {
	var out bytes.Buffer
	out.WriteString(sessionSchema)
	out.Write(text)
	out.WriteString("\n# What else may be known: take away the # in front of what you fill in.\n")
	facts := reflect.ValueOf(*f)
	for i := range facts.NumField() {
		field := facts.Type().Field(i)
		key := trial.KeyOf(field)
		if bytes.Contains(text, []byte("\n"+key+":")) || bytes.HasPrefix(text, []byte(key+":")) || key == "recordings" {
			continue
		}
		writeComment(&out, trial.Meaning(facts.Type(), key), "")
		out.WriteString("# " + key + ":\n")
		for k := 0; field.Type.Kind() == reflect.Struct && k < field.Type.NumField(); k++ {
			out.WriteString("#   " + trial.KeyOf(field.Type.Field(k)) + ":\n")
		}
	}
	return out.Bytes()
}

// SetRecordings returns a session.yaml with its list of recordings replaced; all
// other lines stay as they are. An error is one of the YAML library.
func SetRecordings(text []byte, facts []trial.RecordingFact) ([]byte, error) {
	list := make([]yamlRecording, len(facts))
	for i, r := range facts {
		list[i] = yamlRecording{r.File, r.Device, r.Mount, r.Calibration, nil, r.SourceSha256, r.SourceFormat}
		if units.Known(r.OffsetS) {
			list[i].OffsetS = (*seconds)(&r.OffsetS)
		}
	}
	block, err := yaml.MarshalWithOptions(map[string]any{"recordings": list}, yaml.IndentSequence(true))
	if err != nil {
		return nil, err
	}
	return SetKey(text, "recordings", block), nil
}

// yamlRecording is a recording's facts in the order they are written.
type yamlRecording struct {
	File         string   `yaml:"file"`
	Device       string   `yaml:"device,omitempty"`
	Mount        string   `yaml:"mount,omitempty"`
	Calibration  string   `yaml:"calibration,omitempty"`
	OffsetS      *seconds `yaml:"offset_s,omitempty"`
	SourceSha256 string   `yaml:"source_sha256,omitempty"`
	SourceFormat string   `yaml:"source_format,omitempty"`
}

// seconds is written out, never with an exponent, which the strict reader refuses.
type seconds float64

// MarshalYAML writes the number.
func (s seconds) MarshalYAML() ([]byte, error) {
	return []byte(units.FormatExact(float64(s))), nil
}
