package main_test

import (
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// saved clicks a button and returns what it hands to the reader: the name, and
// the content as text or, of a picture, its size and how many colours it has.
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
	content = value[string](p, `(async () => {
		if (!kept.name.endsWith(".png")) return kept.blob.text();
		const picture = await createImageBitmap(kept.blob), canvas = new OffscreenCanvas(picture.width, picture.height), c = canvas.getContext("2d");
		c.drawImage(picture, 0, 0);
		const d = new Uint32Array(c.getImageData(0, 0, picture.width, picture.height).data.buffer);
		return picture.width + " wide, " + (new Set(d).size > 20 ? "many" : "few") + " colours, corner " + d[0].toString(16);
	})()`)
	return value[string](p, `kept.name`), content
}

func TestExplorerSaves(t *testing.T) {
	server := serve(t, publish(t))
	for _, width := range widths {
		p := open(t, server, width)
		p.explore("#session=2026-03-07-power&head_s=90")
		name, table := p.saved("save-csv-comparisons")
		if name != "comparisons.yours.csv" || !strings.HasPrefix(table, "outcome,unit,level,model") || strings.Count(table, "\n") < 20 {
			t.Errorf("at %d px %q begins %.60q", width, name, table)
		}
		name, svg := p.saved("save-svg-ranking-0")
		if name != "ranking-0.yours.svg" || !strings.HasPrefix(svg, "<svg xmlns=") || !strings.Contains(svg, "Fennock") {
			t.Errorf("at %d px %q begins %.60q", width, name, svg)
		}
		wide := map[int]string{390: "720 wide", 1280: "1440 wide"}[width]
		for _, id := range []string{"ranking-0", "order", "trace-power_w"} {
			if name, picture := p.saved("save-png-" + id); name != id+".yours.png" || picture != wide+", many colours, corner ffffffff" {
				t.Errorf("at %d px %q is %s", width, name, picture)
			}
		}
		p.unfaulted()
	}
}
