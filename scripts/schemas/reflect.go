package main

import (
	"encoding/json"
	"reflect"

	"github.com/invopop/jsonschema"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// schemas returns the schemas by file name. The bytes depend on the types alone.
func schemas() map[string][]byte {
	return map[string][]byte{
		"dataset.schema.json":  render(dataset()),
		"fieldlog.schema.json": render(fieldLog()),
		"plan.schema.json":     render(plan()),
		"session.schema.json":  render(session()),
	}
}

// siteAddress is what an address of a site looks like; it ends with a slash.
const siteAddress = "^https?:/{2}[-A-Za-z0-9._~:]+/([-A-Za-z0-9._~:/]*/)?$"

// What identifiers look like: a DOI as in the schema of the Citation File Format 1.2.0, an
// ORCID iD without its address. That the last digit of one checks the others, only the reader
// finds.
const (
	doi   = `^10\.[0-9]{4,9}(\.[0-9]+)?/[A-Za-z0-9:/_;\-.()\[\]\\]+$`
	orcid = "^[0-9]{4}-[0-9]{4}-[0-9]{4}-[0-9]{3}[0-9X]$"
)

func dataset() *jsonschema.Schema {
	s := reflectType(trial.DatasetFacts{}, "dataset")
	s.Title = "A shoe trial: dataset.yaml"
	method, limits := s.Definitions["Method"], s.Definitions["Limits"]
	s.Properties.Value("site_url").Pattern = siteAddress
	s.Properties.Value("doi").Pattern = doi
	method.Properties.Value("primary").Enum = outcomes()
	method.Properties.Value("channels").PropertyNames = &jsonschema.Schema{Enum: channels()}
	limits.Properties.Value("ranges").PropertyNames = &jsonschema.Schema{Enum: channels()}
	columns := s.Definitions["ImportMap"].Properties.Value("columns")
	columns.PropertyNames = &jsonschema.Schema{Enum: append([]any{trial.ElapsedColumn}, channels()...)}
	defaults(method, trial.DefaultMethod())
	defaults(s.Definitions["Trim"], trial.DefaultMethod().Trim)
	defaults(limits, trial.DefaultLimits())
	return s
}

func session() *jsonschema.Schema {
	s := reflectType(trial.SessionFacts{}, "session")
	s.Title = "A session of a shoe trial: session.yaml"
	return s
}

func plan() *jsonschema.Schema {
	s := reflectType(trial.PlanFacts{}, "plan")
	s.Title = "The plan of a session of a shoe trial: plan.yaml"
	return s
}

func fieldLog() *jsonschema.Schema {
	s := reflectType(trial.FieldLog{}, "fieldlog")
	s.Title = "What was noted at the venue: fieldlog.yaml"
	s.Properties.Value("form").Const = trial.FieldLogForm
	return s
}

// reflectType describes a type and the types it is made of.
func reflectType(facts any, name string) *jsonschema.Schema {
	reflector := jsonschema.Reflector{
		Anonymous: true, ExpandedStruct: true, Mapper: contributor, LookupComment: meaning,
	}
	s := reflector.Reflect(facts)
	s.ID = jsonschema.ID("urn:soletrial:" + name)
	return s
}

// contributor allows a name alone where a contributor is expected.
func contributor(t reflect.Type) *jsonschema.Schema {
	if t != reflect.TypeFor[trial.Contributor]() {
		return nil
	}
	plain := jsonschema.Reflector{
		Anonymous: true, ExpandedStruct: true, DoNotReference: true, LookupComment: meaning,
	}
	full := plain.ReflectFromType(t)
	full.Version = ""
	full.Properties.Value("orcid").Pattern = orcid
	return &jsonschema.Schema{OneOf: []*jsonschema.Schema{{Type: "string", Description: "Name or pseudonym."}, full}}
}

// meaning returns what the key of a field means; types have no description.
func meaning(t reflect.Type, field string) string {
	if t.Kind() != reflect.Struct || field == "" {
		return ""
	}
	f, _ := t.FieldByName(field)
	return trial.Meaning(t, trial.KeyOf(f))
}

func channels() (list []any) {
	for c := range trial.ChannelCount {
		list = append(list, c.Info().Column)
	}
	return list
}

func outcomes() (list []any) {
	for o := range trial.OutcomeCount {
		list = append(list, o.Info().ID)
	}
	return list
}

// defaults writes the values of a struct's numbers and words beside their keys.
func defaults[T any](s *jsonschema.Schema, values T) {
	value := reflect.ValueOf(values)
	property := s.Properties.Oldest()
	for i := range value.NumField() { // the reflector keeps the order of the fields
		field := value.Field(i)
		known := field.Kind() == reflect.Float64 && units.Known(field.Float())
		if known || field.Kind() == reflect.String && !field.IsZero() {
			property.Value.Default = field.Interface()
		}
		property = property.Next()
	}
}

func render(s *jsonschema.Schema) []byte {
	text, err := json.MarshalIndent(s, "", "  ")
	if err != nil {
		panic(err) // a schema always has a JSON form
	}
	return append(text, '\n')
}
