// Package schema holds the JSON Schemas (draft 2020-12) of a dataset's YAML files, so that
// editors complete and check them.
//
// `go run ./scripts/schemas` makes them from the types and tags of package trial. They name
// no host; a dataset carries its own copies.
package schema

import (
	"embed"
	"io/fs"
)

//go:embed files/*.schema.json
var files embed.FS

// Files returns the schemas by file name: dataset.schema.json, fieldlog.schema.json,
// plan.schema.json and session.schema.json.
func Files() map[string][]byte {
	texts := map[string][]byte{}
	names, err := fs.Glob(files, "files/*")
	for _, name := range names {
		var text []byte
		if text, err = files.ReadFile(name); err != nil {
			break
		}
		texts[name[len("files/"):]] = text
	}
	if err != nil {
		panic(err) // what is embedded can be read
	}
	return texts
}
