package cli

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"io"
	"path"
	"strings"
	"sync"

	"soletrial/pipeline/checksum"
	"soletrial/pipeline/site"
)

// heldSite is a site in memory, by path. It never changes: a newer one takes its
// place as a whole, so that no page comes from one state and its figures from
// another.
type heldSite map[string]*heldFile

// heldFile is one file of a site with its codings, each made when first asked for.
type heldFile struct {
	kind   string // media type
	packed bool   // the file as published is the gzip coding of what it is for
	text   []byte // as published

	once      sync.Once
	plain, gz representation
	damage    error
}

// representation is a file in one content coding; tag is its entity tag. Text is
// nil where the file is not sent in that coding.
type representation struct {
	text []byte
	tag  string
}

// holdSite takes a site's files over.
func holdSite(files []site.File) heldSite {
	held := heldSite{}
	for _, f := range files {
		kind, packed := mediaType(f.Path)
		held[f.Path] = &heldFile{kind: kind, packed: packed, text: f.Text}
	}
	return held
}

// mediaTypes by a file name's end. YAML is RFC 9512, JavaScript RFC 9239, CSV RFC
// 7111, Atom RFC 4287, SVG and CSS as registered with IANA.
var mediaTypes = map[string]string{
	".html": "text/html; charset=utf-8", ".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8",
	".json": "application/json", ".yaml": "application/yaml", ".cff": "application/yaml", ".csv": "text/csv; charset=utf-8",
	".svg": "image/svg+xml", ".png": "image/png", ".xml": "application/atom+xml", ".zip": "application/zip",
	".txt": "text/plain; charset=utf-8", ".md": "text/plain; charset=utf-8", ".sha256": "text/plain; charset=utf-8", ".wasm": "application/wasm",
}

// unknownType is the media type of what has no name that tells.
const unknownType = "application/octet-stream"

// mediaType returns the media type that a name tells. A name that ends in .wasm.gz
// is that of a program in the gzip coding, not of an archive.
func mediaType(name string) (kind string, packed bool) {
	if stem, gz := strings.CutSuffix(name, ".gz"); gz && path.Ext(stem) == ".wasm" {
		return mediaTypes[".wasm"], true
	}
	if kind, known := mediaTypes[path.Ext(name)]; known {
		return kind, false
	}
	return unknownType, false
}

// worthPacking is how many bytes a text must have before packing it saves more
// than it costs.
const worthPacking = 512

// packs reports whether a file is sent in the gzip coding to those who take it.
func (f *heldFile) packs() bool {
	text := strings.HasPrefix(f.kind, "text/") || strings.Contains(f.kind, "json") || strings.Contains(f.kind, "xml") || strings.Contains(f.kind, "yaml")
	return f.packed || text && len(f.text) >= worthPacking
}

// in returns the file in the gzip coding or in none.
func (f *heldFile) in(zipped bool) (representation, error) {
	f.once.Do(func() { f.damage = f.make() })
	if zipped {
		return f.gz, f.damage
	}
	return f.plain, f.damage
}

// make fills in both codings. Each has an entity tag of its own, as RFC 9110,
// section 8.8.3.3, asks.
func (f *heldFile) make() error {
	hash := checksum.SHA256(f.text)[:32]
	plain, gz := f.text, []byte(nil)
	switch {
	case f.packed:
		r, err := gzip.NewReader(bytes.NewReader(f.text))
		if err != nil {
			return fmt.Errorf("unpacking: %w", err)
		}
		if plain, err = io.ReadAll(r); err != nil {
			return fmt.Errorf("unpacking: %w", err)
		}
		gz = f.text
	case f.packs():
		var b bytes.Buffer
		w := gzip.NewWriter(&b)
		w.Write(f.text) // a buffer takes everything
		w.Close()
		gz = b.Bytes()
	}
	f.plain, f.gz = representation{plain, `"` + hash + `"`}, representation{gz, `"` + hash + `-gzip"`}
	return nil
}
