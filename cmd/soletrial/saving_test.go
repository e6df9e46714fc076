package main_test

import (
	"encoding/base64"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// saved clicks a button and returns what it hands to the reader: the name, and the content,
// or, of a picture, its size and how many colours it has.
func (p *tab) saved(id string) (name, content string) {
	p.t.Helper()
	value[bool](p, `(() => {
		window.kept = null;
		const make = URL.createObjectURL;
		URL.createObjectURL = (blob) => { window.last = blob; return make.call(URL, blob); };
		HTMLAnchorElement.prototype.click = function () { window.kept = {name: this.download, blob: window.last}; };
		return true; })()`)
	p.do(chromedp.Click(chromedp.CSS("#" + id)))
	p.until(`window.kept !== null`)
	if name = value[string](p, `kept.name`); strings.HasSuffix(name, ".zip") {
		content = value[string](p, `(async () => btoa(Array.from(new Uint8Array(await kept.blob.arrayBuffer()),
			(b) => String.fromCharCode(b)).join("")))()`)
		bytes, err := base64.StdEncoding.DecodeString(content)
		if err != nil {
			p.t.Fatal(err)
		}
		return name, string(bytes)
	}
	content = value[string](p, `(async () => {
		if (!kept.name.endsWith(".png")) return kept.blob.text();
		const picture = await createImageBitmap(kept.blob),
			canvas = new OffscreenCanvas(picture.width, picture.height), c = canvas.getContext("2d");
		c.drawImage(picture, 0, 0);
		const d = new Uint32Array(c.getImageData(0, 0, picture.width, picture.height).data.buffer);
		return picture.width + " wide, " +
			(new Set(d).size > 20 ? "many" : "few") + " colours, corner " + d[0].toString(16);
	})()`)
	return name, content
}

func TestExplorerSaves(t *testing.T) {
	t.Parallel()
	server := serve(t, publish(t))
	for _, width := range widths {
		p := open(t, server, width)
		p.explore("#session=2026-03-07-power&head_s=90")
		p.do(chromedp.Click(chromedp.CSS("#plain")))
		p.until(`document.getElementById("save-csv-comparisons")`)
		name, table := p.saved("save-csv-comparisons")
		if name != "comparisons.yours.csv" || !strings.HasPrefix(table, "outcome,unit,effort,target,model") ||
			strings.Count(table, "\n") < 20 {
			t.Errorf("at %d px %q begins %.60q", width, name, table)
		}
		name, svg := p.saved("save-svg-ranking-0")
		if name != "ranking-0.yours.svg" || !strings.HasPrefix(svg, "<svg xmlns=") || !strings.Contains(svg,
			"Fennock") {
			t.Errorf("at %d px %q begins %.60q", width, name, svg)
		}
		wide := map[int]string{390: "720 wide", 1280: "1440 wide"}[width]
		for _, id := range []string{"ranking-0", "order", "trace-power_w"} {
			if name, picture := p.saved("save-png-" + id); name != id+".yours.png" ||
				picture != wide+", many colours, corner ffffffff" {
				t.Errorf("at %d px %q is %s", width, name, picture)
			}
		}
		p.unfaulted()
	}
}

// The figure of a zoomed stretch is that stretch, and its data are the samples in it.
func TestExplorerSavesTheZoomedTrace(t *testing.T) {
	t.Parallel()
	server := serve(t, publish(t))
	for _, width := range widths {
		p := open(t, server, width)
		p.visit("#session=2026-03-07-power&view=150,210")
		name, svg := p.saved("save-svg-trace-power_w")
		if name != "trace-power_w.published.svg" || !strings.Contains(svg, ">3:00<") ||
			strings.Contains(svg, ">0:00<") || strings.Contains(svg, ">5:00<") {
			t.Errorf("at %d px %q does not show 2:30 to 3:30: %.200q", width, name, svg)
		}
		name, table := p.saved("save-csv-trace-power_w")
		rows := strings.Split(strings.TrimSpace(table), "\n")
		if name != "trace-power_w.published.csv" ||
			rows[0] != "session,block,shoe,counts,block_elapsed_s,power_w" || len(rows) < 8*60 {
			t.Fatalf("at %d px %q has %d rows under %q", width, name, len(rows), rows[0])
		}
		for _, row := range rows[1:] {
			cells := strings.Split(row, ",")
			if at, err := strconv.ParseFloat(cells[4], 64); err != nil || at < 150 || at > 210 {
				t.Fatalf("at %d px the row %q is not in view", width, row)
			}
		}
		p.unfaulted()
	}
}

// A reader who thinks in miles: the table, the figure and the address follow, the
// reading does not change, and the link shows the same.
func TestExplorerUnits(t *testing.T) {
	t.Parallel()
	server := serve(t, publish(t))
	for _, width := range widths {
		p := open(t, server, width)
		p.visit("#session=2026-03-07-power")
		head, mean := p.text("#blocks-table thead"), value[float64](p,
			`Number(document.querySelector("#blocks-table tbody tr td:nth-child(5)").textContent)`)
		p.changesMore()
		p.do(chromedp.Focus(chromedp.CSS("#choose-units")), chromedp.KeyEvent(kb.ArrowDown))
		p.until(`location.hash.includes("units=imperial")`)
		miles := value[float64](p,
			`Number(document.querySelector("#blocks-table tbody tr td:nth-child(5)").textContent)`)
		if now := p.text("#blocks-table thead"); !strings.Contains(head, "Speed, m/s") || !strings.Contains(now,
			"Speed, mph") {
			t.Errorf("at %d px the headings go from %q to %q", width, head, now)
		}
		// 1 mile per hour is 0.44704 m/s (NIST SP 811, 2008, appendix B.8); both are rounded to three decimals.
		if math.Abs(miles-mean/0.44704) > 0.002 {
			t.Errorf("at %d px %v m/s are shown as %v mph", width, mean, miles)
		}
		if figures := p.text("section[aria-labelledby=session-title]"); !strings.Contains(figures, "speed, mph") {
			t.Errorf("at %d px no axis is in mph", width)
		}
		if status := p.status(); strings.Contains(status, "Your version") {
			t.Errorf("at %d px other units are another reading: %q", width, status)
		}
		if folder := os.Getenv("SOLETRIAL_SHOTS"); folder != "" {
			shoot(p, filepath.Join(folder, fmt.Sprintf("miles-%d.png", width)))
		}
		p.do(chromedp.Navigate(p.root + "index.html"))
		p.visit("#session=2026-04-04-treadmill&units=imperial")
		if table := p.text("#blocks-table"); !strings.Contains(table, "min/mile") {
			t.Errorf("at %d px a held pace reads %q", width, table)
		}
		p.unfaulted()
	}
}
