package main_test

import (
	"encoding/xml"
	"io"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"soletrial/cmd/internal/cli"
)

// notInReadme are the parts of the method page that the README does without: the list of
// contents, the numbers of one pair, what stands elsewhere in the same file, and what
// this dataset reports.
var notInReadme = regexp.MustCompile(`(?s)<nav class="contents".*?</nav>|<h3 id="example">.*?</details>|` +
	`<section aria-labelledby="(?:rules|reporting)">.*?</section>|<section id="cautions".*?</section>`)

// blankLines is more than one blank line.
var blankLines = regexp.MustCompile(`\n{3,}`)

// methodText is the method page of the demonstration's site as Markdown.
func methodText(t *testing.T) string {
	t.Helper()
	site := filepath.Join(t.TempDir(), "site")
	var out strings.Builder
	code := cli.Main([]string{"-d", "../../data", "publish", "-o", site}, strings.NewReader(""), &out, &out)
	if code != 0 {
		t.Fatalf("publish exits with %d: %s", code, out.String())
	}
	_, page, there := strings.Cut(read(t, filepath.Join(site, "method.html")), "</h1>")
	page, _, ended := strings.Cut(page, "</main>")
	if !there || !ended {
		t.Fatal("the method page has no heading or no end")
	}
	page = notInReadme.ReplaceAllString(page, "")
	decoder := xml.NewDecoder(strings.NewReader("<main>" + page + "</main>"))
	decoder.Strict, decoder.AutoClose, decoder.Entity = false, xml.HTMLAutoClose, xml.HTMLEntity
	m := &markdown{}
	for {
		token, err := decoder.Token()
		if err == io.EOF {
			return blankLines.ReplaceAllString(strings.TrimSpace(m.done), "\n\n") + "\n"
		}
		if err != nil {
			t.Fatal(err)
		}
		switch token := token.(type) {
		case xml.StartElement:
			m.start(token)
		case xml.EndElement:
			m.end(token.Name.Local)
		case xml.CharData:
			m.text += strings.ReplaceAll(string(token), "\n", " ")
		}
	}
}

// markdown is a page on its way to Markdown: what is done, the text since the last
// element that stands by itself, the class of the paragraph and the cells of the row.
type markdown struct {
	done, text, class string
	row               []string
	ruled             bool // the table has its line below the headings
}

// inline is how elements inside a text begin and end.
var inline = map[string]string{"code": "`", "strong": "**", "sup": "^", "sub": "_"}

func (m *markdown) start(e xml.StartElement) {
	switch e.Name.Local {
	case "p", "li", "h2", "h3", "dt", "dd", "caption", "th", "td":
		m.text, m.class = "", ""
		for _, a := range e.Attr {
			if a.Name.Local == "class" {
				m.class = a.Value
			}
		}
	case "table":
		m.ruled = false
	case "br":
		m.text += "\n"
	default:
		m.text += inline[e.Name.Local]
	}
}

func (m *markdown) end(name string) {
	text := strings.TrimSpace(m.text)
	switch name {
	case "h2":
		m.done += "\n### " + text + "\n\n"
	case "h3":
		m.done += "\n#### " + text + "\n\n"
	case "p":
		m.paragraph(text)
	case "caption":
		m.done += "\n" + text + ":\n\n"
	case "li":
		m.done += wrapped(text, "- ", "  ")
	case "dt":
		m.done += "- **" + text + "**: "
	case "dd":
		m.done += text + "\n"
	case "th", "td":
		m.row = append(m.row, tableCell(text))
	case "tr":
		m.endRow()
	case "code", "strong":
		m.text += inline[name]
		return
	case "ul", "dl", "table":
		m.done += "\n"
	default:
		return
	}
	m.text = ""
}

func (m *markdown) paragraph(text string) {
	switch m.class {
	case "formula":
		m.done += "\n```text\n" + text + "\n```\n\n"
	case "source":
		m.done += "\n" + wrapped(text, "> ", "> ") + "\n"
	default:
		m.done += "\n" + wrapped(text, "", "") + "\n"
	}
}

func (m *markdown) endRow() {
	m.done += "| " + strings.Join(m.row, " | ") + " |\n"
	if !m.ruled {
		m.done += strings.Repeat("|---", len(m.row)) + "|\n"
		m.ruled = true
	}
	m.row = nil
}

// wrapped breaks a text into lines of at most 118 letters, the first with one start and
// the others with another.
func wrapped(text, first, others string) string {
	var b strings.Builder
	line := first
	for _, word := range strings.Fields(text) {
		if len([]rune(line+word)) > 118 {
			b.WriteString(strings.TrimRight(line, " ") + "\n")
			line = others
		}
		line += word + " "
	}
	b.WriteString(strings.TrimRight(line, " ") + "\n")
	return b.String()
}
