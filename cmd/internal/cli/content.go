package cli

import (
	"bytes"
	"io"
	"iter"

	"soletrial/pipeline/derive"
)

// content is what a file is to hold: text at hand, or pieces that are made one after
// the other, each good until the next.
type content struct {
	text   []byte
	pieces iter.Seq[[]byte]
}

// texts are the contents of files whose text is at hand.
func texts(files map[string][]byte) map[string]content {
	contents := make(map[string]content, len(files))
	for path, text := range files {
		contents[path] = content{text: text}
	}
	return contents
}

// tableContents are the contents of derived tables, by path in the dataset.
func tableContents(tables []derive.Table) map[string]content {
	contents := make(map[string]content, len(tables))
	for _, t := range tables {
		contents[derivedFolder+"/"+t.Name] = content{t.Text, t.Pieces}
	}
	return contents
}

// all yields the content from its beginning.
func (c content) all() iter.Seq[[]byte] {
	if c.pieces != nil {
		return c.pieces
	}
	return func(yield func([]byte) bool) { yield(c.text) }
}

// holds reports whether what is read from here on is this content and no more.
func (c content) holds(from io.Reader) (bool, error) {
	r := against{from: from}
	for piece := range c.all() {
		if !r.next(piece) {
			return false, r.err
		}
	}
	return r.end()
}

// against compares what is read with pieces that come one by one.
type against struct {
	from io.Reader
	room []byte
	not  bool // they differ, or cannot be read
	err  error
}

// mostRead is how much of a file is compared at a time.
const mostRead = 64 << 10

// next compares the next piece, unless there was a difference already, and reports
// whether there is none so far.
func (r *against) next(piece []byte) bool {
	for len(piece) > 0 && !r.not {
		n := min(len(piece), mostRead)
		if len(r.room) < n {
			r.room = make([]byte, n)
		}
		switch _, err := io.ReadFull(r.from, r.room[:n]); err {
		case nil:
			r.not = !bytes.Equal(r.room[:n], piece[:n])
		case io.EOF, io.ErrUnexpectedEOF:
			r.not = true
		default:
			r.not, r.err = true, err
		}
		piece = piece[n:]
	}
	return !r.not
}

// end reports whether there was no difference and nothing is left to be read.
func (r *against) end() (bool, error) {
	if r.not {
		return false, r.err
	}
	n, err := r.from.Read(make([]byte, 1))
	if err == io.EOF {
		err = nil
	}
	return n == 0 && err == nil, err
}
