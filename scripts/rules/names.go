package main

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
)

// quotedName is what stands between backquotes in the guide and looks like a name of the
// code: a function, a method or field of a type, something of a package, or a file.
var quotedName = regexp.MustCompile("`([A-Za-z_][A-Za-z0-9_]*(?:\\.[A-Za-z_][A-Za-z0-9_]*)?|" +
	"[a-z_/.]+(?:/|\\.go))(?:\\([^`]*\\))?`")

// guidedWays are the parts of the guide that go through the code name by name.
var guidedWays = []string{"## A derive, step by step", "## A dragged slider, step by step"}

// namesExist reports the names in the step-by-step parts of the guide that the code does
// not have: who reads them should find each with a search.
func namesExist() ([]string, error) {
	text, err := os.ReadFile(guide)
	if err != nil {
		return nil, err
	}
	code, err := declared(".")
	if err != nil {
		return nil, err
	}
	var broken []string
	for _, heading := range guidedWays {
		_, part, there := strings.Cut(string(text), heading)
		if !there {
			broken = append(broken, fmt.Sprintf("%s: no part %q", guide, heading))
			continue
		}
		part, _, _ = strings.Cut(part, "\n## ")
		for _, m := range quotedName.FindAllStringSubmatch(part, -1) {
			if !code.has(m[1]) {
				broken = append(broken, fmt.Sprintf("%s: there is no %s in the code", guide, m[1]))
			}
		}
	}
	return broken, nil
}

// names are the names that Go files declare: alone, after their package, and after the type
// that they are a method or a field of.
type names struct {
	declared map[string]bool
	files    []string // paths with slashes
}

func (n names) has(name string) bool {
	if n.declared[name] {
		return true
	}
	return slices.ContainsFunc(n.files, func(file string) bool { // the end of a file's name, or a folder
		folder := "/" + path.Dir(file)
		return strings.HasSuffix(file, name) || strings.HasSuffix(folder, "/"+strings.TrimSuffix(name, "/"))
	})
}

// declared reads the names of all Go files below a folder but those of tests.
func declared(root string) (names, error) {
	n := names{declared: map[string]bool{}}
	err := filepath.WalkDir(root, func(name string, entry fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case entry.IsDir() && (entry.Name() == "testdata" || strings.HasPrefix(entry.Name(), ".") && name != root):
			return filepath.SkipDir
		case entry.IsDir() || !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go"):
			return nil
		}
		n.files = append(n.files, filepath.ToSlash(name))
		tree, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.SkipObjectResolution)
		if err == nil {
			n.addFile(tree)
		}
		return err
	})
	return n, err
}

func (n names) addFile(tree *ast.File) {
	add := func(holder string, of ...*ast.Ident) {
		for _, name := range of {
			n.declared[name.Name], n.declared[holder+"."+name.Name] = true, true
		}
	}
	// Functions, methods, types, fields, constants and variables, local ones too.
	ast.Inspect(tree, func(node ast.Node) bool {
		switch node := node.(type) {
		case *ast.FuncDecl:
			add(tree.Name.Name, node.Name)
			if node.Recv != nil {
				add(receiver(node.Recv.List[0].Type), node.Name)
			}
		case *ast.TypeSpec:
			add(tree.Name.Name, node.Name)
			if s, ok := node.Type.(*ast.StructType); ok {
				for _, field := range s.Fields.List {
					add(node.Name.Name, field.Names...)
				}
			}
		case *ast.ValueSpec:
			add(tree.Name.Name, node.Names...)
		case *ast.AssignStmt:
			for _, left := range node.Lhs {
				if name, ok := left.(*ast.Ident); ok && node.Tok == token.DEFINE {
					add(tree.Name.Name, name)
				}
			}
		}
		return true
	})
}

// receiver is the name of the type of a method.
func receiver(e ast.Expr) string {
	switch e := e.(type) {
	case *ast.Ident:
		return e.Name
	case *ast.StarExpr:
		return receiver(e.X)
	case *ast.IndexExpr:
		return receiver(e.X)
	}
	return ""
}
