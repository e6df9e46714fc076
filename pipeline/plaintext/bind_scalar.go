package plaintext

import (
	"reflect"
	"slices"
	"strings"
	"unicode"

	"soletrial/pipeline/english"
	"soletrial/pipeline/units"
)

// scalar fills a text, a number or a truth value.
func (b binder) scalar(n *Node, into reflect.Value, key string, allowed constraint) {
	if n.Kind != Scalar {
		b.complain(n.At, key, "write one value after the colon", "%s where one value is expected", n.Kind)
		return
	}
	if n.Plain && (n.Text == "~" || strings.EqualFold(n.Text, "null")) {
		b.complain(n.At, key, "leave the value blank, or quote it to mean the word", "%s is not a value", n.Text)
		return
	}
	switch into.Kind() {
	case reflect.Float64:
		into.SetFloat(b.decimal(n, key, allowed.span))
	case reflect.Bool:
		into.SetBool(b.truth(n, key))
	case reflect.String:
		into.SetString(b.word(n, key, allowed))
	default:
		panic("plaintext: no way to fill a " + into.Type().String())
	}
}

func (b binder) decimal(n *Node, key string, allowed span) float64 {
	if !n.Plain {
		b.complain(n.At, key, "write the number without quotes", "%q is text, not a number", n.Text)
		return units.Missing
	}
	x, err := units.ParseDecimal(n.Text)
	if err != nil {
		message, hint := syntax(err)
		b.complain(n.At, key, hint, "%s", message)
		return units.Missing
	}
	if !allowed.holds(x) {
		b.complain(n.At, key, allowed.words, "%s is out of range", n.Text)
		return units.Missing
	}
	return x
}

func (b binder) truth(n *Node, key string) bool {
	if !n.Plain || n.Text != "true" && n.Text != "false" {
		b.complain(n.At, key, "write true or false, without quotes", "%q is neither true nor false", n.Text)
	}
	return n.Plain && n.Text == "true"
}

// word reads a text that may be held to a list of words.
func (b binder) word(n *Node, key string, allowed constraint) string {
	if allowed.words != nil && !slices.Contains(allowed.words, n.Text) {
		b.complain(n.At, key, suggestOr(n.Text, allowed.words, "write "+english.List(allowed.words, "or")),
			"%q is not known",
			n.Text)
		return ""
	}
	return b.words(n, key)
}

// words reads free text, which may run over several lines.
func (b binder) words(n *Node, key string) string {
	bad := strings.IndexFunc(n.Text, func(c rune) bool { return unicode.IsControl(c) && c != '\n' })
	if bad >= 0 {
		b.complain(n.At, key, "remove it", "%q contains a control character", n.Text)
	}
	return n.Text
}
