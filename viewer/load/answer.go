package load

import (
	"slices"
	"strings"

	"soletrial/pipeline/checksum"
	"soletrial/pipeline/plaintext"
)

// Tables with the numbers of the published answer, which are shown before
// everything is derived.
const (
	ComparisonsTable = "derived/comparisons.csv"
	BlocksTable      = "derived/blocks.csv"
)

// Answer is the published answer in words and order; its numbers are in
// [ComparisonsTable].
type Answer struct {
	Headline string
	Sessions []string // by date
	Rankings []Ranking
}

// Ranking is the published order of the shoes at one level, best first.
type Ranking struct {
	Outcome, Level string
	Places         []Place
}

// Place is one shoe in a ranking. Apart are the shoes that it is told apart from.
type Place struct {
	Shoe      string
	Reference bool
	Apart     []string
}

// parseAnswer reads the answer; nil where the index has none.
func parseAnswer(root *plaintext.Node) *Answer {
	node := root.Get("answer")
	if node == nil {
		return nil
	}
	a := &Answer{Headline: textOf(node, "headline"), Sessions: textsOf(node, "sessions")}
	for _, ranking := range itemsOf(node, "rankings") {
		r := Ranking{Outcome: textOf(ranking, "outcome"), Level: textOf(ranking, "level")}
		for _, place := range itemsOf(ranking, "places") {
			r.Places = append(r.Places, Place{textOf(place, "shoe"), textOf(place, "reference") == "true",
				textsOf(place, "apart")})
		}
		a.Rankings = append(a.Rankings, r)
	}
	return a
}

func itemsOf(node *plaintext.Node, key string) []*plaintext.Node {
	if list := node.Get(key); list != nil {
		return list.Items
	}
	return nil
}

func textsOf(node *plaintext.Node, key string) []string {
	var texts []string
	for _, item := range itemsOf(node, key) {
		texts = append(texts, item.Text)
	}
	return texts
}

// Selection is how much of a bundle is wanted: everything, or the published answer with
// the files of some sessions.
type Selection struct {
	All      bool
	Sessions []string
}

// includes reports whether a file is wanted.
func (w Selection) includes(path string) bool {
	if w.All || path == ComparisonsTable || path == BlocksTable {
		return true
	}
	if rest, inside := strings.CutPrefix(path, "sessions/"); inside {
		session, _, _ := strings.Cut(rest, "/")
		return slices.Contains(w.Sessions, session)
	}
	return !strings.HasPrefix(path, "derived/")
}

// Complete reports whether every file that the derivation reads is there.
func (b *Bundle) Complete() bool { return len(b.Files) == len(b.Index.Files) }

// BytesMissing returns the number of bytes that are not there yet.
func (b *Bundle) BytesMissing() int64 {
	bytes := int64(0)
	for _, file := range slices.Concat(b.Index.Files, b.Index.Derived) {
		if !b.has(file.Path) {
			bytes += file.Bytes
		}
	}
	return bytes
}

func (b *Bundle) has(path string) bool {
	_, file := b.Files[path]
	_, table := b.Derived[path]
	return file || table
}

// HasAnswer reports whether the published answer is there and its tables are the
// ones that the index names.
func (b *Bundle) HasAnswer() bool {
	sound := 0
	for _, file := range b.Index.Derived {
		if (file.Path == ComparisonsTable || file.Path == BlocksTable) &&
			checksum.SHA256(b.Derived[file.Path]) == file.SHA256 {
			sound++
		}
	}
	return b.Index.Answer != nil && sound == 2
}

// AnswerError is the error for a published answer that is not there or not the one
// that the index names: everything has to be derived instead.
type AnswerError struct{}

func (*AnswerError) Error() string {
	return "the published answer is not the one that the index names; reload the page"
}
