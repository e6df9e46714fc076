package main

import (
	"fmt"
	"go/ast"
	"go/token"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"unicode/utf8"
)

// longest is how many lines a Go file may have before it is more than one thing, and
// widest how many columns a line, a tab counting as four.
const (
	longest = 400
	widest  = 120
)

// small lists Go files that have grown too long.
func small() ([]string, error) {
	return inEveryFile(func(path, text string) (broken []string) {
		if lines := strings.Count(text, "\n"); lines > longest {
			broken = append(broken, fmt.Sprintf("%s: %d lines; is it one thing?", path, lines))
		}
		return broken
	})
}

// narrow lists Go files with lines that do not fit beside one another on a screen. The tag
// of a field is no text that could go on in the next line.
func narrow() ([]string, error) {
	return inEveryFile(func(path, text string) (broken []string) {
		wide, first := 0, 0
		for i, line := range strings.Split(text, "\n") {
			line, _, _ = strings.Cut(line, " `json:")
			if utf8.RuneCountInString(strings.ReplaceAll(line, "\t", "    ")) > widest {
				if wide++; wide == 1 {
					first = i + 1
				}
			}
		}
		if wide > 0 {
			broken = append(broken, fmt.Sprintf("%s:%d: %d lines over %d columns, this is the first", path, first,
				wide, widest))
		}
		return broken
	})
}

// inEveryFile asks a question of every Go file that git knows.
func inEveryFile(ask func(path, text string) []string) ([]string, error) {
	out, err := exec.Command("git", "ls-files", "*.go").Output()
	if err != nil {
		return nil, err
	}
	var broken []string
	for _, path := range strings.Fields(string(out)) {
		text, err := os.ReadFile(path)
		if os.IsNotExist(err) {
			continue // deleted, not yet committed
		}
		if err != nil {
			return nil, err
		}
		broken = append(broken, ask(path, string(text))...)
	}
	return broken, nil
}

// documented lists exported names without a comment.
func documented() ([]string, error) {
	packages, err := everywhere()
	if err != nil {
		return nil, err
	}
	var broken []string
	seen := map[string]bool{}
	for _, p := range packages {
		for _, name := range p.GoFiles {
			path := filepath.Join(p.Dir, name)
			if seen[path] {
				continue
			}
			seen[path] = true
			found, err := undocumented(path)
			if err != nil {
				return nil, err
			}
			broken = append(broken, found...)
		}
	}
	return broken, nil
}

func undocumented(path string) ([]string, error) {
	fset := token.NewFileSet()
	file, err := parseFile(fset, path)
	if err != nil {
		return nil, err
	}
	var broken []string
	missing := func(n ast.Node, name string) {
		broken = append(broken, fmt.Sprintf("%s: %s has no comment", fset.Position(n.Pos()), name))
	}
	for _, decl := range file.Decls {
		switch d := decl.(type) {
		case *ast.FuncDecl:
			if d.Doc == nil && d.Name.IsExported() && exportedReceiver(d) && !wellKnown[d.Name.Name] {
				missing(d, d.Name.Name)
			}
		case *ast.GenDecl:
			for _, spec := range d.Specs {
				if name := bareSpec(d, spec); name != "" {
					missing(spec, name)
				}
			}
		}
	}
	return broken, nil
}

// wellKnown are methods whose interface says what they do.
var wellKnown = map[string]bool{"Error": true, "String": true, "UnmarshalCSV": true, "MarshalCSV": true, "Unwrap": true}

func exportedReceiver(d *ast.FuncDecl) bool {
	if d.Recv == nil {
		return true
	}
	t := d.Recv.List[0].Type
	if star, ok := t.(*ast.StarExpr); ok {
		t = star.X
	}
	id, ok := t.(*ast.Ident)
	return ok && id.IsExported()
}

// bareSpec names the exported type, constant or variable of a declaration that
// neither it nor its group explains.
func bareSpec(d *ast.GenDecl, spec ast.Spec) string {
	if d.Doc != nil {
		return ""
	}
	switch s := spec.(type) {
	case *ast.TypeSpec:
		if s.Doc == nil && s.Name.IsExported() {
			return s.Name.Name
		}
	case *ast.ValueSpec:
		if s.Doc == nil && s.Comment == nil && s.Names[0].IsExported() {
			return s.Names[0].Name
		}
	}
	return ""
}

// tidy lists files that gofmt would change, and says when go.mod or go.sum are
// not what go mod tidy makes.
func tidy() ([]string, error) {
	var broken []string
	tracked, err := exec.Command("git", "ls-files", "*.go").Output()
	if err != nil {
		return nil, err
	}
	formatted, err := exec.Command("gofmt", append([]string{"-l"},
		existing(strings.Fields(string(tracked)))...)...).Output()
	if err != nil {
		return nil, fmt.Errorf("gofmt: %w", err)
	}
	for _, path := range strings.Fields(string(formatted)) {
		broken = append(broken, path+": gofmt would change it")
	}
	if out, err := exec.Command("go", "mod", "tidy", "-diff").Output(); err != nil || len(out) > 0 {
		broken = append(broken, "go.mod, go.sum: run go mod tidy")
	}
	return broken, nil
}

// existing leaves out files that are deleted and not yet committed.
func existing(paths []string) []string {
	var there []string
	for _, path := range paths {
		if _, err := os.Stat(path); err == nil {
			there = append(there, path)
		}
	}
	return there
}
