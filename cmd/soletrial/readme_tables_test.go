package main_test

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/invopop/jsonschema"

	"soletrial/pipeline/datapackage"
	"soletrial/pipeline/plaintext/schema"
	"soletrial/pipeline/quality"
)

// generated are the parts of the guides that come from the program, by the name in their
// mark.
var generated = map[string]func(*testing.T) string{
	"rules": rulesTable, "columns": columnTables, "keys": keyTables, "method": methodText,
}

// generatedPart is such a part between its marks.
var generatedPart = regexp.MustCompile(`(?s)(<!-- generated: ([a-z]+) -->\n)(.*?)(<!-- end -->\n)`)

// TestReadmeTables holds every generated part against the program; -update writes it.
func TestReadmeTables(t *testing.T) {
	seen := map[string]int{}
	for _, guide := range guides {
		text := read(t, "../../"+guide)
		mended := generatedPart.ReplaceAllStringFunc(text, func(part string) string {
			parts := generatedPart.FindStringSubmatch(part)
			make := generated[parts[2]]
			if make == nil {
				return part // another test's
			}
			seen[parts[2]]++
			want := "\n" + make(t) + "\n"
			if parts[3] != want && !*update {
				t.Errorf("%s: %s has changed: go test ./cmd/soletrial -run TestReadme -update", guide, parts[2])
			}
			return parts[1] + want + parts[4]
		})
		save(t, "../../"+guide, text, mended)
	}
	for name := range generated {
		if seen[name] != 1 {
			t.Errorf("%s stands in %d places, want 1", name, seen[name])
		}
	}
}

// tableCell is a text as a cell of a table in Markdown.
func tableCell(text string) string {
	return strings.ReplaceAll(strings.Join(strings.Fields(text), " "), "|", `\|`)
}

func rulesTable(*testing.T) string {
	var b strings.Builder
	b.WriteString("| rule | severity | what it looks for | limit |\n|---|---|---|---|\n")
	for _, r := range quality.Rules() {
		var severities []string
		for _, s := range r.Severities {
			severities = append(severities, string(s))
		}
		fmt.Fprintf(&b, "| `%s` | %s | %s | %s |\n", r.Slug, strings.Join(severities, ", "), tableCell(r.Brief),
			tableCell(r.Limit))
	}
	return b.String()
}

// columnTables describe the columns of every table, as the published Table Schema does.
func columnTables(*testing.T) string {
	var b strings.Builder
	for i, table := range datapackage.Tables() {
		if i > 0 {
			b.WriteString("\n")
		}
		fmt.Fprintf(&b, "### %s\n\n%s.\n\n| column | unit | meaning |\n|---|---|---|\n", tableFile(table), table.Title)
		for _, f := range table.Fields {
			meaning := f.Meaning
			if len(f.OneOf) > 0 {
				meaning += ": " + strings.Join(f.OneOf, ", ")
			}
			if f.Required {
				meaning += " (required)"
			}
			fmt.Fprintf(&b, "| `%s` | %s | %s |\n", f.Name, tableCell(f.Unit), tableCell(meaning))
		}
	}
	return b.String()
}

// tableFile is where a kind of table stands in a dataset.
func tableFile(table *datapackage.Table) string {
	for _, path := range []string{"runners.csv", "shoes.csv", "venues.csv", "sessions/ID/blocks.csv",
		"sessions/ID/DEVICE.csv"} {
		if datapackage.TableOf(path) == table {
			return path
		}
	}
	for _, name := range derivedTables {
		if datapackage.TableOf("derived/"+name) == table {
			return "derived/" + name
		}
	}
	return table.Name
}

// keyTables describe the keys of every YAML file, as its JSON Schema does.
func keyTables(t *testing.T) string {
	var b strings.Builder
	for i, name := range []string{"dataset", "session", "plan", "fieldlog"} {
		if i > 0 {
			b.WriteString("\n")
		}
		fmt.Fprintf(&b, "### %s.yaml\n\n| key | meaning |\n|---|---|\n", name)
		var s jsonschema.Schema
		if err := json.Unmarshal(schema.Files()[name+".schema.json"], &s); err != nil {
			t.Fatal(err)
		}
		writeKeys(&b, s.Definitions, &s, "")
	}
	return b.String()
}

// writeKeys writes a row for every key of a schema, and those of the objects in it.
func writeKeys(b *strings.Builder, known jsonschema.Definitions, s *jsonschema.Schema, before string) {
	for p := s.Properties.Oldest(); p != nil; p = p.Next() {
		key, value := before+p.Key, p.Value
		if value.Items != nil {
			key += "[]"
		}
		meaning := value.Description
		if len(value.Enum) > 0 {
			meaning += " One of " + strings.Trim(fmt.Sprint(value.Enum), "[]") + "."
		}
		fmt.Fprintf(b, "| `%s` | %s |\n", key, tableCell(meaning))
		for _, inner := range []*jsonschema.Schema{value, value.Items} {
			if inner != nil && inner.Ref != "" {
				inner = known[strings.TrimPrefix(inner.Ref, "#/$defs/")]
			}
			if inner != nil && inner.Properties != nil {
				writeKeys(b, known, inner, key+".")
			}
		}
	}
}

// TestReadmePictureIsFresh draws the picture of README.md anew; -update writes it.
func TestReadmePictureIsFresh(t *testing.T) {
	kept, err := filepath.Abs("testdata/readme/answer.svg")
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(read(t, "../../README.md"), "(cmd/soletrial/testdata/readme/answer.svg)") {
		t.Error("README.md does not show the picture")
	}
	t.Chdir(readmeFolder(t))
	printed(t, "pictures -o drawn --figure answer --size 1200x630 --ground light",
		"1 picture as SVG and PNG, with text alternatives, in drawn\n")
	drawn := read(t, "drawn/answer-1200x630.svg")
	was, err := os.ReadFile(kept)
	if string(was) != drawn && !*update {
		t.Errorf("the picture of README.md is not what the demonstration gives now (%v): go test ./cmd/soletrial "+
			"-run TestReadme -update", err)
	}
	save(t, kept, string(was), drawn)
}
