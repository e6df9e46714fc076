package main

import (
	"fmt"
	"go/ast"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

// banned are the functions of package math that are assembly on some processors
// and so give other last digits there; pipeline/stats has its own.
var banned = map[string]bool{}

func init() {
	for name := range strings.FieldsSeq(`Acos Acosh Asin Asinh Atan Atan2 Atanh Cbrt Cos Cosh Erf Erfc Erfcinv Erfinv
		Exp Exp2 Expm1 FMA Gamma Hypot J0 J1 Jn Lgamma Log Log10 Log1p Log2 Pow Pow10 Remainder Sin Sincos Sinh Tan Tanh
		Y0 Y1 Yn`) {
		banned[name] = true
	}
}

// fused finds products of floats that the compiler may fuse with an addition
// (Go specification, "Floating-point operators"): a product must stand inside
// float64(...) or as an operand of another product, quotient or comparison,
// because t = x*y; r = t+z may be fused too. It also finds calls of banned
// functions.
func fused() ([]string, error) {
	entries, err := readMap()
	if err != nil {
		return nil, err
	}
	exports, err := exportData()
	if err != nil {
		return nil, err
	}
	var broken []string
	products := 0
	for _, path := range withTrait(entries, exact) {
		found, seen, err := inPackage(path, exports)
		if err != nil {
			return nil, err
		}
		broken, products = append(broken, found...), products+seen
	}
	if products < 100 {
		return nil, fmt.Errorf("saw only %d float products: the check is blind", products)
	}
	return broken, nil
}

// exportData maps import paths to the files the compiler wrote about them.
func exportData() (map[string]string, error) {
	out, err := exec.Command("go", "list", "-export", "-deps", "-f", "{{.ImportPath}} {{.Export}}",
		"./pipeline/...").Output()
	if err != nil {
		return nil, fmt.Errorf("go list -export: %w", err)
	}
	files := map[string]string{}
	for _, line := range strings.Split(string(out), "\n") {
		if path, file, ok := strings.Cut(line, " "); ok {
			files[path] = file
		}
	}
	return files, nil
}

func inPackage(dir string, exports map[string]string) (broken []string, products int, err error) {
	fset := token.NewFileSet()
	files, err := parseDir(fset, dir)
	if err != nil {
		return nil, 0, err
	}
	info := &types.Info{Types: map[ast.Expr]types.TypeAndValue{}}
	lookup := func(path string) (io.ReadCloser, error) { return os.Open(exports[path]) }
	conf := types.Config{Importer: importer.ForCompiler(fset, "gc", lookup)}
	if _, err := conf.Check(module+dir, fset, files, info); err != nil {
		return nil, 0, err
	}
	v := &productVisitor{fset: fset, info: info, products: &products, broken: &broken}
	for _, f := range files {
		ast.Walk(v, f)
	}
	return broken, products, nil
}

func parseDir(fset *token.FileSet, dir string) ([]*ast.File, error) {
	paths, err := filepath.Glob(filepath.Join(dir, "*.go"))
	if err != nil || len(paths) == 0 {
		return nil, fmt.Errorf("no Go files in %q (%v)", dir, err)
	}
	var files []*ast.File
	for _, path := range paths {
		if strings.HasSuffix(path, "_test.go") || strings.HasSuffix(path, "_js.go") {
			continue
		}
		f, err := parseFile(fset, path)
		if err != nil {
			return nil, err
		}
		files = append(files, f)
	}
	return files, nil
}

func parseFile(fset *token.FileSet, path string) (*ast.File, error) {
	return parser.ParseFile(fset, path, nil, parser.ParseComments)
}

// productVisitor walks a file with each node's parent at hand.
type productVisitor struct {
	fset     *token.FileSet
	info     *types.Info
	parent   ast.Node
	products *int
	broken   *[]string
}

func (v *productVisitor) Visit(n ast.Node) ast.Visitor {
	switch e := n.(type) {
	case nil:
		return nil
	case *ast.BinaryExpr:
		if e.Op == token.MUL && v.isFloat(e) {
			*v.products++
			if !v.rounded() {
				v.report(e, "product not rounded: wrap it in float64(...)")
			}
		}
	case *ast.AssignStmt:
		if e.Tok == token.MUL_ASSIGN && v.isFloat(e.Lhs[0]) {
			v.report(e, "*= leaves the product unrounded: write x = float64(x*y)")
		}
	case *ast.SelectorExpr:
		if x, ok := e.X.(*ast.Ident); ok && x.Name == "math" && banned[e.Sel.Name] {
			v.report(e, "math."+e.Sel.Name+" differs between processors: use package stats")
		}
	case *ast.ParenExpr:
		return v
	}
	child := *v
	child.parent = n
	return &child
}

func (v *productVisitor) report(n ast.Node, message string) {
	*v.broken = append(*v.broken, fmt.Sprintf("%s: %s", v.fset.Position(n.Pos()), message))
}

// isFloat is true for floats that are not constants.
func (v *productVisitor) isFloat(e ast.Expr) bool {
	tv, ok := v.info.Types[e]
	if !ok || tv.Value != nil {
		return false
	}
	b, ok := tv.Type.Underlying().(*types.Basic)
	return ok && b.Info()&types.IsFloat != 0
}

// rounded reports whether the place of a product keeps it from being fused.
func (v *productVisitor) rounded() bool {
	switch p := v.parent.(type) {
	case *ast.BinaryExpr:
		switch p.Op {
		case token.MUL, token.QUO, token.LSS, token.GTR, token.LEQ, token.GEQ, token.EQL, token.NEQ:
			return true
		}
	case *ast.CallExpr:
		id, ok := p.Fun.(*ast.Ident)
		return ok && (id.Name == "float64" || id.Name == "int")
	}
	return false
}
