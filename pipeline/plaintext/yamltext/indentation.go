package yamltext

import (
	"strings"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/token"

	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/trial"
)

// checkIndentation reports a block value that does not stand further in than the dash or
// key it is given to, as YAML demands (specification 1.2.2, section 6.1). The
// parser is not as strict: it takes what follows a lone dash for its item, even
// the next key of the mapping around the list, and lets a text go on in the
// first column.
func (p *page) checkIndentation(outer trial.Position, value *plaintext.Node, n ast.Node) {
	t := n.GetToken()
	if value.Blank() {
		return
	}
	if value.At.Line > outer.Line && value.At.Column <= outer.Column || value.Kind == plaintext.Scalar &&
		minColumn(t) <= outer.Column {
		p.problems = append(p.problems, trial.Problem{At: value.At, Message: "it is not clear what this belongs to",
			Hint: "write the value after its dash or colon, or indent it"})
	}
}

// minColumn returns the least column in which a line of a text of several
// lines starts, the first line apart; a large number when there is one line.
func minColumn(t *token.Token) int {
	least := 1 << 30
	if t.Type == token.LiteralType || t.Type == token.FoldedType {
		return least
	}
	_, rest, _ := strings.Cut(t.Origin, "\n")
	for line := range strings.SplitSeq(rest, "\n") {
		if text := strings.TrimLeft(line, " "); text != "" {
			least = min(least, len(line)-len(text)+1)
		}
	}
	return least
}
