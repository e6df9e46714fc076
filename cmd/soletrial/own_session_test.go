package main_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/muktihari/fit/profile/typedef"

	"soletrial/pipeline/recording/fittest"
)

// A CSV whose headings tell nothing: the page has a form for its columns, the blocks get their
// shoes, and what is saved is a session's folder that the program imports.
func TestExplorerOwnUnknownColumnsBecomeASession(t *testing.T) {
	t.Parallel()
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

// A table with one row for each lap becomes the blocks that import makes of it: the session that
// is saved has the same blocks.csv but for notes. What needs samples is said to be missing.
func TestExplorerOwnTableOfLaps(t *testing.T) {
	t.Parallel()
	p := open(t, serve(t, publish(t)), 390)
	p.visit("")
	table := "Lap,Time,Distance (km),Avg Pace,Avg HR,Avg Power\n1,2:00,0.150,13:20,97,62\n" +
		"2,5:30,1.320,4:10,147,268\n3,2:00,0.140,13:00,120,0\n4,5:30,1.353,4:04,148,269\n" +
		"5,2:00,0.150,13:20,119,60\n6,5:30,1.350,4:04,148,267\n7,2:00,0.140,13:10,118,61\n8,5:30,1.325,4:09,149,268\n"
	p.give("laps.csv", table, false)
	p.until(`document.querySelectorAll("#own-blocks tbody tr").length === 4`)
	if notice := p.text("#own-notice"); !strings.Contains(notice, "8 laps, 4 blocks proposed") {
		t.Errorf("the notice reads %q", notice)
	}
	if words := p.text("#own-laps"); !strings.Contains(words, "no samples") ||
		value[bool](p, `document.getElementById("own-trace") !== null`) {
		t.Errorf("of what it lacks the page says %q", words)
	}
	p.wears("Red", "Blue", "Blue", "Red")
	p.until(`document.querySelectorAll("#own-table tbody tr").length === 1 &&
		/Red against Blue|Blue against Red/.test(document.getElementById("own-table").textContent)`)
	p.until(database(`const get = db.transaction("own").objectStore("own").get("recording cut");
		get.onsuccess = () => close(/Red.*\nBlue.*\nBlue.*\nRed/.test(new TextDecoder().decode(get.result)));`))
	p.again() // it is kept as what it is
	p.until(`document.getElementById("own-laps") && document.getElementById("own-table")`)
	value[bool](p, `(() => { const day = document.getElementById("own-day"); day.value = "2026-05-02";
		return day.dispatchEvent(new Event("input", {bubbles: true})); })()`)
	p.until(`document.getElementById("do-own-save").getAttribute("aria-disabled") === "false"`)
	name, packed := p.saved("do-own-save")
	p.unfaulted()

	// Both in the command line.
	folder := t.TempDir()
	archive, laps := filepath.Join(folder, name), filepath.Join(folder, "laps.csv")
	for path, content := range map[string]string{archive: packed, laps: table} {
		if err := os.WriteFile(path, []byte(content), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	var blocks [2]string
	for i, from := range [][]string{{archive}, {"--shoes", "red,blue,blue,red", "--new-shoe", "red:Red",
		"--new-shoe", "blue:Blue", "--target", "268", laps}} {
		dataset := filepath.Join(folder, fmt.Sprint(i))
		run(t, "init", dataset)
		run(t, append([]string{"-d", dataset, "import", "-s", "2026-05-02-power"}, from...)...)
		text, err := os.ReadFile(filepath.Join(dataset, "sessions/2026-05-02-power/blocks.csv"))
		if err != nil {
			t.Fatal(err)
		}
		blocks[i] = string(text)
	}
	// The explorer writes no note of how a block was found, for the reader may have moved it.
	notes := strings.NewReplacer("note,", "", "lap 2,", "", "lap 4,", "", "lap 6,", "", "lap 8,", "")
	if want := notes.Replace(blocks[1]); blocks[0] != want || !strings.Contains(want, "4.0984") {
		t.Errorf("saved are\n%simported\n%s", blocks[0], want)
	}
}

// A ride is no run: it is not opened but by whoever says so, as import asks for --force; and
// the day that it tells is filled in.
func TestExplorerOwnDoubtfulFile(t *testing.T) {
	t.Parallel()
	p := open(t, serve(t, publish(t)), 390)
	p.visit("")
	p.give("ride.fit", string(fittest.Run(fittest.Spec{Blocks: 4, NativePower: true, Sport: typedef.SportCycling})),
		false)
	p.until(`document.getElementById("do-own-anyway")`)
	want := "Not opened: ride.fit: the device recorded it as cycling, not as running."
	if notice := p.text("#own-notice"); notice != want ||
		value[bool](p, `document.getElementById("own-blocks") !== null`) {
		t.Errorf("the notice reads %q", notice)
	}
	p.do(chromedp.Click(chromedp.CSS("#do-own-anyway")))
	p.until(`document.querySelectorAll("#own-blocks tbody tr").length === 4`)
	if day := value[string](p, `document.getElementById("own-day").value`); day != "2026-05-01" ||
		!strings.Contains(p.text("#own-notes"), "cycling") ||
		value[bool](p, `document.getElementById("do-own-anyway") !== null`) {
		t.Errorf("opened with the day %q and the notes %q", day, p.text("#own-notes"))
	}
	// The same file can be chosen once more: a browser says nothing of a choice that changes nothing.
	if value[int](p, `(() => { const input = document.getElementById("own-file");
		input.dispatchEvent(new Event("click", {bubbles: true})); return input.files.length; })()`) != 0 {
		t.Error("a file that is chosen again is not opened")
	}
	p.unfaulted()
}

// Of two tabs with a recording each, the browser keeps that of the tab in which something was
// written last: the recording and its blocks.
func TestExplorerOwnRecordingsOfTwoTabs(t *testing.T) {
	t.Parallel()
	p := open(t, serve(t, publish(t)), 390)
	q := p.another()
	kept := func(key, pattern string) string {
		return database(fmt.Sprintf(`const get = db.transaction("own").objectStore("own").get(%q);
			get.onsuccess = () => close(/%s/.test(new TextDecoder().decode(get.result)));`, key, pattern))
	}
	for _, one := range []struct {
		p     *tab
		watts string
	}{{p, "251"}, {q, "252"}} {
		one.p.visit("")
		one.p.give(one.watts+".csv", "elapsed_s,power_w\n0,"+one.watts+"\n1,"+one.watts+"\n", false)
		one.p.until(kept("recording", "0,"+one.watts))
		one.p.until(kept("recording cut", one.watts+".csv"))
	}
	value[bool](p, `(() => { const shoe = document.getElementById("own-shoe-1"); shoe.value = "Red";
		return shoe.dispatchEvent(new Event("input", {bubbles: true})); })()`)
	p.until(kept("recording cut", "251.csv[^]*Red"))
	p.until(kept("recording", "0,251"))
	p.again()
	p.until(`document.getElementById("own-shoe-1")?.value === "Red"`)
	p.unfaulted()
	q.unfaulted()
}
