package main_test

import (
	"bytes"
	"encoding/json"
	"maps"
	"os"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/rogpeppe/go-internal/testscript"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"soletrial/pipeline/derive"
)

// outputSchema describes what every command prints with --json. It is published as it is.
const outputSchema = "output.schema.json"

// outputDefinitions are the definitions of the schema, compiled
// strictly: with no key allowed that it does not describe.
var outputDefinitions = sync.OnceValues(func() (map[string]*jsonschema.Schema, error) {
	text, err := os.ReadFile(outputSchema)
	if err != nil {
		return nil, err
	}
	document, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		return nil, err
	}
	strict := strictly(document)
	compiler := jsonschema.NewCompiler()
	if err := compiler.AddResource(outputSchema, strict); err != nil {
		return nil, err
	}
	compiled := map[string]*jsonschema.Schema{}
	for name := range document.(map[string]any)["$defs"].(map[string]any) {
		if compiled[name], err = compiler.Compile(outputSchema + "#/$defs/" + name); err != nil {
			return nil, err
		}
	}
	return compiled, nil
})

// strictly allows no other keys in objects than those that are described.
func strictly(node any) any {
	switch n := node.(type) {
	case map[string]any:
		for _, inner := range n {
			strictly(inner)
		}
		if _, described := n["properties"].(map[string]any); described && n["type"] == "object" {
			n["additionalProperties"] = false
		}
	case []any:
		for _, inner := range n {
			strictly(inner)
		}
	}
	return node
}

// checkOutput holds what a run with --json printed against the schema: one object, that of
// the command or the error, with no key that the schema does not describe.
func checkOutput(ts *testscript.TestScript, program string, args []string, code int) {
	if !slices.Contains(args, "--json") {
		return
	}
	validateOutput(ts, commandOf(program, args), ts.ReadFile("stdout"), code)
}

// described holds JSON in a file against the schema of a command: described FILE COMMAND.
func described(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: described FILE COMMAND")
	}
	validateOutput(ts, args[1], ts.ReadFile(args[0]), 0)
}

func validateOutput(ts *testscript.TestScript, name, text string, code int) {
	document, err := jsonschema.UnmarshalJSON(strings.NewReader(text))
	if err != nil {
		ts.Fatalf("with --json, standard output is not one JSON object: %v", err)
	}
	definitions, err := outputDefinitions()
	ts.Check(err)
	if object, _ := document.(map[string]any); object["error"] != nil {
		name = "error"
	}
	switch {
	case definitions[name] == nil:
		ts.Fatalf("%s describes no output of %q", outputSchema, name)
	case name == "error" && code == 0:
		ts.Fatalf("an error with exit code 0")
	}
	if err := definitions[name].Validate(document); err != nil {
		ts.Fatalf("%s: %#v", name, err)
	}
}

// commandOf is the name of the command among the arguments of a program.
func commandOf(program string, args []string) string {
	if program == "soletrial-export" {
		return "export"
	}
	for i, arg := range args {
		if !strings.HasPrefix(arg, "-") && (i == 0 || args[i-1] != "-d") {
			return arg
		}
	}
	return ""
}

// tablesInOutput are the derived tables whose rows compare prints.
var tablesInOutput = []string{"analyses", "comparisons", "decisions", "progress", "ranking"}

// The schema has every column of the derived tables, and says of each what the table's own
// list says.
func TestColumnsInOutputSchema(t *testing.T) {
	text, err := os.ReadFile(outputSchema)
	if err != nil {
		t.Fatal(err)
	}
	var schema map[string]any
	if err := json.Unmarshal(text, &schema); err != nil {
		t.Fatal(err)
	}
	definitions := schema["$defs"].(map[string]any)
	for _, table := range tablesInOutput {
		want := rowSchema(table)
		if diff := cmp.Diff(want, definitions[table]); diff != "" && !*update {
			t.Errorf("%s: run with -update (-want +got):\n%s", table, diff)
		}
		definitions[table] = want
	}
	if !*update {
		return
	}
	var fresh bytes.Buffer
	encoder := json.NewEncoder(&fresh)
	encoder.SetEscapeHTML(false)
	encoder.SetIndent("", " ")
	if err := encoder.Encode(schema); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(outputSchema, fresh.Bytes(), 0o666); err != nil {
		t.Fatal(err)
	}
}

// rowSchema is the schema of a row of a derived table: every column, null where it may be
// blank.
func rowSchema(table string) any {
	properties, required := map[string]any{}, []any{}
	for _, c := range derive.TableColumns(table + ".csv") {
		kind := c.Type
		if kind == "date" {
			kind = "string"
		}
		about := c.Meaning
		if c.Unit != "" {
			about += ". Unit: " + c.Unit
		}
		one := map[string]any{"type": any(kind), "description": about}
		if !c.Required && kind != "string" {
			one["type"] = []any{kind, "null"}
		}
		properties[c.Name] = one
		required = append(required, c.Name)
	}
	return map[string]any{"type": "object", "properties": properties, "required": required}
}

// The check of outputs can fail: a key too many, one too few and a wrong type are found, and
// every definition is that of a command or used by one.
func TestOutputSchemaRefuses(t *testing.T) {
	definitions, err := outputDefinitions()
	if err != nil {
		t.Fatal(err)
	}
	good := func() map[string]any { return map[string]any{"format": json.Number("1"), "text": "Race in Fennock."} }
	if err := definitions["summary"].Validate(good()); err != nil {
		t.Fatal(err)
	}
	for name, spoil := range map[string]func(map[string]any){
		"a key too many":  func(o map[string]any) { o["texts"] = "x" },
		"a key too few":   func(o map[string]any) { delete(o, "text") },
		"a wrong type":    func(o map[string]any) { o["text"] = json.Number("3") },
		"another version": func(o map[string]any) { o["format"] = json.Number("2") },
	} {
		object := good()
		if spoil(object); definitions["summary"].Validate(object) == nil {
			t.Errorf("%s passes", name)
		}
	}
	text, err := os.ReadFile(outputSchema)
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range slices.Sorted(maps.Keys(definitions)) {
		if !strings.Contains(string(text), `"#/$defs/`+name+`"`) {
			t.Errorf("%s is used by nothing", name)
		}
	}
}
