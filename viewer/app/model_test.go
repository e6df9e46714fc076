package app

import (
	"bytes"
	"errors"
	"strings"
	"testing"

	"soletrial/pipeline/checksum"
	"soletrial/pipeline/figure"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
	"soletrial/viewer/internal/example"
)

func opened(t testing.TB) *Model {
	t.Helper()
	bundle, err := example.Bundle()
	if err != nil {
		t.Fatal(err)
	}
	steps := 0
	m, err := Open(bundle, func(done, of int) { steps += done * of })
	if err != nil {
		t.Fatal(err)
	}
	if steps != (1+2+3)*3 {
		t.Errorf("the steps of three sessions add up to %d", steps)
	}
	return m
}

// do takes actions given in pairs with their values, then recomputes.
func do(m *Model, pairs ...string) {
	for i := 0; i < len(pairs); i += 2 {
		m.Do(pairs[i], pairs[i+1])
	}
	m.Recompute()
}

// first returns the words of the first row, published and yours.
func first(m *Model) (published, yours string) {
	row := m.Rows()[0]
	return EstimateText(row.Published), EstimateText(row.Yours)
}

func TestOpenFindsThePublishedTables(t *testing.T) {
	m := opened(t)
	if len(m.Check) != 11 || len(m.Check.Differing()) != 0 {
		t.Errorf("check gives %+v", m.Check)
	}
	if m.Yours() != m.Published() || m.Choice().Changed() || m.Summary() != "" {
		t.Error("the first reading is not the published one")
	}
	if s := m.Session(); s == nil || s.ID != example.ByHand {
		t.Errorf("the session shown first is %v, not the latest", s)
	}
}

func TestOpenSaysWhatCannotBeRead(t *testing.T) {
	bundle, err := example.Bundle()
	if err != nil {
		t.Fatal(err)
	}
	bundle.Files["shoes.csv"] = []byte("id,label,mass_g\narden,Arden,\"2\n")
	_, err = Open(bundle, func(int, int) {})
	var unreadable *ReadError
	if !errors.As(err, &unreadable) || !strings.Contains(err.Error(), "shoes.csv:2") ||
		!strings.Contains(err.Error(), "tell whoever published") {
		t.Errorf("a broken register gives %v", err)
	}
	bundle, _ = example.Bundle()
	bundle.Files["sessions/"+example.First+"/foot_sensor.csv"] = []byte("elapsed_s,power_w\n0.000,x\n")
	if _, err = Open(bundle, func(int, int) {}); err == nil || !strings.Contains(err.Error(), "foot_sensor.csv:2:7") {
		t.Errorf("a broken recording gives %v", err)
	}
}

func TestTrimMovesYoursOnly(t *testing.T) {
	m := opened(t)
	before, _ := first(m)
	do(m, On(DoTrim, "head_s"), "150")
	published, yours := first(m)
	if published != before || yours == published {
		t.Errorf("with 150 s cut off: published %q (was %q), yours %q", published, before, yours)
	}
	if m.Summary() != "trim at the start 150 s instead of 60 s" {
		t.Errorf("the summary reads %q", m.Summary())
	}
	do(m, On(DoTrim, "head_s"), "60")
	if m.Choice().Changed() || m.Yours() != m.Published() {
		t.Error("the published value, typed, is not the published reading")
	}
}

func TestTrimRefuses(t *testing.T) {
	m := opened(t)
	for _, text := range []string{"-1", "abc", "1e3", "86401", "?", "1,5"} {
		do(m, On(DoTrim, "tail_s"), text)
		if m.Notice == "" || m.Choice().Changed() {
			t.Errorf("%q as a cut: notice %q, changed %v", text, m.Notice, m.Choice().Changed())
		}
	}
	for _, text := range []string{"0", "86400", "0.5"} { // from nothing to a day
		if do(m, On(DoTrim, "tail_s"), text); m.Notice != "" || !m.Choice().Changed() {
			t.Errorf("%q is refused: %q", text, m.Notice)
		}
	}
	do(m, On(DoTrim, "tail_s"), "20", On(DoTrim, "tail_s"), " ")
	if m.Notice != "" || m.Choice().Changed() {
		t.Error("a blank field is not the published cut")
	}
	do(m, On(DoTrim, "no_such"), "20", On(DoChannel, "no_such"), "true", On(DoBlock, "no/such"), "false", "nonsense",
		"1")
	if m.Choice().Changed() || m.Choice().Fragment() != "" {
		t.Error("an unknown control changed something")
	}
}

