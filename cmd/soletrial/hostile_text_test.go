package main_test

import (
	"bytes"
	"encoding/csv"
	"encoding/xml"
	"fmt"
	"html"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"soletrial/pipeline/figure"
)

// Labels that want to be anything but text. Each sets window.hacked if it gets its
// way.
var hostileShoes = []string{
	`</script><script>window.hacked=1</script><img src=x onerror="window.hacked=1">`,
	"Ash\u202egpj.exe אבן לבנה +9 % <b>bold</b>",
	strings.Repeat("Donaudampfschifffahrts", 9),
	"\"quoted' & `${window.hacked=1}` &lt;i&gt; 👟👩\u200d🚀 {{.}} \u200bé",
}

const hostileNote = "javascript:window.hacked=1 </title></textarea>--><svg onload=window.hacked=1> ]]> " +
	"\u2067نعل\u2069 " + "https://example.org/"

// hostile writes and publishes a dataset in which everything that can hold text
// holds the worst that its format lets through.
func hostile(t testing.TB) string {
	t.Helper()
	folder := t.TempDir()
	dataset, site := filepath.Join(folder, "data"), filepath.Join(folder, "public")
	write := func(path string, text []byte) {
		path = filepath.Join(dataset, path)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, text, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	table := func(path string, rows ...[]string) {
		var b bytes.Buffer
		w := csv.NewWriter(&b)
		if err := w.WriteAll(rows); err != nil {
			t.Fatal(err)
		}
		write(path, b.Bytes())
	}
	note := quoted(hostileNote)
	write("dataset.yaml", []byte("title: "+note+"\ndescription: "+note+"\nlicence: CC0-1.0\ndisclosure: "+
		note+"\ninvented: true\ncontributors:\n  - {name: "+note+", role: "+note+
		"}\nmethod:\n  reference: c\n  trim: {head_s: 10, tail_s: 5, heart_rate_head_s: 10}\n"))
	table("runners.csv", []string{"id", "label"}, []string{"r", hostileNote})
	table("venues.csv", []string{"id", "label", "kind", "lap_m"}, []string{"v", hostileShoes[0], "track", "400.000"})
	shoes := [][]string{{"id", "label", "mass_g", "plate", "obtained", "notes"}}
	for i, label := range hostileShoes {
		shoes = append(shoes, []string{string(rune('a' + i)), label, fmt.Sprint(200 + 10*i), "none", hostileNote,
			hostileNote})
	}
	table("shoes.csv", shoes...)
	for s := range 3 {
		session := fmt.Sprintf("sessions/2026-01-0%d/", s+1)
		recording := "foot'pod &%41#אב 👟.csv"
		write(session+"session.yaml", []byte(fmt.Sprintf("date: 2026-01-0%d\nrunner: r\nvenue: v\neffort: "+
			"power\ntarget: 260\nprotocol: {display: %s, sensor: %s}\nconditions: {sky: %s, surface: "+
			"%s}\nrecordings: [{file: %s, device: %s, mount: %s}]\ndeviations: [%s]\nnotes: %s\n",
			s+1, note, note, note, note, quoted(recording), quoted("pod'&אב"), note, note, note)))
		blocks := [][]string{{"block", "shoe", "start_s", "end_s", "include", "reason", "note"}}
		for b, shoe := range []string{"abcddcba", "badccdab", "cdabbadc"}[s] {
			include, reason := "", ""
			if b == 3 {
				include, reason = "no", hostileNote
			}
			blocks = append(blocks, []string{fmt.Sprint(b + 1), string(shoe), fmt.Sprintf("%d.0", 20+160*b),
				fmt.Sprintf("%d.0", 160+160*b), include, reason, hostileNote})
		}
		table(session+"blocks.csv", blocks...)
		samples := [][]string{{"elapsed_s", "power_w", "speed_mps", "cadence_spm", "heart_rate_bpm"}}
		for i := range 1320 {
			n := float64((i*7919 + s*104729) % 1009 % 20)
			shoe := strings.IndexByte("abcd", []string{"abcddcba", "badccdab", "cdabbadc"}[s][min(i/160, 7)])
			samples = append(samples, []string{fmt.Sprintf("%d.000", i), fmt.Sprintf("%.1f", 250+n),
				fmt.Sprintf("%.3f", 3.9+n/100-0.02*float64(shoe)), "172.0", "15" + fmt.Sprint(i%7)})
		}
		table(session+recording, samples...)
	}
	run(t, "-d", dataset, "tidy")
	run(t, "-d", dataset, "derive")
	run(t, "-d", dataset, "publish", "-o", site)
	return site
}

// quoted writes a YAML double-quoted scalar.
func quoted(text string) string {
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`, "\u2067", `\u2067`, "\u2069", `\u2069`).Replace(text) + `"`
}

// Whatever a dataset says is text: on every page, in the explorer, in the figures
// that it saves, and in the feed.
func TestHostileTextStaysText(t *testing.T) {
	t.Parallel()
	site := hostile(t)
	p := open(t, serve(t, site), 390)
	p.watchPolicy()
	unhurt := func(where string) {
		if value[bool](p,
			`window.hacked !== undefined ||
				document.querySelector("main b:not([class]), main i, main script, main img, iframe") !== null`) {
			p.t.Errorf("%s: a label became markup", where)
		}
		if words := value[string](p, `document.documentElement.textContent`); figure.Visible(words) != words {
			p.t.Errorf("%s: something unseen is on the page", where)
		}
		p.unforbidden(where)
	}
	pages := htmlPages(t, site)
	p.part("pages", func() {
		for _, page := range pages {
			p.do(chromedp.Navigate(p.root + (&url.URL{Path: page}).String()))
			if title := value[string](p, `document.title`); !strings.Contains(title, figure.Visible(hostileNote)) {
				p.t.Errorf("%s is titled %q", page, title)
			}
			p.unfold()
			unhurt(page)
			p.reflows(page)
		}
		p.do(chromedp.Navigate(p.root + "shoes/index.html"))
		for i, label := range hostileShoes {
			if got := value[string](p, fmt.Sprintf(`document.querySelectorAll("tbody th .shoe a")[%d].textContent`,
				i)); got != figure.Visible(label) {
				p.t.Errorf("shoe %d is called %q, want %q", i, got, figure.Visible(label))
			}
		}
	})
	p.part("explorer", func() {
		p.explore("")
		p.unfold()
		p.give("<img src=x onerror=hacked=1> \u202egpj אב.csv",
			"elapsed_s,power_w\n0,<script>window.hacked=1</script>\n", false)
		p.until(`/gpj/.test(document.getElementById("explorer-status").textContent)`)
		unhurt("explorer")
		p.reflows("explorer")
		p.shot("hostile explorer", look{390, "light"})
		for _, label := range hostileShoes {
			if words := p.text("#choose-reference"); !strings.Contains(words, figure.Visible(label)) {
				p.t.Errorf("the shoes to compare with are %q", words)
			}
		}
		for _, id := range []string{"ranking-0", "order"} {
			name, svg := p.saved("save-svg-" + id)
			if err := xml.Unmarshal([]byte(svg), new(struct{})); err != nil || strings.Contains(svg, "<img") ||
				strings.Contains(svg, "<script") || figure.Visible(svg) != svg {
				p.t.Errorf("%s: %v, %.300s", name, err, svg)
			}
		}
	})
	p.part("feed", func() {
		text, err := os.ReadFile(filepath.Join(site, "feed.xml"))
		if err != nil {
			p.t.Fatal(err)
		}
		var feed struct {
			Title   string `xml:"title"`
			Entries []struct {
				Title string `xml:"title"`
				Link  struct {
					Href string `xml:"href,attr"`
				} `xml:"link"`
			} `xml:"entry"`
		}
		if err := xml.Unmarshal(text, &feed); err != nil || !strings.Contains(feed.Title,
			figure.Visible(hostileNote)) || len(feed.Entries) != 3 {
			p.t.Fatalf("the feed reads %v, %q, %d entries", err, feed.Title, len(feed.Entries))
		}
		for _, entry := range feed.Entries {
			p.do(chromedp.Navigate(p.root + entry.Link.Href))
			if heading := value[string](p, `document.querySelector("h1")?.textContent ?? ""`); !strings.Contains(
				html.UnescapeString(entry.Title), "2026-01-0") || heading == "" {
				p.t.Errorf("the entry %q leads to %q", entry.Title, heading)
			}
		}
	})
	p.unfaulted()
}
