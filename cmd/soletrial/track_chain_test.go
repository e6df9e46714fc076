package main_test

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"soletrial/viewer/bundle"
)

// dayWithoutLaps is a recording of known truth, of which the lap button was never pressed;
// its first sample is of this moment.
const dayWithoutLaps = "../../pipeline/recording/testdata/days/nolaps.fit"

var dayBegan = time.Date(2026, 3, 7, 8, 10, 0, 0, time.UTC)

// heldClock makes both clocks of a page nearly stand still, and lets a test put both
// forward to a moment, in milliseconds since 1970.
const heldClock = runtimeClock + `(() => {
	const real = performance.now.bind(performance), Real = Date, began = %d;
	let ahead = 0;
	performance.now = () => real() / 50 + ahead;
	const wall = () => Math.round(began + performance.now());
	Date = class extends Real {
		constructor(...a) { a.length ? super(...a) : super(wall()); }
		static now() { return wall(); }
	};
	window.goTo = (ms) => { ahead += ms - wall(); };
})()`

// knownDay is what truth.json says of the recording.
type knownDay struct {
	Blocks [][2]float64
	Shoes  []string
}

func readKnownDay(t *testing.T) knownDay {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(filepath.Dir(dayWithoutLaps), "truth.json"))
	if err != nil {
		t.Fatal(err)
	}
	var days map[string]knownDay
	if err := json.Unmarshal(text, &days); err != nil {
		t.Fatal(err)
	}
	day := days[filepath.Base(dayWithoutLaps)]
	if len(day.Blocks) != 8 {
		t.Fatalf("the day has %d blocks", len(day.Blocks))
	}
	return day
}

// planDay makes a dataset with that day planned, in the order in which it was run: the
// seed was looked for.
func planDay(t *testing.T) (dataset, site string) {
	t.Helper()
	if !bundle.Built() {
		lacking(t, "the viewer is not built into this test: run make viewer")
	}
	folder := t.TempDir()
	dataset, site = filepath.Join(folder, "data"), filepath.Join(folder, "public")
	run(t, "init", dataset)
	register := "id,label,mass_g\nfennock,Fennock,214.0\ntarrow,Tarrow,230.0\n"
	if err := os.WriteFile(filepath.Join(dataset, "shoes.csv"), []byte(register), 0o644); err != nil {
		t.Fatal(err)
	}
	run(t, "-d", dataset, "plan", "-s", "2026-03-07-power", "--shoes", "tarrow,fennock", "--target", "268",
		"--block", "5:30", "--rest", "2:30", "--warm-up", "2m", "--seed", "3")
	run(t, "-d", dataset, "derive")
	run(t, "-d", dataset, "publish", "-o", site)
	return dataset, site
}

// The whole way of a day: the page at the track leads through the planned session, its
// file goes through log, the recording without a lap through import, and compare answers.
// Nothing is edited, and the blocks are those that were run.
func TestTrackToComparison(t *testing.T) {
	day := readKnownDay(t)
	dataset, site := planDay(t)
	server := serve(t, site)
	p := &phone{tab: open(t, server, 360), size: [2]int{360, 640}, taps: map[string][][2]int64{}}
	p.hold()
	p.before(fmt.Sprintf(heldClock, dayBegan.Add(-5*time.Minute).UnixMilli()))
	p.do(chromedp.Navigate(p.root + "track/#2026-03-07-power"))
	p.heading("At the track")
	p.runDay(day)

	file := filepath.Join(t.TempDir(), "fieldlog.yaml")
	if err := os.WriteFile(file, []byte(p.logText()), 0o644); err != nil {
		t.Fatal(err)
	}
	p.unfaulted()
	run(t, "-d", dataset, "log", file)
	run(t, "-d", dataset, "import", "-s", "2026-03-07-power", dayWithoutLaps)
	run(t, "-d", dataset, "tidy", "--dry-run")
	run(t, "-d", dataset, "check")
	run(t, "-d", dataset, "derive")
	run(t, "-d", dataset, "compare")
	sameBlocks(t, filepath.Join(dataset, "sessions/2026-03-07-power/blocks.csv"), day)
}

// runDay taps through the session at the moments at which its blocks were run.
func (p *phone) runDay(day knownDay) {
	p.t.Helper()
	at := -240.0 // seconds on the recording's clock
	tap := func(seconds float64, heading, id string) {
		p.t.Helper()
		at = seconds
		p.heading(heading)
		p.until(`document.getElementById("` + id + `")`)
		value[any](p.tab, fmt.Sprintf(`goTo(%d)`, dayBegan.UnixMilli()+int64(1000*seconds)))
		p.tap(id)
	}
	tap(at+1, "At the track", "plan-2026-03-07-power")
	for _, step := range [][2]string{{"Weigh Tarrow", "pass"}, {"How is the weather", "pass"},
		{"Where is the foot sensor", "pass"},
		{"Warm up", "warm-start"}} {
		tap(at+10, step[0], step[1])
	}
	tap(at+120, "Warm-up", "warm-end")
	for i, block := range day.Blocks {
		tap(block[0], "", "start") // "Put on" or "Keep on"
		tap(block[1], map[string]string{"tarrow": "Tarrow", "fennock": "Fennock"}[day.Shoes[i]], "end")
		p.until(`document.getElementById("signal") || document.getElementById("exertion-6")`)
		if value[bool](p.tab, `document.getElementById("signal") !== null`) {
			p.t.Errorf("block %d was ended in time, and the page asks when it ended", i+1)
			p.tap("tap")
		}
		for _, step := range [][2]string{{"How hard", "exertion-6"}, {"How comfortable", "comfort"},
			{"How comfortable", "keep"}, {"Anything to note", "pass"}} {
			tap(at+5, step[0], step[1])
		}
	}
	tap(at+5, "All blocks are run", "keep")
	p.heading("The log is complete")
}

// sameBlocks holds the blocks of a session against those that were run.
func sameBlocks(t *testing.T, path string, day knownDay) {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(strings.NewReader(string(text))).ReadAll()
	if err != nil || len(rows) != 1+len(day.Blocks) {
		t.Fatalf("%v\n%s", err, text)
	}
	place := map[string]int{}
	for i, column := range rows[0] {
		place[column] = i
	}
	for i, row := range rows[1:] {
		for k, column := range []string{"start_s", "end_s"} {
			seconds, err := strconv.ParseFloat(row[place[column]], 64)
			if err != nil || math.Abs(seconds-day.Blocks[i][k]) > 2 {
				t.Errorf("block %d: %s is %v (%v), run at %v", i+1, column, seconds, err, day.Blocks[i][k])
			}
		}
		if row[place["shoe"]] != day.Shoes[i] || row[place["rpe"]] != "6.0" {
			t.Errorf("block %d reads %q, run in %s", i+1, row, day.Shoes[i])
		}
	}
}