func TestBlocksAreExcludedAndIncluded(t *testing.T) {
	m := opened(t)
	do(m, DoSession, example.Second, On(DoBlock, example.Second+"/1"), "false")
	block := m.Yours().Session(example.Second).Blocks[0]
	if block.Included || block.Reason != ReasonExcluded {
		t.Errorf("an excluded block: %v, %q", block.Included, block.Reason)
	}
	if m.publishedSessions[1].Blocks[0].Included != true || m.Dataset.Sessions[1].Blocks[0].Excluded {
		t.Error("putting a block out changed what was published")
	}
	do(m, On(DoBlock, example.Second+"/1"), "true")
	if m.Choice().Changed() {
		t.Error("a block excluded and included again is not the published reading")
	}
	do(m, On(DoBlock, example.Second+"/"+example.LeftOut), "true")
	if block := m.Yours().Session(example.Second).Blocks[5]; !block.Included {
		t.Errorf("a block left out by hand and put in: %v, %q", block.Included, block.Reason)
	}
}

func TestHeldBlockIsIncluded(t *testing.T) {
	m := opened(t)
	if block := m.Published().Session(example.Second).Blocks[4]; block.Included ||
		!strings.Contains(block.Reason, "excluded by") {
		t.Fatalf("the example's bad block: %v, %q", block.Included, block.Reason)
	}
	do(m, On(DoBlock, example.Second+"/"+example.Held), "true")
	result := m.Yours().Session(example.Second)
	if block := result.Blocks[4]; !block.Included || !strings.Contains(block.Reason, ReasonIncluded) {
		t.Errorf("the held block put in: %v, %q", block.Included, block.Reason)
	}
	if block := result.Blocks[5]; block.Included || block.Reason != "stopped for a dog" {
		t.Errorf("the block that a person left out came along: %v, %q", block.Included, block.Reason)
	}
	if m.Dataset.Sessions[1].Facts.Overrides != nil {
		t.Error("putting a block in changed what was published")
	}
}

// A finding about a whole recording holds every block: putting one in must not
// bring the others along.
func TestOneBlockOfAHeldSessionIsIncluded(t *testing.T) {
	bundle, err := example.Bundle()
	if err != nil {
		t.Fatal(err)
	}
	path := "sessions/" + example.Second + "/foot_sensor.csv"
	header := []byte("elapsed_s,power_w,speed_mps\n")
	back := append(bytes.Clone(header), "2.000,260.0,3.600\n1.000,260.0,3.600\n"...) // before the first block
	bundle.Files[path] = bytes.Replace(bundle.Files[path], header, back, 1)
	if bundle, err = example.Publish(bundle.Files); err != nil {
		t.Fatal(err)
	}
	m, err := Open(bundle, func(int, int) {})
	if err != nil {
		t.Fatal(err)
	}
	for _, b := range m.Published().Session(example.Second).Blocks {
		if b.Included {
			t.Fatalf("block %s is not held", b.Block)
		}
	}
	do(m, On(DoBlock, example.Second+"/1"), "true")
	for i, b := range m.Yours().Session(example.Second).Blocks {
		if b.Included != (i == 0) {
			t.Errorf("with block 1 put in, block %s counts: %v, %q", b.Block, b.Included, b.Reason)
		}
	}
}

