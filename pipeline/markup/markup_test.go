package markup

import (
	"fmt"
	"html/template"
	"strings"
	"testing"
	"testing/fstest"

	"pgregory.net/rapid"
)

// filled is a template filled in by this package.
func filled(text string, data any) (string, error) {
	set, err := Parse(fstest.MapFS{"pages/t.html": {Data: []byte(text)}}, "pages/t.html")
	if err != nil {
		return "", err
	}
	var b strings.Builder
	err = set.Write(&b, "t.html", data)
	return b.String(), err
}

// asLibrary is the same by html/template, which writes another word for an unsafe address.
func asLibrary(t *rapid.T, text string, data any) string {
	var b strings.Builder
	if err := template.Must(template.New("t.html").Parse(text)).Execute(&b, data); err != nil {
		t.Fatal(err)
	}
	return strings.ReplaceAll(b.String(), "#ZgotmplZ", "#unsafe")
}

// texts are what people and attackers write.
var texts = rapid.OneOf(rapid.SampledFrom([]string{"", "plain", "a < b & \"c\" 'd' +1.2 %",
	"</title></script><script>",
	"<!--", "\x00", "é \u00a0\u2028", "../shoes/a%20b.html", "https://example.org/?a=b&c=d#e", "javascript:alert(1)",
	"JavaScript:x", "data:text/html,x", "mailto:a@example.org", "a/b:c", "%zz%4", "x y\"'()"}), rapid.String())

// everywhere is a template for every place where something may be filled in.
var everywhere = []string{
	`<p>{{.S}}</p>`, `<!DOCTYPE html>` + "\n" + `<title>{{.S}} · x</title><p>{{.S}}</p>`,
	`<p title="{{.S}}">x</p>`, `<p class="letter {{.S}}" data-mean="{{.S}}">{{.N}}</p>`,
	`<meta content="{{.S}}">`, `<a href="{{.S}}">x</a>`, `<a href="{{.S}}style.css">x</a>`,
	`<a href="../method.html#{{.S}}">x</a>`, `<a href="x?a={{.S}}&amp;b={{.S}}">x</a>`, `<a href="x/{{.S}}">x</a>`,
	`<script defer src="{{.S}}"></script>{{.S}}`, `<a rel="prev" href="{{.S}}">{{.S}}</a>`,
	`<script type="application/ld+json">{{.Linked}}</script>{{.S}}`,
	"<a\n\thref=\"{{.S}}\">x</a>", "<A\tclass=\"x\"\tHREF=\" {{.S}}\">x</A>", `<use xlink:href="{{.S}}"></use>`,
	`<p{{if .S}} class="x"{{else}} id="{{.S}}"{{end}}>{{.S}}</p>`, `<th{{if .S}} id="{{.S}}"{{end}} scope="row">{{.S}}`,
}

// Oracle: html/template of the standard library. Whatever is filled in comes out as it escapes it.
func TestValuesAreEscapedByPlace(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := texts.Draw(t, "text")
		type linked struct {
			Name string `json:"@name"`
		}
		filler := struct {
			S      string
			N      int
			Linked linked
		}{s, rapid.Int().Draw(t, "number"), linked{s}}
		for _, text := range everywhere {
			got, err := filled(text, filler)
			if want := asLibrary(t, text, filler); err != nil || got != want {
				t.Fatalf("%s with %q:\n%q, want\n%q: %v", text, s, got, want, err)
			}
		}
	})
}

// row is data with all that templates may look at.
type row struct {
	Name  string
	Count int
	Next  *row
	Rows  []row
	Any   any
	Yes   bool
}

// Oracle: html/template. Every construct that this package knows does what it does there.
func TestConstructs(t *testing.T) {
	const text = `{{define "row"}}<li>{{.Name}}
{{with .Next}} then {{.Name}} of {{$.Name}}{{else}} last{{end}}</li>{{end -}}
{{define "none"}}<p>none</p>{{end}}{{/* no comment */}}
{{if .Yes}}yes{{else if .Count}}{{.Count}}{{else}}no{{end}} {{if not .Name}}nameless{{end}}
{{range $n, $r := .Rows}}{{if not $n}}first: {{end}}
{{template "row" $r}}{{$r.Name}}{{range .Rows}}{{.Name}}{{$n}}{{end}}
{{else}}{{template "none"}}{{end}}{{range .Rows}}{{template "row" .}}{{end}}
{{if gt (len .Rows) 1}}many{{end}}{{if eq .Count 3}}three{{end}}{{if eq .Name "plain"}}plain{{end}}
{{if or .Next .Rows}}some{{end}}{{with .Any}}{{.}}{{end}}`
	rows := rapid.Custom(func(t *rapid.T) row {
		r := row{Name: texts.Draw(t, "name"), Count: rapid.IntRange(-1, 3).Draw(t, "count"), Yes: rapid.Bool().Draw(t,
			"yes")}
		if rapid.Bool().Draw(t, "any") {
			r.Any = texts.Draw(t, "any's text")
		}
		if rapid.Bool().Draw(t, "next") {
			r.Next = &row{Name: texts.Draw(t, "next's name")}
		}
		return r
	})
	rapid.Check(t, func(t *rapid.T) {
		data := rows.Draw(t, "data")
		data.Rows = rapid.SliceOfN(rows, 0, 3).Draw(t, "rows")
		for i := range data.Rows {
			data.Rows[i].Rows = rapid.SliceOfN(rows, 0, 2).Draw(t, "rows of a row")
		}
		got, err := filled(text, data)
		if want := asLibrary(t, text, data); err != nil || got != want {
			t.Fatalf("%q, want\n%q: %v", got, want, err)
		}
	})
}

