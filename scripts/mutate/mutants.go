package main

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"strconv"
	"strings"
)

// mutant is one small change to one file.
type mutant struct {
	file       string // base name
	line       int
	column     int
	from, to   string // what is replaced by what
	offset     int    // where, in bytes
	sourceLine string
	kind       kind
	start, end int // of the whole expression or statement, in bytes
}

// String names the mutant by its place and change.
func (m mutant) String() string {
	return fmt.Sprintf("%s:%d: %s -> %s: %s", m.file, m.line, m.from, m.to, m.sourceLine)
}

// apply returns the changed source.
func (m mutant) apply(src []byte) []byte {
	out := append([]byte{}, src[:m.offset]...)
	out = append(out, m.to...)
	return append(out, src[m.offset+len(m.from):]...)
}

// swaps lists what each operator becomes.
var swaps = map[token.Token]token.Token{
	token.ADD: token.SUB, token.SUB: token.ADD, token.MUL: token.QUO, token.QUO: token.MUL, token.REM: token.MUL,
	token.LSS: token.GEQ, token.GEQ: token.LSS, token.GTR: token.LEQ, token.LEQ: token.GTR,
	token.EQL: token.NEQ, token.NEQ: token.EQL, token.LAND: token.LOR, token.LOR: token.LAND,
	token.ADD_ASSIGN: token.SUB_ASSIGN, token.SUB_ASSIGN: token.ADD_ASSIGN,
	token.MUL_ASSIGN: token.QUO_ASSIGN, token.QUO_ASSIGN: token.MUL_ASSIGN,
	token.INC: token.DEC, token.DEC: token.INC, token.SHL: token.SHR, token.SHR: token.SHL,
}

// edges lists the comparison that differs only where both sides are equal.
var edges = map[token.Token]token.Token{
	token.LSS: token.LEQ, token.LEQ: token.LSS, token.GTR: token.GEQ, token.GEQ: token.GTR,
}

// mutantsOf lists every mutant of one file in source order.
func mutantsOf(name string, src []byte) ([]mutant, error) {
	fset := token.NewFileSet()
	f, err := parser.ParseFile(fset, name, src, 0)
	if err != nil {
		return nil, err
	}
	lines := strings.Split(string(src), "\n")
	var out []mutant
	add := func(k kind, n ast.Node, pos token.Pos, from, to string) {
		p := fset.Position(pos)
		out = append(out, mutant{name, p.Line, p.Column, from, to, p.Offset, strings.TrimSpace(lines[p.Line-1]), k,
			fset.Position(n.Pos()).Offset, fset.Position(n.End()).Offset})
	}
	ast.Inspect(f, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.GenDecl:
			return n.Tok != token.IMPORT
		case *ast.BinaryExpr:
			if isText(n.X) || isText(n.Y) {
				return true
			}
			if to, ok := swaps[n.Op]; ok {
				add(kindOf(n.Op), n, n.OpPos, n.Op.String(), to.String())
			}
			if edge, ok := edges[n.Op]; ok {
				add(operator, n, n.OpPos, n.Op.String(), edge.String())
			}
		case *ast.AssignStmt:
			if to, ok := swaps[n.Tok]; ok {
				add(assignment, n, n.TokPos, n.Tok.String(), to.String())
			}
		case *ast.IncDecStmt:
			add(assignment, n, n.TokPos, n.Tok.String(), swaps[n.Tok].String())
		case *ast.CallExpr:
			if sign := signOfInfinity(n); sign != nil {
				from := string(src[fset.Position(sign.Pos()).Offset:fset.Position(sign.End()).Offset])
				to, negative := strings.CutPrefix(from, "-")
				switch {
				case from == "0": // either sign
					to = "1"
				case !negative:
					to = "-" + from
				}
				add(number, sign, sign.Pos(), from, to)
				return false
			}
		case *ast.UnaryExpr:
			if n.Op == token.SUB {
				add(negative, n, n.OpPos, n.Op.String(), "")
			} else if n.Op == token.NOT {
				add(not, n, n.OpPos, n.Op.String(), "")
			}
		case *ast.BasicLit:
			if to := otherNumber(n); to != "" {
				add(number, n, n.Pos(), n.Value, to)
			}
		}
		return true
	})
	return out, nil
}

// kindOf is the kind of a change of a binary operator.
func kindOf(op token.Token) kind {
	switch op {
	case token.LAND, token.LOR:
		return logical
	case token.EQL, token.NEQ:
		return equality
	}
	return operator
}

func isText(e ast.Expr) bool {
	l, ok := e.(*ast.BasicLit)
	return ok && l.Kind == token.STRING
}

// signOfInfinity finds the sign in math.Inf(1) and math.IsInf(x, 1), of which only the sign
// counts.
func signOfInfinity(call *ast.CallExpr) ast.Expr {
	f, ok := call.Fun.(*ast.SelectorExpr)
	if !ok || f.Sel.Name != "Inf" && f.Sel.Name != "IsInf" || len(call.Args) == 0 {
		return nil
	}
	return call.Args[len(call.Args)-1]
}

// otherNumber is a number near the literal: one more for whole numbers, 0.1 % more for
// others, a thousand times as much for tolerances and limits (below 1e-5 or above 1e5),
// 0.001 for zero, "" for text.
func otherNumber(l *ast.BasicLit) string {
	switch l.Kind {
	case token.INT:
		return "(" + l.Value + "+1)"
	case token.FLOAT:
		switch v, _ := strconv.ParseFloat(l.Value, 64); {
		case v == 0:
			return "0.001"
		case v < 1e-5 || v > 1e5:
			return "(" + l.Value + "*1000)"
		}
		return "(" + l.Value + "*1.001)"
	}
	return ""
}
