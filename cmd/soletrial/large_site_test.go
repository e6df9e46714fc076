package main_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"soletrial/viewer/bundle"
)

// largeSites are the sites to open: those that `make scale` published and names in
// SOLETRIAL_LARGE_SITES, else a small one with 60 shoes.
func largeSites(t testing.TB) []string {
	t.Helper()
	if sites := filepath.SplitList(os.Getenv("SOLETRIAL_LARGE_SITES")); len(sites) > 0 {
		return sites
	}
	if !bundle.Built() {
		lacking(t, "the viewer is not built into this test: run make viewer")
	}
	dataset, site := filepath.Join(t.TempDir(), "data"), filepath.Join(t.TempDir(), "public")
	written := exec.Command("go", "run", "soletrial/scripts/bulk", "-o", dataset, "-sessions", "10", "-minutes", "15",
		"-shoes", "60")
	if out, err := written.CombinedOutput(); err != nil {
		t.Fatalf("bulk: %v\n%s", err, out)
	}
	run(t, "-d", dataset, "derive")
	run(t, "-d", dataset, "publish", "-o", site)
	return []string{site}
}

// The explorer answers over a site of any size: the published answer first, a changed number from
// the 5-second sums when a slider moves, and the comparisons without assumptions.
func TestExplorerOnLargeSites(t *testing.T) {
	for _, site := range largeSites(t) {
		p := open(t, serve(t, site), 390)
		from := time.Now()
		step := func(what, expression string, longest time.Duration) {
			p.untilWithin(longest, expression)
			t.Logf("%s: %.1f s", what, time.Since(from).Seconds())
			from = time.Now()
		}
		p.do(chromedp.Navigate(p.root + "explorer/"))
		step("controls usable", `document.querySelector("#headline") &&
			document.getElementById("trim-head_s-slider") &&
			document.getElementById("explorer-status").dataset.state === "running"`, patience)
		value[bool](p, `(() => {
			const slider = document.getElementById("trim-head_s-slider"); slider.value = 20;
			slider.dispatchEvent(new Event("input", {bubbles: true})); return true; })()`)
		step("a changed answer",
			`/^Your version/.test(document.getElementById("explorer-status").textContent)`, 2*patience)
		p.do(chromedp.Navigate(p.root + "explorer/index.html#comparisons=shown"))
		step("comparisons without assumptions",
			`document.querySelectorAll("#comparison-table tr").length > 3`, 2*patience)
		p.unfaulted()
	}
}
