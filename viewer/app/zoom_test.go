package app

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
	"soletrial/viewer/internal/example"
)

func TestEdgesMoveTheTrim(t *testing.T) {
	m := opened(t)
	do(m, DoSession, example.First)
	span := m.Span()
	if span != example.BlockS {
		t.Fatalf("the longest block lasts %v s", span)
	}
	do(m, On(DoEdge, "head_s"), "90.4", On(DoEdge, "tail_s"), "270")
	if trim := m.Trim(); trim.HeadS != 90 || trim.TailS != 30 {
		t.Errorf("edges at 90.4 and 270 s cut off %v and %v s", trim.HeadS, trim.TailS)
	}
	if from, to := m.Window(trial.PowerW); from != 90 || to != 270 {
		t.Errorf("the window is %v to %v s", from, to)
	}
	do(m, On(DoEdge, "head_s"), "95", On(DoEdge, "head_s"), "100", DoUndo, "")
	if m.Trim().HeadS != 90 {
		t.Errorf("undoing a drag leads to %v s", m.Trim().HeadS)
	}
	do(m, On(DoEdge, "tail_s"), "1000", On(DoEdge, "head_s"), "-4")
	if trim := m.Trim(); trim.HeadS != 0 || trim.TailS != 0 {
		t.Errorf("edges beyond the block cut off %v and %v s", trim.HeadS, trim.TailS)
	}
}

func TestZoomAndPan(t *testing.T) {
	m := opened(t)
	for i, step := range []struct{ kind, value, view string }{
		{DoZoom, "in", "75 225"}, {DoZoom, "right", "112.5 262.5"}, {DoZoom, "right", "150 300"},
		{DoZoom, "right", "150 300"},
		{DoCursor, "200", "150 300"}, {DoZoom, "in", "162.5 237.5"}, {DoZoom, "left", "143.8 218.8"},
		{DoView, "290,400", "190 300"},
		{DoView, "10,11", "8 13"}, {DoView, "-3,5", "8 13"}, {DoZoom, "out", "5.5 15.5"}, {DoZoom, "all", "0 300"},
		{DoZoom, "out", "0 300"},
	} {
		if i == 0 {
			do(m, DoSession, example.First)
		}
		do(m, step.kind, step.value)
		if from, to := m.View(); fmt.Sprint(from, to) != step.view {
			t.Errorf("step %d, %s %s: %v to %v in view, want %s", i, step.kind, step.value, from, to, step.view)
		}
	}
	if m.Choice().Changed() || !m.CanUndo() {
		t.Error("looking around changes the analysis, or takes away the way back")
	}
	// A link may come from a longer session: what is left of its view is shown, if anything is.
	for fragment, view := range map[string]string{"view=100,900": "100 300", "view=300,900": "0 300",
		"view=299,900": "299 300"} {
		m.Follow("session=" + example.First + "&" + fragment)
		if from, to := m.View(); fmt.Sprint(from, to) != view {
			t.Errorf("#%s: %v to %v in view, want %s", fragment, from, to, view)
		}
	}
}

func TestCursorValuesOfAllChannels(t *testing.T) {
	m := opened(t)
	do(m, DoSession, example.First, On(DoOverlay, example.Second), "true", DoCursor, "57")
	readings := m.CursorValues()
	if len(readings) != 2*example.Blocks || len(readings[0].Values) != len(m.Channels()) {
		t.Fatalf("%d readings of %d values", len(readings), len(readings[0].Values))
	}
	power := m.recordings[example.First][0].Samples.Values[trial.PowerW]
	if got, want := readings[0].Values[0], power[55/example.EveryS]; got != want {
		t.Errorf("at 57 s the first block reads %v W, the sample at 55 s is %v W", got, want)
	}
	if held := readings[example.Blocks+4]; held.Block != example.Held || units.Known(held.Values[0]) {
		t.Errorf("27 s after its last sample block %s reads %v", held.Block, held.Values)
	}
	do(m, DoCursor, "")
	if m.CursorValues() != nil {
		t.Error("without a cursor something is read")
	}
}

