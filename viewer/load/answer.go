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
	RankingTable     = "derived/ranking.csv"
	BlocksTable      = "derived/blocks.csv"
	ComparisonsTable = "derived/comparisons.csv" // only where a reader asks for it
)

// Answer is the published answer in words; its numbers are in [RankingTable].
type Answer struct {
	Headline    string
	Short, Size string // the headline without by how much, and by how much
	Evidence    string
	Sessions    []string // those that were run, by date
}

// parseAnswer reads the answer; nil where the index has none.
func parseAnswer(root *plaintext.Node) *Answer {
	node := root.Get("answer")
	if node == nil {
		return nil
	}
	return &Answer{Headline: textOf(node, "headline"), Short: textOf(node, "short"), Size: textOf(node, "size"),
		Evidence: textOf(node, "evidence"), Sessions: textsOf(node, "sessions")}
}

func textsOf(node *plaintext.Node, key string) []string {
	list := node.Get(key)
	if list == nil {
		return nil
	}
	texts := make([]string, len(list.Items))
	for i, item := range list.Items {
		texts[i] = item.Text
	}
	return texts
}

// Selection is how much of a bundle is wanted: everything, or the published answer with
// the files of some sessions, the sums and the comparisons.
type Selection struct {
	All, Sums, Comparisons bool
	Sessions               []string
}

// Equal reports whether two selections want the same.
func (w Selection) Equal(other Selection) bool {
	return w.All == other.All && w.Sums == other.Sums && w.Comparisons == other.Comparisons &&
		slices.Equal(w.Sessions, other.Sessions)
}

// includes reports whether a file is wanted.
func (w Selection) includes(path string) bool {
	switch {
	case w.All || path == RankingTable || path == BlocksTable:
		return true
	case path == ComparisonsTable:
		return w.Comparisons
	}
	if rest, inside := strings.CutPrefix(path, "sessions/"); inside {
		session, _, _ := strings.Cut(rest, "/")
		return slices.Contains(w.Sessions, session)
	}
	return !strings.HasPrefix(path, "derived/")
}

// Complete reports whether every file that the derivation reads is there.
func (b *Bundle) Complete() bool { return len(b.Files) == len(b.Index.Files) }

// HasSums reports whether the sums of all blocks are there.
func (b *Bundle) HasSums() bool { return len(b.Index.Sums) > 0 && len(b.Sums) == len(b.Index.Sums) }

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
		if (file.Path == RankingTable || file.Path == BlocksTable) &&
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
