package report

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"soletrial/pipeline/trial"
)

// A bar that looks full or empty says certain, which the number beside it must say too.
func TestBarIsFullOnlyForACertainChance(t *testing.T) {
	for _, c := range []struct {
		chance float64
		want   string
	}{
		{0, ".........."}, {0.004, ".........."}, {0.006, "#........."}, {0.5, "#####....."},
		{0.99, "#########."}, {0.996, "##########"}, {1, "##########"},
	} {
		if got := bar(c.chance); got != c.want {
			t.Errorf("bar(%v) = %q, want %q", c.chance, got, c.want)
		}
	}
}

func TestSpanOfTimesIsSaidOnceWhereItsEndsReadTheSame(t *testing.T) {
	for _, c := range []struct {
		low, high float64
		want      string
	}{
		{-275, -260, "-4:35 to -4:20"}, {-260.2, -259.9, "-4:20"}, {-0.3, 0.3, "0:00"}, {-10, 12, "-0:10 to +0:12"},
	} {
		if got := clockSpan(c.low, c.high, "not known"); got != c.want {
			t.Errorf("clockSpan(%v, %v) = %q, want %q", c.low, c.high, got, c.want)
		}
	}
}

// Columns line up, and one that is blank in every row but the first is left out.
func TestColumnsLineUp(t *testing.T) {
	got := strings.Join(columns([][]string{{"block", "power", "shoe"}, {"1", "", "grey"}, {"12", "", "blue"}}), "\n")
	if want := "  block  shoe\n  1      grey\n  12     blue"; got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

// Whatever the findings are, none is lost on the way into groups, open stops come first, and
// the counts agree.
func TestEveryFindingIsInOneGroup(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		findings := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) trial.Finding {
			return trial.Finding{Rule: trial.RuleSlug(rapid.SampledFrom([]string{"a", "b", "c"}).Draw(t, "rule")),
				Severity: rapid.SampledFrom([]trial.Severity{trial.Stop, trial.Warn, trial.Note}).Draw(t, "severity"),
				Override: rapid.SampledFrom([]string{"", "seen"}).Draw(t, "override")}
		}), 0, 30).Draw(t, "findings")
		grouped, standing, last := 0, 0, 0
		for _, g := range groupFindings(findings) {
			grouped, standing = grouped+len(g.findings), standing+g.standing
			if g.rank() < last {
				t.Fatalf("a group of rank %d after one of rank %d", g.rank(), last)
			}
			last = g.rank()
			for i, f := range g.findings {
				if f.Holds() != (i < g.standing) {
					t.Fatalf("finding %d of a group with %d open stops: open %v", i, g.standing, f.Holds())
				}
			}
		}
		count := Tally(findings)
		if grouped != len(findings) || standing != count.Standing ||
			count.stops+count.warnings+count.notes != len(findings) {
			t.Fatalf("%d findings: %d in groups, %d open, counted %+v", len(findings), grouped, standing, count)
		}
	})
}
