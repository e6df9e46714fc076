package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
)

// gap stands in a text for what the program fills in.
const gap = "…"

// fromGo returns the texts among the string literals of a Go file; literals that are added
// up are one text.
func fromGo(file, source string) ([]text, error) {
	set := token.NewFileSet()
	tree, err := parser.ParseFile(set, file, source, parser.SkipObjectResolution)
	if err != nil {
		return nil, err
	}
	var found []text
	ast.Inspect(tree, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.ImportSpec:
			return false
		case *ast.Field:
			return n.Tag == nil // tags are for programs
		case *ast.CallExpr:
			return !slices.Contains(toNobody, nameOf(n.Fun))
		case *ast.BinaryExpr, *ast.BasicLit:
			words, ok := added(n.(ast.Expr))
			if !ok {
				return true
			}
			if words = tidied(words); isText(words) {
				found = append(found, text{words: words, file: file, line: set.Position(n.Pos()).Line})
			}
			return false
		}
		return true
	})
	return found, nil
}

// toNobody are the functions whose arguments no user reads.
var toNobody = []string{"panic", "MustCompile"}

func nameOf(function ast.Expr) string {
	switch f := function.(type) {
	case *ast.Ident:
		return f.Name
	case *ast.SelectorExpr:
		return f.Sel.Name
	}
	return ""
}

// added returns a string literal, or the sum of several with a gap for every part that is
// none; false where no literal is in it.
func added(e ast.Expr) (string, bool) {
	switch e := e.(type) {
	case *ast.BasicLit:
		if e.Kind != token.STRING {
			return gap, false
		}
		words, err := strconv.Unquote(e.Value)
		return words, err == nil
	case *ast.BinaryExpr:
		if e.Op != token.ADD {
			return gap, false
		}
		left, before := added(e.X)
		right, after := added(e.Y)
		return left + right, before || after
	}
	return gap, false
}

// The parts of a page: what templates fill in, what is not shown, the attributes that are
// read out, elements that stand by themselves, all elements, and where a template begins.
var (
	actions  = regexp.MustCompile(`(?s)\{\{.*?\}\}`)
	comments = regexp.MustCompile(`(?s)<!--.*?-->|<(?:style|script)\b.*?</(?:style|script)>`)
	spokenIn = regexp.MustCompile(`(?:aria-label|title|placeholder|content)="([^"]*)"`)
	block    = regexp.MustCompile(`(?s)<(?:/?(?:p|h[1-6]|li|ul|ol|td|th|tr|table|div|section|nav|main|form|label|` +
		`button|summary|details|dt|dd|dl|article|figure|figcaption|header|footer|head|body|html|meta|link|caption|` +
		`title|select|option|input|aside)\b[^>]*|br)>`)
	tag    = regexp.MustCompile(`(?s)<[^>]*>`)
	define = regexp.MustCompile(`\{\{-? *(?:define|end|template|block)\b[^}]*\}\}`)
)

// fromHTML returns the texts of a page or a template: what stands between the elements
// that stand by themselves, and the attributes that are read out.
func fromHTML(file, source string) ([]text, error) {
	source = sameLength(comments, source, "")
	source = sameLength(define, source, "<p>")
	source = sameLength(actions, source, gap)
	var found []text
	add := func(words string, at int) {
		words = tidied(tag.ReplaceAllString(words, ""))
		if isText(words) {
			found = append(found, text{words: words, file: file, line: 1 + strings.Count(source[:at], "\n")})
		}
	}
	for _, m := range spokenIn.FindAllStringSubmatchIndex(source, -1) {
		add(source[m[2]:m[3]], m[2])
	}
	start := 0
	for _, m := range append(block.FindAllStringIndex(source, -1), []int{len(source), len(source)}) {
		between := source[start:m[0]]
		add(between, start+len(between)-len(strings.TrimLeftFunc(between, unicode.IsSpace)))
		start = m[1]
	}
	return found, nil
}

// sameLength replaces what matches, and keeps the line feeds in it, so that lines keep
// their numbers.
func sameLength(what *regexp.Regexp, source, by string) string {
	return what.ReplaceAllStringFunc(source, func(s string) string {
		return by + strings.Repeat("\n", strings.Count(s, "\n"))
	})
}

var jsLiteral = regexp.MustCompile("(?m)^ *//.*$|/\\*(?s:.*?)\\*/|\"((?:[^\"\\\\\n]|\\\\.)*)\"|" +
	"'((?:[^'\\\\\n]|\\\\.)*)'|`([^`]*)`")

// filledIn is what a template literal takes from the script.
var filledIn = regexp.MustCompile(`\$\{[^}]*\}`)

// fromJS returns the texts among the string literals of a script.
func fromJS(file, source string) ([]text, error) {
	var found []text
	for _, m := range jsLiteral.FindAllStringSubmatchIndex(source, -1) {
		for group := 1; group <= 3; group++ {
			if m[2*group] < 0 {
				continue
			}
			words := tidied(filledIn.ReplaceAllString(source[m[2*group]:m[2*group+1]], gap))
			if isText(words) {
				found = append(found, text{words: words, file: file, line: 1 + strings.Count(source[:m[0]], "\n")})
			}
		}
	}
	return found, nil
}

// tidied is a text on one line.
func tidied(words string) string { return strings.Join(strings.Fields(words), " ") }

var (
	// word is one in letters; label is a button or a heading of one word; code is what only
	// looks like a text: markup, selectors, flags, addresses, declarations.
	word  = regexp.MustCompile(`^["'(\x60]*[\p{L}][\p{L}'’-]*[.,;:!?)"'\x60]*$`)
	label = regexp.MustCompile(`^[A-Z][a-z]{2,}$`)
	code  = regexp.MustCompile(`^(?:[<#.@/\[{]|--?[a-z]|(?:https?|urn):)|[{};]$|=>|\w+\(\)|` +
		`^[a-z-]+: [a-z0-9(),% -]+;?$`)
)

// isText reports whether a literal is for people: a label of one capitalised word, or
// two words at least that are no code.
func isText(words string) bool {
	if label.MatchString(words) {
		return true
	}
	n := 0
	for _, w := range strings.Fields(words) {
		if word.MatchString(w) && len(w) > 1 {
			n++
		}
	}
	return n >= 2 && !code.MatchString(words)
}
