package plan

import (
	"slices"
	"strings"
	"testing"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

func plannedWorld() (*trial.Dataset, *trial.Session) {
	ds := &trial.Dataset{
		Facts:   trial.DatasetFacts{Method: trial.DefaultMethod(), Limits: trial.DefaultLimits()},
		Runners: []trial.Runner{{ID: "r", Label: "Rudi <R>"}},
		Venues:  []trial.Venue{{ID: "oval", Label: "Oval", LapM: 400, Lane: 2}},
		Shoes: []trial.Shoe{{ID: "a", Label: "Shoe & Co"},
			{ID: "b", Label: "A shoe with a name that is longer than any line"}},
	}
	s := &trial.Session{ID: "2026-05-02-power"}
	s.Facts = trial.SessionFacts{Date: "2026-05-02", Runner: "r", Venue: "oval", Effort: "power", Target: "260"}
	s.Facts.Protocol.Sensor = "pod on the right laces"
	s.Plan = &trial.PlanFacts{Shoes: []string{"a", "b"}, Order: strings.Fields("a b b a b a a b"), Effort: "power",
		Target: "260", BlockS: 390, RestS: 180, WarmUpS: 900, Start: "23:30",
		Rules: ds.RulesOf(trial.Power)}
	ds.Sessions = []trial.Session{*s}
	return ds, &ds.Sessions[0]
}

func TestSheetText(t *testing.T) {
	ds, s := plannedWorld()
	sheet := NewSheet(ds, s)
	text := sheet.Text()
	for _, want := range []string{
		// 3 % either way, the limit of the rule effort-off
		"Field sheet: 2 May 2026\nSession 2026-05-02-power, Rudi <R>, Oval (lap 400 m in lane 1)\n" +
			"Hold 260 W (252 to 268)\n",
		"Warm-up of 15 min, then 8 blocks of 6 min 30 s with 3 min of rest between; times\nby the clock at the venue\n",
		"    23:30:00 23:45:00 warm-up\n",
		"  1 23:45:00 23:51:30 Shoe & Co      _______", // clock times: arithmetic
		"  2 23:54:30 00:01:00 A shoe with a…",
		"  8 00:51:30 00:58:00 A shoe",
		"pod on the right laces", "wind m/s ____", "licensed clinician", "Local rules", "Suspected heat stroke",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("the sheet lacks %q:\n%s", want, text)
		}
	}
	lines := strings.Split(text, "\n")
	for i, line := range lines {
		if len([]rune(line)) > sheetWidth || line != strings.TrimRight(line, " ") {
			t.Errorf("%d letters, or blanks at its end: %q", len([]rune(line)), line)
		}
		// What goes on under its own beginning goes on because no more fits.
		next, goesOn := strings.CutPrefix(line, "  ")
		if goesOn && i > 0 && strings.HasPrefix(lines[i-1], "- ") &&
			len([]rune(lines[i-1]+" "+strings.Fields(next)[0])) <= sheetWidth {
			t.Errorf("%q stands alone, although there is room after %q", next, lines[i-1])
		}
	}
	// The conditions go on a line as long as they fit.
	from := slices.IndexFunc(lines, func(line string) bool { return strings.HasPrefix(line, Conditions[0]) })
	listed := strings.Split(strings.TrimSpace(strings.Join(lines[from:from+2], "")), "________")
	if last := len(listed) - 1; last != len(Conditions) || len([]rune(lines[from])) < sheetWidth-25 {
		t.Errorf("%d of %d conditions on two lines: %q", last, len(Conditions), lines[from:from+2])
	}
}

// A line may be as wide as the sheet, and no wider.
func TestIndentFillsTheLine(t *testing.T) {
	for _, c := range []struct {
		letters, lines int
	}{{sheetWidth - 2 - 5, 1}, {sheetWidth - 2 - 4, 2}} {
		var b strings.Builder
		indent(&b, "- ", strings.Repeat("x", c.letters)+" four")
		if got := strings.Count(b.String(), "\n"); got != c.lines {
			t.Errorf("%d letters and a word of four on %d lines, want %d", c.letters, got, c.lines)
		}
	}
}

// Without a start the sheet counts from the start of the warm-up, without a
// warm-up from the first block; the band is in the unit of what is held.
func TestSheetVariants(t *testing.T) {
	ds, s := plannedWorld()
	s.Plan.Start = ""
	for _, c := range []struct {
		effort, target, want string
		warmUpS              float64
	}{
		{"pace", "4:30", "Hold 4:30 per km (4:22 to 4:38)", units.Missing},
		{"heart_rate", "160", "Hold 160 bpm (155 to 165)", 0},
		{"power", "", "Hold power even", units.Missing},
	} {
		s.Plan.Effort, s.Plan.Target, s.Plan.WarmUpS = c.effort, c.target, c.warmUpS
		sheet := NewSheet(ds, s)
		if sheet.Facts[1] != c.want ||
			sheet.Facts[2] != "8 blocks of 6 min 30 s with 3 min of rest between; times count from the start" {
			t.Errorf("%q, want %q", sheet.Facts, c.want)
		}
		if want := map[string]string{"pace": "pace", "heart_rate": "bpm", "power": "W"}[c.effort]; sheet.Held != want {
			t.Errorf("the means of %s are headed %q, want %q", c.effort, sheet.Held, want)
		}
		if sheet.Blocks[0] != (SheetBlock{"1", "Shoe & Co", "0:00:00", "0:06:30"}) || len(sheet.Blocks) != 8 {
			t.Errorf("the first block is %+v", sheet.Blocks[0])
		}
	}
}

// A shoe without a label, or that is not in the register any more, stands with its id, and a venue
// without a lap without one.
func TestSheetNamesWhatHasNoLabel(t *testing.T) {
	ds, s := plannedWorld()
	ds.Shoes[0].Label, ds.Venues[0].LapM = "", units.Missing
	ds.Shoes = ds.Shoes[:1]
	sheet := NewSheet(ds, s)
	if !slices.Equal(sheet.Shoes, []string{"a", "b"}) || sheet.Facts[0] != "Session 2026-05-02-power, Rudi <R>, Oval" {
		t.Errorf("shoes %q at %q", sheet.Shoes, sheet.Facts[0])
	}
}

func TestSheetHTML(t *testing.T) {
	ds, s := plannedWorld()
	sheet := NewSheet(ds, s)
	page := sheet.HTML()
	for _, want := range []string{"<!doctype html>\n<html lang=\"en\">", "Rudi &lt;R&gt;", "Shoe &amp; Co",
		"<th scope=\"col\">mean W</th>", "pod on the right laces", "@page", "</html>\n"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
	for _, never := range []string{"<script", "http", "Rudi <R>", "url("} {
		if strings.Contains(page, never) {
			t.Errorf("the page holds %q", never)
		}
	}
	if strings.Count(page, "<tr>") != 3+1+8+2+2 { // three headings, warm-up, blocks, shoes, start and end
		t.Errorf("%d rows", strings.Count(page, "<tr>"))
	}
	for _, caution := range cautions {
		if !strings.Contains(page, caution) {
			t.Errorf("the page lacks the caution %q", caution)
		}
	}
}
