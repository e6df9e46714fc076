package stats

import (
	"go/ast"
	"go/constant"
	"go/parser"
	"go/token"
	"go/types"
	"io/fs"
	"math"
	"os"
	"strings"
	"testing"
)

// TestNoFusedProducts reads this package's own source: a float product may only stand
// where the compiler cannot fuse it with an addition (inside float64(...), or as an
// operand of another product, quotient or comparison), because fusing depends on the
// processor (Go specification, "Floating-point operators").
func TestNoFusedProducts(t *testing.T) {
	fset := token.NewFileSet()
	var files []*ast.File
	entries, err := fs.ReadDir(os.DirFS("."), ".")
	if err != nil {
		t.Skip("no source beside the test binary:", err)
	}
	for _, e := range entries {
		if strings.HasSuffix(e.Name(), ".go") && !strings.HasSuffix(e.Name(), "_test.go") {
			f, err := parser.ParseFile(fset, e.Name(), nil, 0)
			if err != nil {
				t.Fatal(err)
			}
			files = append(files, f)
		}
	}
	if len(files) < 10 {
		t.Fatalf("read %d source files, want at least 10", len(files))
	}
	info := &types.Info{Types: map[ast.Expr]types.TypeAndValue{}}
	conf := types.Config{Error: func(error) {}, Importer: noImports{}}
	conf.Check("stats", fset, files, info)
	products := 0
	for _, f := range files {
		ast.Walk(&productVisitor{t: t, fset: fset, info: info, seen: &products}, f)
	}
	if products < 50 {
		t.Fatalf("saw %d float products, want at least 50: is the check blind?", products)
	}
}

type noImports struct{}

func (noImports) Import(path string) (*types.Package, error) {
	p := types.NewPackage(path, path[strings.LastIndexByte(path, '/')+1:])
	return p, nil
}

type productVisitor struct {
	t      *testing.T
	fset   *token.FileSet
	info   *types.Info
	parent ast.Node
	seen   *int
}

func (v *productVisitor) Visit(n ast.Node) ast.Visitor {
	if n == nil {
		return nil
	}
	switch e := n.(type) {
	case *ast.BinaryExpr:
		if (e.Op == token.MUL || v.isHalving(e)) && v.mayBeFloat(e) {
			*v.seen++
			if !v.safeParent() {
				v.t.Errorf("%s: product not rounded: wrap it in float64(...)", v.fset.Position(e.Pos()))
			}
		}
	case *ast.AssignStmt:
		if e.Tok == token.MUL_ASSIGN && v.mayBeFloat(e.Lhs[0]) {
			v.t.Errorf("%s: *= leaves the product unrounded: write x = float64(x*y)", v.fset.Position(e.Pos()))
		}
	case *ast.ParenExpr:
		return v
	}
	child := *v
	child.parent = n
	return &child
}

// mayBeFloat is false for constants and for integers; an expression whose type
// is unknown here (it uses another package) counts as float.
func (v *productVisitor) mayBeFloat(e ast.Expr) bool {
	tv, ok := v.info.Types[e]
	if !ok || tv.Type == nil {
		return true
	}
	if tv.Value != nil {
		return false
	}
	b, ok := tv.Type.Underlying().(*types.Basic)
	return !ok || b.Info()&types.IsInteger == 0
}

// isHalving is true for a term of a sum that is divided by a power of two: the compiler
// turns that into a product, which is exact but for subnormal numbers.
func (v *productVisitor) isHalving(e *ast.BinaryExpr) bool {
	if e.Op != token.QUO || v.info.Types[e.Y].Value == nil || !v.inSum() {
		return false
	}
	x, _ := constant.Float64Val(constant.ToFloat(v.info.Types[e.Y].Value))
	fraction, _ := math.Frexp(x)
	return fraction == 0.5
}

func (v *productVisitor) inSum() bool {
	switch p := v.parent.(type) {
	case *ast.BinaryExpr:
		return p.Op == token.ADD || p.Op == token.SUB
	case *ast.AssignStmt:
		return p.Tok == token.ADD_ASSIGN || p.Tok == token.SUB_ASSIGN
	}
	return false
}

func (v *productVisitor) safeParent() bool {
	switch p := v.parent.(type) {
	case *ast.BinaryExpr:
		switch p.Op {
		case token.MUL, token.QUO, token.LSS, token.GTR, token.LEQ, token.GEQ, token.EQL, token.NEQ:
			return true
		}
	case *ast.CallExpr:
		id, ok := p.Fun.(*ast.Ident)
		return ok && id.Name == "float64"
	}
	return false
}
