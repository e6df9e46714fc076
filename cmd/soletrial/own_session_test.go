package main_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// A CSV whose headings tell nothing: the page has a form for its columns, the blocks get their
// shoes, and what is saved is a session's folder that the program imports.
func TestExplorerOwnUnknownColumnsBecomeASession(t *testing.T) {
	p := open(t, serve(t, publish(t)), 390)
	p.do(chromedp.Navigate(p.root + "explorer/"))
	p.arrived()
	text := "tick;a;b\n"
	for s := range 2000 {
		power := 110
		if s >= 300 && (s-300)%420 < 300 {
			power = 255
		}
		text += fmt.Sprintf("%d;%d;%d,%02d\n", s, power+s%7, power/70, s%90)
	}
	p.give("odd.csv", text, false)
	p.until(`document.getElementById("own-columns")?.open`)
	if notice := p.text("#own-notice"); !strings.Contains(notice, "choose the columns below") ||
		strings.Contains(notice, "--") {
		t.Errorf("the notice reads %q", notice)
	}
	value[bool](p, `(() => { const choose = (key, heading) => {
			const list = document.getElementById("choose-column-" + key);
		list.value = heading; list.dispatchEvent(new Event("change", {bubbles: true})); };
		choose("elapsed_s", "tick"); choose("power_w", "a"); choose("speed_mps", "b"); return true; })()`)
	p.do(chromedp.Click(chromedp.CSS("#do-own-read")))
	p.until(`document.querySelectorAll("#own-blocks tbody tr").length === 4`)
	p.wears("Red", "Blue", "Blue", "Red")
	p.until(`document.getElementById("own-table")`)
	value[bool](p, `(() => { const day = document.getElementById("own-day"); day.value = "2026-05-02";
		return day.dispatchEvent(new Event("input", {bubbles: true})); })()`)
	p.until(`document.getElementById("do-own-save").getAttribute("aria-disabled") === "false"`)
	name, packed := p.saved("do-own-save")
	if name != "2026-05-02-power.zip" {
		t.Errorf("saved is %q", name)
	}
	p.unfaulted()

	folder := t.TempDir()
	archive, dataset := filepath.Join(folder, name), filepath.Join(folder, "mine")
	if err := os.WriteFile(archive, []byte(packed), 0o644); err != nil {
		t.Fatal(err)
	}
	run(t, "init", dataset)
	run(t, "-d", dataset, "import", "-s", "2026-05-02-power", archive)
	blocks, err := os.ReadFile(filepath.Join(dataset, "sessions/2026-05-02-power/blocks.csv"))
	if err != nil || !strings.HasPrefix(string(blocks), "block,shoe,start_s,end_s\n1,red,300.0,600.0\n2,blue,720.0,") {
		t.Errorf("the blocks read %q, %v", blocks, err)
	}
	run(t, "-d", dataset, "derive")
}
