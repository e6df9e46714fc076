package main_test

import (
	"cmp"
	"context"
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/chromedp/chromedp"
)

// checkers returns the folder with what scripts/checkers pins: axe-core, which
// holds pages against WCAG, and html-validate, which holds markup against the
// HTML standard.
func checkers(t testing.TB) string {
	t.Helper()
	folder := os.Getenv("CHECKERS")
	if folder == "" {
		lacking(t, "no checkers: set CHECKERS to what `sh scripts/need.sh checkers` prints")
	}
	return filepath.Join(folder, "node_modules")
}

// axe is the checker's program, to be evaluated in a page through the devtools:
// the content security policy lets no script tag in.
func axe(t testing.TB) string {
	t.Helper()
	program, err := os.ReadFile(filepath.Join(checkers(t), "axe-core/axe.min.js"))
	if err != nil {
		t.Fatal(err)
	}
	return string(program)
}

// violation is one rule broken, and where.
type violation struct {
	ID, Help string
	Nodes    []struct{ HTML, FailureSummary string }
}

// All rules, those for the size of targets (WCAG 2.2) included, which are off
// unless asked for; and the rules that bear on colours only.
const (
	everyRule   = `rules: {"target-size": {enabled: true}}`
	colourRules = `runOnly: ["color-contrast", "link-in-text-block"]`
)

// view is a look, and the rules that are held against it.
type view struct {
	look
	rules string
}

// everyView is both colour schemes and both widths: every rule in each once, and those for
// colours in every pair.
var everyView = []view{{look{390, "light"}, everyRule}, {look{390, "dark"}, colourRules},
	{look{1280, "dark"}, everyRule}, {look{1280, "light"}, colourRules}}

// accessible runs axe-core over the page as it stands, in every view.
func (p *tab) accessible(program, where string) {
	p.t.Helper()
	p.accessibleIn(everyView, program, where)
}

// accessibleIn runs axe-core over the page as it stands in some views.
func (p *tab) accessibleIn(views []view, program, where string) {
	p.t.Helper()
	if !value[bool](p, `typeof axe === "object"`) {
		ctx, cancel := context.WithTimeout(p.ctx, patience)
		defer cancel()
		if _, err := chromedp.Run(ctx, chromedp.Evaluate[bool](program+";true")); err != nil {
			p.t.Fatal(err)
		}
	}
	for _, view := range views {
		p.see(view.look)
		p.shot(where, view.look)
		for _, v := range violations(p, view.rules) {
			for _, n := range v.Nodes {
				p.t.Errorf("%s at %s: %s (%s): %.200s\n%s", where, view.look, v.ID, v.Help, n.HTML, n.FailureSummary)
			}
		}
	}
}

func violations(p *tab, rules string) []violation {
	p.t.Helper()
	text := value[string](p, `axe.run(document, {resultTypes: ["violations"], selectors: false, `+rules+
		`}).then((r) => {
		if (r.passes.length === 0) throw new Error("axe checked nothing");
		return JSON.stringify(r.violations); })`)
	var broken []violation
	if err := json.Unmarshal([]byte(text), &broken); err != nil {
		p.t.Fatal(err)
	}
	return broken
}

// The checker must find what is wrong, or its silence says nothing.
func TestCheckersFindFaults(t *testing.T) {
	program := axe(t)
	folder := t.TempDir()
	bad := `<!DOCTYPE html><html><head><title>x</title></head><body>
		<img src="a.png"><p style="color:#888">pale</p><button></button></body></html>`
	if err := os.WriteFile(filepath.Join(folder, "bad.html"), []byte(bad), 0o644); err != nil {
		t.Fatal(err)
	}
	if found := invalid(t, pageRules, folder); len(found) == 0 {
		t.Error("html-validate finds nothing in a bad page")
	}
	server := httptest.NewServer(http.StripPrefix(below, http.FileServer(http.Dir(folder))))
	t.Cleanup(server.Close)
	p := open(t, server, 390)
	p.do(chromedp.Navigate(p.root + "bad.html"))
	value[bool](p, program+";true")
	found := map[string]bool{}
	for _, v := range violations(p, everyRule) {
		found[v.ID] = true
	}
	for _, rule := range []string{"image-alt", "color-contrast", "button-name", "html-has-lang"} {
		if !found[rule] {
			t.Errorf("axe-core misses %s; it finds %v", rule, found)
		}
	}
}

// The rules for pages as they are served, and for the explorer's as it stands in
// the browser, where style has no rules.
const (
	pageRules    = "pages.cjs"
	elementRules = "elements.cjs"
)

// invalid returns what html-validate finds in the pages below a folder, by the
// rules in one of the files in scripts/checkers.
func invalid(t testing.TB, rules, folder string) []string {
	t.Helper()
	program, report := filepath.Join(checkers(t), "html-validate/bin/html-validate.mjs"), filepath.Join(t.TempDir(),
		"report.json")
	node := exec.Command(cmp.Or(os.Getenv("NODE"), "node"), program, "--config", "../../scripts/checkers/"+rules,
		"--formatter", "json="+report, "--ext", "html", folder)
	said, err := node.CombinedOutput() // fails for what it finds, too
	text, unread := os.ReadFile(report)
	if unread != nil {
		t.Fatalf("html-validate reports nothing: %v, %s", err, said)
	}
	var files []struct {
		FilePath string
		Messages []struct {
			RuleID, Message, Selector string
			Line, Column              int
		}
	}
	if err := json.Unmarshal(text, &files); err != nil {
		t.Fatal(err)
	}
	var found []string
	for _, f := range files {
		for _, m := range f.Messages {
			path, _ := filepath.Rel(folder, f.FilePath)
			found = append(found, path+": "+m.RuleID+": "+m.Message+" at "+m.Selector)
		}
	}
	return found
}
