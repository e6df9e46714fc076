package datapackage

import (
	"bytes"
	"encoding/json"
	"slices"
	"strconv"
	"strings"
)

// SchemaFolder is where the Table Schemas that several tables share stand in a package.
const SchemaFolder = "schemas/tables/"

// Schemas returns the Table Schemas that several of the files have: to repeat them for every
// recording of 3,000 sessions would take 10 MB. Data Package 2.0 lets a resource name the file of
// its schema.
func Schemas(files []File) ([]File, error) {
	names, shared := namesOf(files), sharedSchemas(files)
	var schemas []File
	for i := range files {
		t := TableOf(files[i].Path)
		if t == nil {
			continue
		}
		kind := t.kindOf(files[i].Text)
		if path := shared[kind]; path != "" {
			text, err := encoded(t.schema(Header(files[i].Text), names))
			if err != nil {
				return nil, err
			}
			schemas = append(schemas, File{Path: path, Text: text})
			delete(shared, kind) // each once
		}
	}
	return schemas, nil
}

// sharedSchemas returns where the schemas stand that more than one file has, by [Table.kindOf].
func sharedSchemas(files []File) map[string]string {
	seen, shared, taken := map[string]bool{}, map[string]string{}, map[string]int{}
	for i := range files {
		t := TableOf(files[i].Path)
		if t == nil || len(Header(files[i].Text)) == 0 {
			continue
		}
		kind := t.kindOf(files[i].Text)
		if !seen[kind] {
			seen[kind] = true
			continue
		}
		if shared[kind] == "" {
			taken[t.Name]++
			path := SchemaFolder + strings.ReplaceAll(t.Name, " ", "-")
			if n := taken[t.Name]; n > 1 {
				path += "-" + strconv.Itoa(n)
			}
			shared[kind] = path + ".json"
		}
	}
	return shared
}

// kindOf names what the schema of a file of the table depends on: the table and the columns.
func (t *Table) kindOf(text []byte) string {
	first, _, _ := bytes.Cut(text, []byte("\n"))
	return t.Name + "\n" + string(first)
}

// schema is the Table Schema of a file with the given header.
func (t *Table) schema(header []string, names map[string]string) *schema {
	s := &schema{Profile: schemaProfile, MissingValues: []string{""}}
	for _, f := range t.in(header) {
		s.Fields = append(s.Fields, f.field())
	}
	if !slices.ContainsFunc(t.Key, func(k string) bool { return !slices.Contains(header, k) }) {
		s.PrimaryKey = t.Key
	}
	for _, r := range t.References {
		if target := names[r.Table]; target != "" && slices.Contains(header, r.Column) {
			s.ForeignKeys = append(s.ForeignKeys, foreignKey{[]string{r.Column},
				reference{target, []string{r.Field}}})
		}
	}
	return s
}

func (f Field) field() field {
	described := field{Name: f.Name, Type: f.Type, Description: f.Description()}
	if f.Type == "boolean" {
		described.TrueValues, described.FalseValues = []string{"yes"}, []string{"no"}
	}
	if f.Required || f.OneOf != nil || f.Min != "" || f.Max != "" {
		described.Constraints = &constraints{Required: f.Required, Enum: f.OneOf, Minimum: bound(f.Min),
			Maximum: bound(f.Max)}
	}
	return described
}

func bound(text string) *json.Number {
	if text == "" {
		return nil
	}
	n := json.Number(text)
	return &n
}