func TestReferenceRebasesThePublishedToo(t *testing.T) {
	m := opened(t)
	do(m, DoPlain, "true", DoReference, "birk")
	for _, row := range m.Rows() {
		if row.Published == nil || row.Yours == nil || row.Changed() {
			t.Errorf("another reference alone moved %s against %s: %s, %s", row.Shoe, row.Reference,
				EstimateText(row.Published), EstimateText(row.Yours))
		}
	}
	if row := m.Rows()[0]; row.Reference != "birk" {
		t.Errorf("the first row is against %s", row.Reference)
	}
	if len(m.Check.Differing()) != 0 {
		t.Error("another reference changed the proof")
	}
	do(m, DoReference, "arden")
	if m.Choice().Changed() {
		t.Error("the published reference, chosen, is not the published reading")
	}
}

func TestUndoAndReset(t *testing.T) {
	m := opened(t)
	do(m, DoSession, example.First)
	for _, text := range []string{"70", "80", "90"} { // a slider being dragged
		do(m, On(DoTrim, "head_s"), text)
	}
	do(m, DoUndo, "")
	if m.Choice().Changed() || m.Choice().Session != example.First || !m.CanRedo() {
		t.Errorf("undo leads to %q", m.Choice().Fragment())
	}
	do(m, DoUndo, "", DoUndo, "", DoRedo, "", DoRedo, "", DoRedo, "")
	if got := m.Choice().Fragment(); got != "session="+example.First+"&head_s=90" || m.CanRedo() {
		t.Errorf("redo leads to %q", got)
	}
	do(m, DoFollow, "session="+example.First) // as the browser's Back does
	if got := m.Choice().Fragment(); got != "session="+example.First || !m.CanRedo() {
		t.Errorf("back leads to %q", got)
	}
	do(m, On(DoTrim, "head_s"), "90", DoReference, "birk", DoReset, "")
	if m.Choice().Changed() || m.Choice().Session != example.First {
		t.Errorf("reset leads to %q", m.Choice().Fragment())
	}
	do(m, DoUndo, "")
	if got := m.Choice().Fragment(); got != "session="+example.First+"&head_s=90&reference=birk" {
		t.Errorf("undoing the reset leads to %q", got)
	}
}

func TestFollow(t *testing.T) {
	m := opened(t)
	m.Follow("session=" + example.First + "&head_s=60&tail_s=30&reference=arden&out=" + example.First + "/2," +
		example.First + "/99&session=gone&in=" + example.First + "/1")
	if got := m.Choice().Fragment(); got != "tail_s=30&out="+example.First+"/2" {
		t.Errorf("the address is taken as %q", got)
	}
	for _, part := range []string{"session gone", "block " + example.First + "/99"} {
		if !strings.Contains(m.Notice, part) {
			t.Errorf("the notice %q does not name %q", m.Notice, part)
		}
	}
	m.Recompute()
	if m.Yours().Session(example.First).Blocks[1].Included {
		t.Error("the block that the address puts out still counts")
	}
}

func TestOnlyTouchedSessionsRunAgain(t *testing.T) {
	m := opened(t)
	do(m, On(DoBlock, example.First+"/1"), "false")
	if !m.changedSessions[0].done || m.changedSessions[1].done || m.changedSessions[2].done {
		t.Errorf("sessions run again: %v, %v, %v", m.changedSessions[0].done, m.changedSessions[1].done,
			m.changedSessions[2].done)
	}
}

