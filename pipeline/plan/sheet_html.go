package plan

import (
	"fmt"
	"html"
	"strings"
)

// sheetStyle is for a page of A4 or letter paper, and readable on a phone.
const sheetStyle = `@page{size:A4;margin:9mm}
body{font:11pt/1.25 system-ui,sans-serif;color:#000;background:#fff;margin:0 auto;max-width:60rem;padding:1rem}
h1{font-size:15pt;margin:0 0 .2rem}
h2{font-size:10.5pt;margin:.4rem 0 .1rem}
p{margin:0}
ul{margin:0;padding-left:1.1rem;font-size:9.5pt}
table{border-collapse:collapse;width:100%;margin:.4rem 0}
th,td{border:1px solid #555;padding:.15rem .3rem;text-align:left;height:1.6rem}
th{font-size:9pt;font-weight:600;background:#eee;height:auto}
td.n{width:1.5rem;text-align:right}
td.t{white-space:nowrap;font-variant-numeric:tabular-nums}
td.wide{width:17%}
td.s{min-width:6.5em}
td.w{width:13%}
.code{float:right;display:flex;align-items:flex-end;gap:2mm;width:80mm;margin:-1rem 0 .2rem .6rem;font-size:7.5pt}
.code figcaption{line-height:1.2;overflow-wrap:anywhere;text-align:right}
.code svg{flex:none;width:24mm;height:24mm}
/* On a phone, what is there to read; the columns to write in are for paper. */
@media screen and (max-width:40rem){
.code{float:none;width:auto;margin:0}
[aria-label="The order"] :is(th,td):nth-child(n+5),[aria-label="The shoes"],[aria-label="The day"]{display:none}
}
.care{border:2px solid #000;padding:.2rem .6rem .3rem;margin-top:.4rem}
.care h2{margin-top:0}
.scroll{overflow-x:auto;clear:both}
@media print{body{padding:0;font-size:10pt;max-width:none}ul{font-size:8.5pt;line-height:1.15}}
`

// HTML prints the sheet as a page of its own, without scripts and without
// anything from elsewhere; eight blocks fit on one page of paper.
func (s *Sheet) HTML() string {
	var b strings.Builder
	title := html.EscapeString(s.Title)
	fmt.Fprintf(&b, "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" "+
		"content=\"width=device-width, "+
		"initial-scale=1\">\n<title>%s</title>\n<style>\n%s</style>\n</head>\n<body>\n<main>\n<h1>%s</h1>\n", title,
		sheetStyle, title)
	b.WriteString(trackCode(s.Track))
	for _, fact := range s.Facts {
		fmt.Fprintf(&b, "<p>%s</p>\n", html.EscapeString(fact))
	}
	// The tables to fill in.
	columns := s.columns()
	var rows [][]string
	for _, block := range s.Blocks {
		rows = append(rows, append([]string{block.Number, block.From, block.To, block.Shoe},
			make([]string, len(columns))...))
	}
	table(&b, "The order", append([]string{"block", "from", "to", "shoe"}, columns...), rows)
	rows = nil
	for _, shoe := range s.Shoes {
		rows = append(rows, []string{shoe, "", "", "", s.Sensor, ""})
	}
	table(&b, "The shoes", []string{"shoe", "left g", "right g", "worn km", "sensor, foot, place", "note"}, rows)
	table(&b, "The day", append([]string{""}, Conditions...),
		[][]string{append([]string{"at the start"}, make([]string, len(Conditions))...),
			append([]string{"at the end"}, make([]string, len(Conditions))...)})
	// What to do and what to mind.
	list(&b, "Before", Before)
	list(&b, "Afterwards", After)
	b.WriteString("<div class=\"care\">\n")
	list(&b, "Take care", cautions)
	b.WriteString("</div>\n</main>\n</body>\n</html>\n")
	return b.String()
}

// table writes a table with its headings; the first two kinds of cell are narrow.
func table(b *strings.Builder, caption string, headings []string, rows [][]string) {
	fmt.Fprintf(b, "<div class=\"scroll\" role=\"region\" aria-label=\"%s\" tabindex=\"0\">\n<table>\n<thead><tr>",
		html.EscapeString(caption))
	for _, h := range headings {
		if h == "" {
			b.WriteString("<td></td>")
			continue
		}
		fmt.Fprintf(b, "<th scope=\"col\">%s</th>", html.EscapeString(h))
	}
	b.WriteString("</tr></thead>\n<tbody>\n")
	for _, row := range rows {
		b.WriteString("<tr>")
		for i, cell := range row {
			fmt.Fprintf(b, "<td%s>%s</td>", columnClass(headings[i]), html.EscapeString(cell))
		}
		b.WriteString("</tr>\n")
	}
	b.WriteString("</tbody>\n</table>\n</div>\n")
}

func columnClass(heading string) string {
	switch heading {
	case "block":
		return ` class="n"`
	case "from", "to":
		return ` class="t"`
	case "shoe":
		return ` class="s"`
	case "sky", "surface":
		return ` class="w"`
	case "note":
		return ` class="wide"`
	}
	return ""
}

func list(b *strings.Builder, title string, lines []string) {
	fmt.Fprintf(b, "<h2>%s</h2>\n<ul>\n", html.EscapeString(title))
	for _, line := range lines {
		fmt.Fprintf(b, "<li>%s</li>\n", html.EscapeString(line))
	}
	b.WriteString("</ul>\n")
}