func TestPanelStaysTheSameWhileTheWindowMoves(t *testing.T) {
	m := opened(t)
	do(m, DoSession, example.First)
	before := m.Panel(trial.SpeedMps)
	do(m, On(DoEdge, "head_s"), "100")
	if m.Panel(trial.SpeedMps) != before {
		t.Error("moving the window paints the traces anew")
	}
	for _, step := range [][2]string{{DoZoom, "in"}, {On(DoBlock, example.First+"/2"), "false"},
		{On(DoOverlay, example.Second), "true"}, {DoSession, example.Second}} {
		do(m, step[0], step[1])
		after := m.Panel(trial.SpeedMps)
		if after == before {
			t.Errorf("%s %s paints nothing anew", step[0], step[1])
		}
		before = after
	}
	if m.Panel(trial.HeartRateBpm) != nil {
		t.Error("a channel that was not recorded has a panel")
	}
}

func TestAtMostFourSessionsOverEachOther(t *testing.T) {
	m := opened(t)
	do(m, DoSession, example.First, On(DoOverlay, example.First), "true", On(DoOverlay, example.Second), "true",
		On(DoOverlay, "none"), "true", On(DoOverlay, example.ByHand), "true")
	if sessions := m.OverlaidSessions(); len(sessions) != 3 {
		t.Errorf("%d sessions are drawn over each other", len(sessions))
	}
	m.choice.Overlaid = []string{"a", "b", "c"}
	do(m, On(DoOverlay, example.Second), "true")
	if len(m.choice.Overlaid) != MaxOverlaid || m.Notice == "" {
		t.Errorf("a fifth session is taken: %v, %q", m.choice.Overlaid, m.Notice)
	}
}

func TestModelOfTheReader(t *testing.T) {
	m := opened(t)
	published, _ := first(m)
	do(m, DoDrift, "false")
	if _, yours := first(m); m.Drift() != trial.DriftNone || !m.Choice().Changed() ||
		!strings.Contains(m.Summary(), "not corrected for drift") || yours == published {
		t.Errorf("without a drift: %q, %q beside %q", m.Summary(), yours, published)
	}
	do(m, DoDrift, "true", DoExponent, "0.5")
	if _, yours := first(m); m.Choice().Drift != "" || m.Exponent() != 0.5 || yours == published {
		t.Errorf("exponent %v, %q beside %q", m.Exponent(), yours, published)
	}
	for _, wrong := range []string{"x", "-1", "4"} {
		if do(m, DoExponent, wrong); m.Notice == "" || m.Exponent() != 0.5 {
			t.Errorf("the exponent %q is taken", wrong)
		}
	}
	do(m, DoExponent, "1")
	if m.Choice().Changed() {
		t.Errorf("the published exponent counts as a change: %q", m.Choice().Fragment())
	}
	do(m, DoExponent, "2", DoExponent, "", DoEffort, string(m.Efforts()[1]), DoPlain, "true")
	if m.Choice().Changed() || len(m.Rows()) == 0 {
		t.Error("an effort shown changes the analysis, or has no rows")
	}
	effortOfLevel := func(level string) trial.Effort {
		effort, _, _ := strings.Cut(level, " ")
		return trial.Effort(effort)
	}
	for _, row := range m.Rows() {
		if effortOfLevel(row.Level) != m.Efforts()[1] {
			t.Errorf("a row of level %s", row.Level)
		}
	}
}

func TestReasonIsInTheAddress(t *testing.T) {
	m := opened(t)
	name := example.First + "/2"
	do(m, On(DoReason, name), "too early")
	if m.Choice().Changed() {
		t.Error("a reason for nothing changes something")
	}
	do(m, On(DoBlock, name), "false", On(DoReason, name), "wind, "+strings.Repeat("é", 200))
	reason := m.Yours().Session(example.First).Blocks[1].Reason
	if !strings.HasPrefix(reason, ReasonExcluded+": wind, é") ||
		len(m.Choice().BlockChoice(example.First, "2").Reason) > maxReasonBytes {
		t.Errorf("the block reads %q", reason)
	}
	back, unread := ParseFragment(m.Choice().Fragment())
	if len(unread) > 0 || !back.Equal(m.Choice()) {
		t.Errorf("read back: %q, unread %q", back.Fragment(), unread)
	}
	do(m, DoUndo, "")
	if f := m.Choice().BlockChoice(example.First, "2"); f == nil || f.Reason != "" {
		t.Errorf("undoing a reason leaves %+v", f)
	}
}

