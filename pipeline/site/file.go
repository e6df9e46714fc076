package site

import (
	"bytes"
	"fmt"
	"strings"

	"soletrial/pipeline/checksum"
)

// File is one file of a site or of a dataset. Path is slash-separated and
// relative: to the site for what [Pages] returns, to the dataset for [Input].
type File struct {
	Path string
	Text []byte // nil where later makes it
	// later makes the text of a file that is wanted only when it is written, so that the
	// text of a large site is never in memory as a whole. Several goroutines may call it.
	later func() ([]byte, error)
	known *textFacts // of what later makes
}

// textFacts describe a text without holding it.
type textFacts struct {
	bytes  int
	sha256 string
	head   []byte // the first line
}

// Deferred returns a file whose text is read when it is wanted. What is read must be the given
// text, which is not held; a file that changed meanwhile is an error.
func Deferred(path string, text []byte, read func() ([]byte, error)) File {
	known := factsOf(text)
	return File{Path: path, known: known, later: func() ([]byte, error) {
		now, err := read()
		if err == nil && checksum.SHA256(now) != known.sha256 {
			err = fmt.Errorf("%q changed while the site was made", path)
		}
		return now, err
	}}
}

// Generated returns a file that is made when it is wanted.
func Generated(path string, draw func() []byte) File {
	return File{Path: path, later: func() ([]byte, error) { return draw(), nil }}
}

// ShoePicture is the name of a shoe's picture among [Input.Pictures].
func ShoePicture(shoe string) string {
	return "shoe-" + strings.TrimSuffix(pageName(shoe), ".html") + ".png"
}

// Content returns the text of the file.
func (f *File) Content() ([]byte, error) {
	if f.later != nil {
		return f.later()
	}
	return f.Text, nil
}

// InMemory returns the files with their texts in memory.
func InMemory(files []File) ([]File, error) {
	made := make([]File, len(files))
	for i := range files {
		text, err := files[i].Content()
		if err != nil {
			return nil, err
		}
		made[i] = File{Path: files[i].Path, Text: text}
	}
	return made, nil
}

// facts describes the text of the file; only files that come later have to know theirs.
func (f *File) facts() *textFacts {
	if f.known != nil {
		return f.known
	}
	return factsOf(f.Text)
}

func factsOf(text []byte) *textFacts {
	head, _, _ := bytes.Cut(text, []byte("\n"))
	return &textFacts{len(text), checksum.SHA256(text), append(bytes.Clone(head), '\n')}
}
