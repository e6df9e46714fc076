package schema_test

import (
	"bytes"
	"encoding/json"
	"reflect"
	"slices"
	"strings"
	"testing"

	"soletrial/pipeline/plaintext/schema"
	"soletrial/pipeline/trial"
)

// object is the part of a JSON Schema that these tests look at; the key words
// are those of draft 2020-12.
type object struct {
	Schema               string            `json:"$schema"`
	ID                   string            `json:"$id"`
	Ref                  string            `json:"$ref"`
	Defs                 map[string]object `json:"$defs"`
	Type                 string            `json:"type"`
	Properties           map[string]object `json:"properties"`
	Required             []string          `json:"required"`
	AdditionalProperties json.RawMessage   `json:"additionalProperties"`
	Items                *object           `json:"items"`
	OneOf                []object          `json:"oneOf"`
	Enum                 []string          `json:"enum"`
	Default              any               `json:"default"`
	Description          string            `json:"description"`
	Minimum              *float64          `json:"minimum"`
}

func load(t *testing.T, name string) object {
	t.Helper()
	text, found := schema.Files()[name]
	if !found {
		t.Fatalf("there is no %s", name)
	}
	var o object
	if err := json.Unmarshal(text, &o); err != nil {
		t.Fatal(err)
	}
	return o
}

func TestFiles(t *testing.T) {
	for name, id := range map[string]string{"dataset.schema.json": "urn:soletrial:dataset",
		"session.schema.json": "urn:soletrial:session", "plan.schema.json": "urn:soletrial:plan",
		"fieldlog.schema.json": "urn:soletrial:fieldlog"} {
		o := load(t, name)
		if o.Schema != "https://json-schema.org/draft/2020-12/schema" || o.ID != id {
			t.Errorf("%s is %q of %q", name, o.ID, o.Schema)
		}
		text := schema.Files()[name]
		if n := bytes.Count(text, []byte("://")); n != 1 {
			t.Errorf("%s names %d addresses, want the one of the draft", name, n)
		}
		if !bytes.Equal(text, schema.Files()[name]) || !bytes.HasSuffix(text, []byte("}\n")) {
			t.Errorf("%s is not the same bytes each time, ended by a line feed", name)
		}
	}
	if n := len(schema.Files()); n != 4 {
		t.Errorf("%d schemas, want 4", n)
	}
}

// Every key that the reader binds is in the schema, no other is, and both ask
// for the same ones.
func TestKeysAreThoseOfTheTypes(t *testing.T) {
	compared := 0
	for name, facts := range map[string]any{"dataset.schema.json": trial.DatasetFacts{},
		"session.schema.json": trial.SessionFacts{},
		"plan.schema.json":    trial.PlanFacts{}, "fieldlog.schema.json": trial.FieldLog{}} {
		root := load(t, name)
		compared += compare(t, root, root, reflect.TypeOf(facts))
	}
	if compared < 60 {
		t.Errorf("only %d keys compared", compared)
	}
}

func compare(t *testing.T, root, o object, typ reflect.Type) (compared int) {
	if name, isRef := strings.CutPrefix(o.Ref, "#/$defs/"); isRef {
		o = root.Defs[name]
	}
	if len(o.OneOf) == 2 { // a contributor, or a name alone
		if o.OneOf[0].Type != "string" {
			t.Errorf("%s: the short form is %q", typ, o.OneOf[0].Type)
		}
		o = o.OneOf[1]
	}
	if string(o.AdditionalProperties) != "false" || len(o.Properties) != typ.NumField() {
		t.Errorf("%s has %d keys and other keys %s, want %d and false", typ, len(o.Properties), o.AdditionalProperties,
			typ.NumField())
	}
	for i := range typ.NumField() {
		field := typ.Field(i)
		key, options, _ := strings.Cut(field.Tag.Get("json"), ",")
		property, found := o.Properties[key]
		if !found || property.Description == "" {
			t.Errorf("%s.%s is not described", typ, key)
		}
		if required := options != "omitempty"; required != slices.Contains(o.Required, key) {
			t.Errorf("%s.%s: the schema asks for it: %v", typ, key, !required)
		}
		compared++
		switch kind := field.Type; {
		case kind.Kind() == reflect.Struct:
			compared += compare(t, root, property, kind)
		case kind.Kind() == reflect.Slice && kind.Elem().Kind() == reflect.Struct:
			compared += compare(t, root, *property.Items, kind.Elem())
		}
	}
	return compared
}

func TestEditorsAreToldMore(t *testing.T) {
	d, s := load(t, "dataset.schema.json"), load(t, "session.schema.json")
	if got := d.Defs["Method"].Properties["primary"].Enum; len(got) != int(trial.OutcomeCount) {
		t.Errorf("primary is one of %q", got)
	}
	if got := d.Defs["Method"].Properties["confidence"].Default; got != 0.95 {
		t.Errorf("the default confidence is %v", got)
	}
	if got := d.Defs["Trim"].Properties["heart_rate_head_s"]; got.Default != 180.0 || got.Minimum == nil ||
		*got.Minimum != 0 {
		t.Errorf("the head of heart rate is %+v", got)
	}
	if got := s.Properties["effort"].Enum; !slices.Equal(got, []string{"power", "pace", "heart_rate"}) {
		t.Errorf("effort is one of %q", got)
	}
	if got := s.Properties["target"].OneOf; len(got) != 2 {
		t.Errorf("a target is a text or a number, not %+v", got)
	}
}