// TestTablesUnderTheChoice: what is exported is the whole derivation, and agrees
// with what the quick one shows.
func TestTablesUnderTheChoice(t *testing.T) {
	m := opened(t)
	if string(m.Tables()[2].Text) != string(m.published.Tables[2].Text) {
		t.Error("nothing changed, but another table of comparisons")
	}
	do(m, DoPlain, "true", On(DoTrim, "head_s"), "100")
	row := m.Rows()[0]
	want := fmt.Sprintf(",%s,%s,", row.Shoe, row.Reference)
	for _, line := range strings.Split(string(m.Tables()[2].Text), "\n") {
		if strings.HasPrefix(line, row.Outcome.Info().ID+",") &&
			strings.Contains(line, strings.Replace(row.Level, " ", ",", 1)) && strings.Contains(line, want) {
			if !strings.Contains(line, units.FormatDecimal(row.Yours.Estimate, 4)) || math.IsNaN(row.Yours.Estimate) {
				t.Errorf("the table has %q, shown is %v", line, row.Yours.Estimate)
			}
			return
		}
	}
	t.Errorf("no row %q", want)
}

func TestUnitsShown(t *testing.T) {
	m := opened(t)
	do(m, DoSession, example.First)
	metric, _ := m.Trace(trial.SpeedMps)
	before := EstimateText(m.Rows()[0].Yours)
	do(m, DoUnits, "imperial")
	miles, _ := m.Trace(trial.SpeedMps)
	// 0.44704 m/s are a mile an hour exactly (NIST SP 811, 2008, appendix B.8).
	if got, want := miles.Lines[0].Values[3], metric.Lines[0].Values[3]/0.44704; math.Abs(got-want) > 1e-9 ||
		miles.Axis != "speed, mph" || metric.Axis != "speed, m/s" {
		t.Errorf("%s: %v, want %v", miles.Axis, got, want)
	}
	if pace := m.Pace(250); pace != "6:42 min/mile" { // 250 s/km times 1.609344 are 402.336 s
		t.Errorf("4:10 per km is %s", pace)
	}
	if level := m.AtLevel("pace 4:10"); level != "at 6:42 per mile" || m.AtLevel("power 268") != "at 268 W" {
		t.Errorf("at a pace: %q", level)
	}
	if m.Choice().Changed() || EstimateText(m.Rows()[0].Yours) != before ||
		!strings.Contains(m.Choice().Fragment(), "units=imperial") {
		t.Errorf("other units change the reading: %s", m.Choice().Fragment())
	}
	linked := opened(t)
	linked.Follow(m.Choice().Fragment())
	if linked.Recompute(); !linked.Choice().Imperial || linked.Notice != "" {
		t.Errorf("linked: %+v, %q", linked.Choice(), linked.Notice)
	}
	if do(m, DoUnits, "metric"); m.Choice().Imperial || m.Pace(250) != "4:10 min/km" {
		t.Error("metric again is not metric")
	}
}

// The data of a figure: what is in view, in the recording's own units whatever is
// shown.
func TestTraceTable(t *testing.T) {
	m := opened(t)
	do(m, DoSession, example.First, DoView, "100,120", DoUnits, "imperial", On(DoBlock, example.First+"/2"), "false")
	rows := strings.Split(strings.TrimSuffix(string(m.TraceTable(trial.PowerW)), "\n"), "\n")
	if rows[0] != "session,block,shoe,counts,block_elapsed_s,power_w" ||
		len(rows) != 1+example.Blocks*(20/example.EveryS+1) {
		t.Fatalf("%d rows: %q", len(rows), rows[0])
	}
	// A sample every 5 s: the one at 100 s of the first block, and the first of the second.
	first := m.recordings[example.First][0].Samples
	want := fmt.Sprintf("%s,1,arden,yes,100.000,%.1f", example.First, first.Values[trial.PowerW][100/example.EveryS])
	if rows[1] != want || !strings.HasPrefix(rows[6], example.First+",2,birk,no,100.000,") {
		t.Errorf("%q, want %q; %q", rows[1], want, rows[6])
	}
	if cell := string(appendCell(nil, `a "b", c`)); cell != `"a ""b"", c"` {
		t.Errorf("a cell is written %s", cell)
	}
}