func TestTraces(t *testing.T) {
	m := opened(t)
	do(m, DoSession, example.First)
	if got := m.Channels(); len(got) != 2 || got[0] != trial.PowerW || got[1] != trial.SpeedMps {
		t.Errorf("the channels in view are %v, not power and speed", got)
	}
	trace, ok := m.Trace(trial.SpeedMps)
	if !ok || len(trace.Lines) != example.Blocks || trace.Span != example.BlockS || trace.From != example.HeadS ||
		trace.To != example.BlockS-15 {
		t.Fatalf("the speed trace: %v, %d lines, span %v, window %v to %v", ok, len(trace.Lines), trace.Span,
			trace.From, trace.To)
	}
	if m.Published().Session(example.First).Blocks[1].Included == trace.Lines[1].Excluded {
		t.Error("a block that counts is drawn as left out")
	}
	do(m, On(DoBlock, example.First+"/2"), "false")
	if again, _ := m.Trace(trial.SpeedMps); !again.Lines[1].Excluded || again.Lines[0].Excluded {
		t.Error("an excluded block is not drawn so")
	}
	do(m, DoReset, "")
	line := trace.Lines[1]
	if len(line.Seconds) != example.BlockS/example.EveryS+1 || line.Seconds[0] != 0 ||
		len(line.Values) != len(line.Seconds) || line.Shoe != 1 || line.Gap != 5 { // trial.DefaultLimits: 5 s
		t.Errorf("the second block: %d samples from %v s, shoe %d", len(line.Seconds), line.Seconds[0], line.Shoe)
	}
	if _, ok := m.Trace(trial.HeartRateBpm); ok {
		t.Error("a channel that was not recorded has a trace")
	}
	do(m, On(DoChannel, "power_w"), "false", On(DoChannel, "speed_mps"), "false")
	if m.Notice == "" || len(m.Channels()) != 1 {
		t.Errorf("the last channel can be hidden: %v, %q", m.Channels(), m.Notice)
	}
	do(m, DoSession, example.ByHand)
	if len(m.RecordedChannels()) != 0 {
		t.Errorf("a session without recordings has %v", m.RecordedChannels())
	}
}

func TestCheckTable(t *testing.T) {
	text, other := []byte("a\nb\n"), []byte("a\nc\n")
	hash := checksum.SHA256(text)
	for name, c := range map[string]struct {
		hash         string
		served, made []byte
		state        TableState
		line         int
	}{
		"all the same":               {hash, text, text, Identical, 0},
		"not served":                 {hash, nil, text, Identical, 0},
		"made otherwise":             {hash, text, other, Differs, 2},
		"made otherwise, not served": {hash, nil, other, Differs, 0},
		"served otherwise":           {hash, other, text, Altered, 2},
		"served shorter":             {hash, []byte("a\n"), text, Altered, 2},
		"not made":                   {hash, text, nil, NotDerived, 0},
	} {
		got := checkTable("x.csv", c.hash, c.served, c.made)
		if got.State != c.state || got.Line != c.line {
			t.Errorf("%s: state %d at line %d, want %d at %d", name, got.State, got.Line, c.state, c.line)
		}
	}
	bundle, err := example.Bundle()
	if err != nil {
		t.Fatal(err)
	}
	bundle.Index.Derived = bundle.Index.Derived[1:]
	m, err := Open(bundle, func(int, int) {})
	if err != nil || m.Check[0].State != Unpublished || m.Check[0].Name != "analyses.csv" {
		t.Errorf("a table that the index does not name: %+v, %v", m.Check[0], err)
	}
}

func TestLabelsAndPlaces(t *testing.T) {
	m := opened(t)
	if m.ShoeIndex("birk") != 1 || m.ShoeIndex("unknown") != figure.NoShoe {
		t.Errorf("places %d, %d", m.ShoeIndex("birk"), m.ShoeIndex("unknown"))
	}
	if EstimateText(nil) != "not estimable" || !strings.Contains(figure.Visible(m.ShoeLabel("arden")), "<b>") {
		t.Errorf("%q, %q", EstimateText(nil), m.ShoeLabel("arden"))
	}
	if FormatSeconds(units.Missing) != "" || FormatSeconds(90) != "90" || FormatSeconds(1.5) != "1.5" ||
		FormatSeconds(0) != "0" || FormatSeconds(100) != "100" {
		t.Error("seconds are written with needless decimals")
	}
}

func BenchmarkRecompute(b *testing.B) {
	m := opened(b)
	for i := 0; b.Loop(); i++ {
		do(m, On(DoTrim, "head_s"), []string{"70", "80"}[i%2])
	}
}