type bold string

func (t bold) WriteHTML(b *strings.Builder) error {
	_, err := fmt.Fprintf(b, "<b>%d</b>", len(t))
	return err
}

func TestHTMLStandsAsItIsBetweenTagsOnly(t *testing.T) {
	data := struct {
		H HTML
		W bold
	}{"<i>é</i>", "four"}
	const want = `<p title="&lt;i&gt;é&lt;/i&gt;"><i>é</i><b>4</b></p>`
	if got, err := filled(`<p title="{{.H}}">{{.H}}{{.W}}</p>`, data); err != nil || got != want {
		t.Errorf("%s, want %s: %v", got, want, err)
	}
}

func TestTemplatesThatAreRefused(t *testing.T) {
	for text, want := range map[string]string{
		`<p {{.S}}>`:                            "quoted attribute",
		`<p class={{.S}}>`:                      `name="value"`,
		`<p class='{{.S}}'>`:                    `name="value"`,
		`<p onclick="{{.S}}">`:                  "onclick",
		`<p style="{{.S}}">`:                    "style",
		`<img srcset="{{.S}}">`:                 "srcset",
		`<style>{{.S}}</style>`:                 "style sheet",
		`<p title="{{if .S}}a{{else}}">{{end}}`: "one place of a tag",
		`{{range .R}}<p title="{{end}}`:         "one place of a tag",
		`<p title="`:                            "within a tag",
		`<script>`:                              "within a tag or a script",
		`<script>x = "{{.S}}"</script>`:         "program",
		`<script>{{.S}}; {{.S}}</script>`:       "program",
		"<SCRIPT\n>x({{.S}})</SCRIPT>":          "program",
		"<p id=\"x\"\tonclick=\"{{.S}}\">":      "onclick",
		`<p/onclick="{{.S}}">`:                  "is no tag",
		`<p x/onclick="{{.S}}">`:                `name="value"`,
		`<!-- {{.S}} -->`:                       "comments",
		`a < b`:                                 "stray",
		`<p "x">`:                               "stray",
		`<p title="{{template "x"}}">{{define "x"}}{{end}}`: "between tags",
		`{{template "x"}}`:             "no such template",
		`{{.S | len}}`:                 "|",
		`{{$x := .S}}`:                 "range only",
		`{{with $x := .S}}{{end}}`:     "range only",
		`{{len .S .S}}`:                "len",
		`{{printf "%s" .S}}`:           "printf",
		`{{.S.F 1}}`:                   "not a function",
		`{{range .R}}{{break}}{{end}}`: "break",
		`{{1.5}}`:                      "1.5",
		`{{if}}`:                       "missing value",
	} {
		if got, err := filled(text, struct {
			S string
			R []string
		}{}); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %q, %v; want an error with %q", text, got, err, want)
		}
	}
}

func TestDataThatDoNotFit(t *testing.T) {
	data := struct {
		S    string
		F    float64
		Nil  *row
		Rows []row
	}{}
	for text, want := range map[string]string{
		`{{.X}}`:                    "no field X",
		`<p>{{.F}}</p>`:             "float64 cannot be written",
		`{{.Nil.Name}}`:             "no value to take Name from",
		`{{.S.Name}}`:               "no value to take Name from",
		`{{range .S}}{{end}}`:       "must be a slice",
		`{{.Nil}}`:                  "no value to write",
		`{{if gt .S 1}}{{end}}`:     "integers",
		`{{if eq .S 1}}{{end}}`:     "eq",
		`{{if len .F}}{{end}}`:      "len",
		`<p title="{{.Rows}}"></p>`: "cannot be written",
	} {
		if got, err := filled(text, data); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %q, %v; want an error with %q", text, got, err, want)
		}
	}
	if err := (&Set{}).Write(new(strings.Builder), "absent", nil); err == nil {
		t.Error("a template that is not there was written")
	}
}
