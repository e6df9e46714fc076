package serve

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"html"
	"io"
	"path"
	"regexp"
	"strings"
	"sync"

	"soletrial/pipeline/checksum"
	"soletrial/pipeline/site"
)

// siteFiles is a site in memory, by path. It never changes: a newer one takes its
// place as a whole.
type siteFiles map[string]*file

// file is one file of a site with its codings, each made when first asked for.
type file struct {
	kind    string // media type
	gzipped bool   // as published, it is in the gzip coding already
	text    []byte // as published

	once      sync.Once
	plain, gz representation
	err       error // why it cannot be sent
}

// representation is a file in one content coding; tag is its entity tag. Text is
// nil where the file is not sent in that coding.
type representation struct {
	text []byte
	tag  string
}

// newSite takes a site's files over.
func newSite(files []site.File) siteFiles {
	list := siteFiles{}
	for _, f := range files {
		kind, gzipped := mediaType(f.Path)
		list[f.Path] = &file{kind: kind, gzipped: gzipped, text: f.Text}
	}
	return list
}

// mediaTypes by a file name's end. YAML is RFC 9512, JavaScript RFC 9239, CSV RFC
// 7111, Atom RFC 4287, SVG and CSS as registered with IANA.
var mediaTypes = map[string]string{
	".html": "text/html; charset=utf-8", ".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8",
	".json": "application/json", ".yaml": "application/yaml", ".cff": "application/yaml",
	".csv": "text/csv; charset=utf-8",
	".svg": "image/svg+xml", ".png": "image/png", ".xml": "application/atom+xml", ".zip": "application/zip",
	".txt": "text/plain; charset=utf-8", ".md": "text/plain; charset=utf-8", ".sha256": "text/plain; charset=utf-8",
	".wasm": "application/wasm",
}

// unknownType is the media type of what has no name that tells.
const unknownType = "application/octet-stream"

// mediaType returns the media type that a name tells. A name that ends in .wasm.gz
// is that of a program in the gzip coding, not of an archive.
func mediaType(name string) (kind string, gzipped bool) {
	if stem, gz := strings.CutSuffix(name, ".gz"); gz && path.Ext(stem) == ".wasm" {
		return mediaTypes[".wasm"], true
	}
	if kind, known := mediaTypes[path.Ext(name)]; known {
		return kind, false
	}
	return unknownType, false
}

// pageHead is how far into a page its policy stands at most.
const pageHead = 4096

// pagePolicy is where a page says its content security policy.
var pagePolicy = regexp.MustCompile(`<meta http-equiv="Content-Security-Policy" content="([^"]*)">`)

// policy is the content security policy of a document: the one that a page holds, and what
// can only be said in a header, that no other page may frame it. Of a file that is no
// document it is "": that of a program would bind its worker.
func (f *file) policy() string {
	const unframed = "frame-ancestors 'none'"
	switch f.kind {
	case mediaTypes[".html"]:
		if found := pagePolicy.FindSubmatch(f.text[:min(len(f.text), pageHead)]); found != nil {
			return html.UnescapeString(string(found[1])) + "; " + unframed
		}
		return unframed
	case mediaTypes[".svg"]:
		return "default-src 'none'; style-src 'unsafe-inline'; " + unframed
	}
	return ""
}

// minCompressed is how many bytes a text must have before compressing it saves more
// than it costs.
const minCompressed = 512

// compressible reports whether a file is sent in the gzip coding to clients that accept
// it.
func (f *file) compressible() bool {
	text := strings.HasPrefix(f.kind, "text/") || strings.Contains(f.kind, "json") || strings.Contains(f.kind,
		"xml") || strings.Contains(f.kind, "yaml")
	return f.gzipped || text && len(f.text) >= minCompressed
}

// encoded returns the file in the gzip coding or in none.
func (f *file) encoded(zipped bool) (representation, error) {
	f.once.Do(func() { f.err = f.encode() })
	if zipped {
		return f.gz, f.err
	}
	return f.plain, f.err
}

// encode fills in both codings. Each has an entity tag of its own, as RFC 9110,
// section 8.8.3.3, asks.
func (f *file) encode() error {
	hash := checksum.SHA256(f.text)[:32]
	plain, gz := f.text, []byte(nil)
	switch {
	case f.gzipped:
		r, err := gzip.NewReader(bytes.NewReader(f.text))
		if err != nil {
			return fmt.Errorf("unpacking: %w", err)
		}
		if plain, err = io.ReadAll(r); err != nil {
			return fmt.Errorf("unpacking: %w", err)
		}
		gz = f.text
	case f.compressible():
		var b bytes.Buffer
		w := gzip.NewWriter(&b)
		w.Write(f.text) // a buffer takes everything
		w.Close()
		gz = b.Bytes()
	}
	f.plain, f.gz = representation{plain, `"` + hash + `"`}, representation{gz, `"` + hash + `-gzip"`}
	return nil
}
