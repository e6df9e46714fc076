package site

import (
	"regexp"
	"strings"
	"testing"

	"soletrial/pipeline/trial"
)

func TestSessionPage(t *testing.T) {
	in := newFixture().input()
	site := publish(t, in)
	page := site["sessions/s2.html"]
	for _, need := range []string{
		"Blocks in the order run", "no: shoelace came undone", "heart rate, bpm", "Lane 2 for one lap of block 3.",
		"A dog crossed the track.",
		`href="../data/sessions/s2/foot_sensor.csv"`, "12.5 °C", "at 270 W", `class="hatch"`,
	} {
		if !strings.Contains(page, need) {
			t.Errorf("the session's page lacks %q", need)
		}
	}
	if got := strings.Count(page, `id="trace-`) / 2; got != 7 { // a title and a desc each
		t.Errorf("%d trace panels, want one for each of 7 channels", got)
	}
	const byShoe = "one panel for each shoe"
	if got := strings.Count(page, `class="steady"`); !strings.Contains(page, byShoe) || got != 7*3 {
		t.Errorf("6 blocks of 3 shoes have %d panels, want one of each shoe for 7 channels", got)
	}
	if few := site["sessions/s5.html"]; strings.Contains(few, byShoe) || strings.Count(few, `class="steady"`) != 7 {
		t.Error("four blocks are not drawn over each other")
	}
	if !strings.Contains(site["sessions/s4.html"], "one-block-per-shoe") &&
		!strings.Contains(site["sessions/s6.html"], "rule-order-confounded") {
		t.Error("a confounded order has no finding on its page")
	}
	in.Recordings = nil
	if page = publish(t, in)["sessions/s2.html"]; !strings.Contains(page, "No recording") {
		t.Error("a session without samples does not say so")
	}
}

// Two sessions of one day have different names wherever a page lists sessions.
func TestSessionsOfOneDayHaveTheirOwnNames(t *testing.T) {
	f := newFixture()
	f.ds.Sessions[1].Facts.Date = f.ds.Sessions[0].Facts.Date
	site := publish(t, f.input())
	for page, caption := range map[string]string{
		"sessions/index.html": "Sessions, newest first", "shoes/harrow.html": "Sessions in Harrow",
	} {
		named := map[string]bool{}
		for _, row := range rowsOf(t, site[page], caption) {
			named[row[0]] = true
		}
		if !named["14 March 2031 (s1)"] || !named["14 March 2031 (s2)"] {
			t.Errorf("%s names its sessions %v", page, named)
		}
	}
	for _, id := range []string{"s1", "s2"} {
		name := "14 March 2031 (" + id + ")"
		if !strings.Contains(site["sessions/"+id+".html"], "<h1>"+name+" <span") {
			t.Errorf("the page of %s is not headed %q", id, name)
		}
	}
}

// A gap of twelve seconds in every block of the third session parts every line.
func TestTracesKeepGaps(t *testing.T) {
	page := built()["full"]["sessions/s3.html"]
	lines := regexp.MustCompile(`class="trace [^>]* d="([^"]*)"`).FindAllStringSubmatch(page, -1)
	if len(lines) != 7*6 {
		t.Fatalf("%d lines, want 7 channels of 6 blocks", len(lines))
	}
	for _, line := range lines {
		if strings.Count(line[1], "M") != 2 {
			t.Fatalf("a line of a block with one gap has %d parts", strings.Count(line[1], "M"))
		}
	}
}

// Lists of sessions say which shoe each letter is, unless they are too many to look up.
func TestListsNameTheirLetters(t *testing.T) {
	f := newFixture()
	site := publish(t, f.input())
	for _, page := range []string{"sessions/index.html", "shoes/harrow.html"} {
		legend, _, _ := strings.Cut(site[page][strings.Index(site[page], `<ul class="legend">`)+1:], "</ul>")
		for _, shoe := range f.ds.Shoes {
			if !strings.Contains(legend, "</abbr> "+shoe.Label+"</li>") {
				t.Errorf("the legend of %s lacks %s", page, shoe.Label)
			}
		}
	}
	in := f.input()
	for i := range mostInLegend {
		id := "more-" + string(rune('a'+i))
		f.ds.Shoes = append(f.ds.Shoes, trial.Shoe{ID: id, Label: id})
		f.ds.Sessions[0].Blocks = append(f.ds.Sessions[0].Blocks, trial.Block{ID: id, Shoe: id})
	}
	if legend := newSite(in).legendOfAll(); legend != nil {
		t.Errorf("a legend of %d shoes", len(legend))
	}
}
