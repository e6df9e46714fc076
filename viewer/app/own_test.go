package app

import (
	"fmt"
	"strings"
	"testing"

	"soletrial/pipeline/derive"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
	"soletrial/pipeline/trial"
	"soletrial/viewer/internal/example"
	"soletrial/viewer/load"
)

// brought cuts the example's first recording as the dataset does.
func brought(t *testing.T) (*Model, []byte) {
	t.Helper()
	m := opened(t)
	text := m.Bundle.Files["sessions/"+example.First+"/foot_sensor.csv"]
	if !m.OpenOwn("mine.csv", text, Proposal{}, "") {
		t.Fatal(m.OwnNotice())
	}
	for len(m.Own().Rows) < example.Blocks {
		do(m, DoOwnAddBlock, "")
	}
	for len(m.Own().Rows) > example.Blocks {
		do(m, DoOwnRemoveBlock, "")
	}
	do(m, DoOwnTarget, "260")
	for i, b := range m.Dataset.Session(example.First).Blocks {
		do(m, On(DoOwnCell, fmt.Sprintf("%d/%d", i, OwnShoe)), b.Shoe, On(DoOwnCell, fmt.Sprintf("%d/%d", i, OwnStart)),
			fmt.Sprint(b.Start),
			On(DoOwnCell, fmt.Sprintf("%d/%d", i, OwnEnd)), fmt.Sprint(b.End))
	}
	return m, text
}

// TestOwnAgreesWithTheDataset: the same recording cut the same way gives what the
// published session gives within itself.
func TestOwnAgreesWithTheDataset(t *testing.T) {
	m, _ := brought(t)
	o := m.Own()
	if o.Problem != "" || o.Result == nil {
		t.Fatalf("no result: %s", o.Problem)
	}
	compared := 0
	for _, within := range m.Published().Compare.Sessions {
		if within.Session != example.First {
			continue
		}
		c := o.Result.Compare.Find(within.Outcome, within.Level, within.Shoe, within.Reference)
		if c == nil {
			continue // only what decides is compared
		}
		compared++
		if EstimateText(c) != EstimateText(&within.Comparison) {
			t.Errorf("%s against %s: %s, published within the session %s", c.Shoe, c.Reference, EstimateText(c),
				EstimateText(&within.Comparison))
		}
	}
	if compared != 3 {
		t.Errorf("%d pairs compared", compared)
	}
	if m.Choice().Changed() || m.Yours() != m.Published() {
		t.Error("an own recording changes the published reading")
	}
	before := EstimateText(&o.Result.Compare.Comparisons[0])
	do(m, On(DoTrim, "head_s"), "120")
	if after := EstimateText(&o.Result.Compare.Comparisons[0]); after == before {
		t.Errorf("another trim leaves %s", after)
	}
}

// Once the hand rests the answer has the chances that a derive of the same session has, to the
// last bit.
func TestOwnIsExactAtRest(t *testing.T) {
	m, _ := brought(t)
	o := m.Own()
	if !m.Refine() || m.Refine() {
		t.Fatal("it is not made exact, once")
	}
	ds := o.Result.Dataset
	session := o.prepared.Session(ds, &ds.Sessions[0])
	_, want := derive.FromSessions(ds, []derive.SessionResult{session}, nil, 1).Answers.Top()
	_, got := o.Result.Answers.Top()
	for i := range want.Places {
		if g, w := got.Places[i], want.Places[i]; g.Shoe != w.Shoe || g.Best != w.Best || g.Against != w.Against {
			t.Errorf("place %d is %s with %v, a derive gives %s with %v", i+1, g.Shoe, g.Best, w.Shoe, w.Best)
		}
	}
}

// invented is a recording of easy running, four blocks of five minutes at 250 W
// and rests of two minutes, one sample in five seconds.
func invented() []byte {
	text := []byte("elapsed_s,power_w,speed_mps\n")
	for s := 0; s < 300+4*420; s += 5 {
		power := 250
		if s < 300 {
			power = 150
		} else if (s-300)%420 >= 300 {
			power = 90
		}
		text = fmt.Appendf(text, "%d,%d,%d.%d\n", s, power+s%7-3, power/70, s%10)
	}
	return text
}

func TestOwnEffortIsHeldAtWhatTheBlocksSay(t *testing.T) {
	m := opened(t)
	found := Proposal{Blocks: "300,600,\n720,1020,", Effort: "power", Targets: "power=250\npace=4:10"}
	if !m.OpenOwn("mine.csv", invented(), found, "left the battery out") {
		t.Fatal(m.OwnNotice())
	}
	o := m.Own()
	if o.Effort != "power" || o.Target != "250" { // as the recording was made
		t.Errorf("held %s at %q", o.Effort, o.Target)
	}
	again := opened(t)
	again.RestoreOwn(m.OwnBlocksText(), m.OwnCSV())
	for _, m := range []*Model{m, again} { // also after a reload
		if do(m, DoOwnEffort, "pace"); m.Own().Target != "4:10" {
			t.Errorf("as a pace %q was held", m.Own().Target)
		}
	}
	if !strings.Contains(o.Problem, "write the shoe of at least two blocks") || o.Notes[0] != "left the battery out" {
		t.Errorf("problem %q, notes %q", o.Problem, o.Notes)
	}
}

func TestOwnBlocksFromLaps(t *testing.T) {
	m := opened(t)
	if !m.OpenOwn("mine.fit", invented(),
		Proposal{Blocks: "300.4,600.0,lap 2\n720,1020,lap 4; proposed: lap of 300 s, and more"}, "") {
		t.Fatal(m.OwnNotice())
	}
	want := `[{["" "5:00" "10:00"] "lap 2"} {["" "12:00" "17:00"] "lap 4; proposed: lap of 300 s, and more"}]`
	if rows := fmt.Sprintf("%q", m.Own().Rows); rows != want {
		t.Errorf("rows %s", rows)
	}
	do(m, On(DoOwnEdge, "0/1"), "312.4", On(DoOwnEdge, "1/2"), "99999", On(DoOwnEdge, "7/1"), "3", On(DoOwnEdge, "0/0"),
		"x")
	if rows := m.Own().Rows; rows[0].Cells[OwnStart] != "5:12" || rows[1].Cells[OwnEnd] != "32:55" {
		t.Errorf("dragged to %q", rows)
	}
}

func TestOwnRecordingZoomsAndShowsValues(t *testing.T) {
	m, _ := brought(t)
	o := m.Own()
	if from, to := o.View(); from != 0 || to != o.Span() {
		t.Errorf("at first %v to %v of %v are in view", from, to, o.Span())
	}
	whole := o.Panel(m)
	do(m, DoOwnView, "100,200", DoOwnCursor, "150")
	from, to := o.View()
	if at, words := o.ValueAtCursor(m); from != 100 || to != 200 || at != 150 ||
		!strings.Contains(words, "2:30, power ") || !strings.HasSuffix(words, " W") {
		t.Errorf("%v to %v, at %v: %q", from, to, at, words)
	}
	if zoomRange := o.Panel(m); zoomRange == whole || zoomRange != o.Panel(m) {
		t.Error("a panel is drawn anew exactly when the view changes")
	}
	do(m, DoOwnZoom, "in", DoOwnCursor, "")
	if from, to = o.View(); from != 125 || to != 175 {
		t.Errorf("closer: %v to %v", from, to)
	}
	if at, words := o.ValueAtCursor(m); at != 0 || words != "" {
		t.Errorf("read at %v: %q", at, words)
	}
	if do(m, DoOwnZoom, "all"); m.Choice().Changed() {
		t.Error("looking at an own recording changes the choice")
	}
}

func TestOwnRecordingWithProblems(t *testing.T) {
	m, text := brought(t)
	if m.OpenOwn("bad.csv", []byte("elapsed_s,power_w\n0,x\n1,y\n"), Proposal{}, "") ||
		!strings.Contains(m.OwnNotice(), "bad.csv:2") || !strings.Contains(m.OwnNotice(), "1 more problem") {
		t.Errorf("a broken recording: %q", m.OwnNotice())
	}
	if m.Own().Name != "mine.csv" {
		t.Error("a broken recording replaces a sound one")
	}
	for _, step := range [][3]string{{DoOwnTarget, "260 W", "what was held"}, {DoOwnTarget, "260", ""},
		{On(DoOwnCell, "1/1"), "9:99", "block 2 needs"}, {On(DoOwnCell, "1/1"), "7:30", ""},
		{On(DoOwnCell, "0/2"), " ", "block 1 needs"}, {On(DoOwnCell, "9/9"), "x", "block 1 needs"},
		{On(DoOwnCell, "0/0"), " ", ""}} {
		if do(m, step[0], step[1]); !strings.Contains(m.Own().Problem, step[2]) || step[2] == "" &&
			m.Own().Problem != "" {
			t.Errorf("%s %q: %q", step[0], step[1], m.Own().Problem)
		}
	}
	m.OpenOwn("again.csv", text, Proposal{Blocks: "60,360,\n450,750,", Targets: "power=260"}, "")
	if m.Recompute(); !strings.Contains(m.Own().Problem, "write the shoe of at least two blocks") {
		t.Errorf("a new recording: %q", m.Own().Problem)
	}
	if do(m, DoOwnDelete, ""); m.Own() != nil || m.OwnBlocksText() != nil || m.OwnCSV() != nil {
		t.Error("a deleted recording is still there")
	}
	do(m, DoOwnAddBlock, "") // without a recording nothing happens
}

func TestOwnRecordingIsRestored(t *testing.T) {
	m, text := brought(t)
	do(m, On(DoOwnCell, "0/0"), "a, b\nc")
	m.Own().Notes = []string{"one, of\nmany", "#"}
	m.Own().Rows[1].Note = "lap 2; 3, 4"
	cut := m.OwnBlocksText()
	again := opened(t)
	again.RestoreOwn(cut, text)
	again.Recompute()
	if o := again.Own(); o == nil || string(again.OwnBlocksText()) != string(cut) ||
		o.Rows[0].Cells[OwnShoe] != "a, b\nc" || o.Result == nil || again.OwnNotice() != "" {
		t.Errorf("kept %q, brought back %q", cut, again.OwnBlocksText())
	}
	other := opened(t)
	other.RestoreOwn([]byte("x"), text)
	if other.RestoreOwn(cut, []byte("no recording")); other.Own() != nil ||
		!strings.Contains(other.OwnNotice(), "damaged") {
		t.Errorf("what is damaged is brought back, or not said: %q", other.OwnNotice())
	}
}

// TestOwnRecordingOfTheFirstVersion: what the explorer kept before it wrote a hash.
func TestOwnRecordingOfTheFirstVersion(t *testing.T) {
	m, text := brought(t)
	m.RestoreOwn([]byte("old.csv\npower\n255\nAsh,60,360\nBirk,450,750"), text)
	m.Recompute()
	if o := m.Own(); o.Name != "old.csv" || o.Target != "255" || len(o.Rows) != 2 ||
		o.Rows[1].Cells != [OwnCells]string{"Birk", "450", "750"} || o.Result == nil {
		t.Errorf("%+v", o)
	}
}

func TestInOurFormat(t *testing.T) {
	for text, want := range map[string]bool{"elapsed_s,power_w\n": true, "\ufeffpower_w,elapsed_s\r\n1,2": true,
		"elapsed_s,power\n": false, "power_w\n": false, "": false, "elapsed_s;power_w": false,
		"<?xml version=\"1.0\"?>": false, "\x0e\x10\x00\x00\x00\x00\x00\x00.FIT": false} {
		if InOurFormat([]byte(text)) != want {
			t.Errorf("%q is readable: %v", text, !want)
		}
	}
}

// The folder of a session is what the program reads: checked by its own reader of datasets.
func TestOwnFolderIsASession(t *testing.T) {
	m, text := brought(t)
	if _, _, err := m.OwnFolder(); err == nil || !strings.Contains(err.Error(), "the day of the run") {
		t.Errorf("without a day: %v", err)
	}
	do(m, DoOwnDay, "2026-05-02", On(DoOwnCell, "0/0"), "Ärmel & Söhne", On(DoOwnCell, "1/0"), "a  B",
		On(DoOwnCell, "2/0"), "A--b", On(DoOwnCell, "3/0"), "!")
	name, files, err := m.OwnFolder()
	if err != nil || name != "2026-05-02-power" {
		t.Fatalf("%q, %v", name, err)
	}
	folder := load.Folder{"dataset.yaml": []byte("title: mine\n"), "runners.csv": []byte("id,label\n")}
	for _, f := range files {
		if path := "sessions/" + name + "/" + f.Name; f.Name != "shoes.csv" {
			folder[path] = f.Content
		} else {
			folder[f.Name] = f.Content
		}
	}
	read, problems := plaintext.Read(folder, yamltext.Read)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	s := read.Dataset.Session(name)
	if s.Facts.Date != "2026-05-02" || s.Effort() != trial.Power || s.Facts.Target != "260" ||
		len(s.Blocks) != example.Blocks || string(files[2].Content) != string(text) {
		t.Errorf("it reads %+v with %d blocks", s.Facts, len(s.Blocks))
	}
	var shoes []string
	for _, b := range s.Blocks {
		shoe := read.Dataset.Shoe(b.Shoe)
		shoes = append(shoes, shoe.ID+"="+shoe.Label)
	}
	want := "rmel---s-hne=Ärmel & Söhne a--b=a  B shoe-3=A--b shoe-4=!"
	if got := strings.Join(shoes[:4], " "); got != want {
		t.Errorf("the shoes are %s", got)
	}
	do(m, On(DoOwnCell, "0/1"), "x")
	if _, _, err := m.OwnFolder(); err == nil || !strings.Contains(err.Error(), "block 1 needs") {
		t.Errorf("with a broken block: %v", err)
	}
}

// A table of laps has means and no samples: it is compared, kept, and saved as a session whose
// blocks have them, and there is no trace.
func TestOwnTableOfLaps(t *testing.T) {
	table := []byte("elapsed_s,power_w,speed_mps\n0,62,1.25\n120,268,4\n450,0,1\n570,269,4.098361\n900,,\n")
	m := opened(t)
	found := Proposal{Laps: true, Day: "2026-05-02", Effort: "power", Targets: "power=268",
		Blocks: "120,450,lap 2\n570,900,lap 4"}
	if !m.OpenOwn("laps.csv", table, found, "") || !strings.Contains(m.OwnNotice(), "4 laps, 2 blocks proposed") {
		t.Fatal(m.OwnNotice())
	}
	do(m, On(DoOwnCell, "0/0"), "Red", On(DoOwnCell, "1/0"), "Blue")
	o := m.Own()
	if o.HasSamples() || o.Target != "268" || o.Panel(m) != nil || o.Problem != "" ||
		o.Result == nil {
		t.Fatalf("held at %q: %s", o.Target, o.Problem)
	}
	means := o.Result.Sessions[0].Blocks
	if means[0].MeanEffort != 268 || means[0].Outcomes[trial.Speed] != 4 || means[1].Outcomes[trial.Speed] != 4.0984 {
		t.Errorf("block means %v W, %v and %v m/s", means[0].MeanEffort, means[0].Outcomes[trial.Speed],
			means[1].Outcomes[trial.Speed])
	}
	name, files, err := m.OwnFolder()
	if err != nil || name != "2026-05-02-power" || len(files) != 3 {
		t.Fatalf("%s with %d files: %v", name, len(files), err)
	}
	want := "block,shoe,start_s,end_s,power_w,speed_mps\n1,red,120.0,450.0,268.0,4.0000\n" +
		"2,blue,570.0,900.0,269.0,4.0984\n"
	if got := string(files[0].Content); got != want || strings.Contains(string(files[2].Content), "recordings") {
		t.Errorf("blocks.csv is %s, session.yaml %s", got, files[2].Content)
	}
	again := opened(t)
	again.RestoreOwn(m.OwnBlocksText(), m.OwnCSV())
	if again.Own() == nil || again.Own().HasSamples() || again.Own().Day != "2026-05-02" {
		t.Errorf("kept as something else: %q", again.OwnNotice())
	}
	left := opened(t) // while it was being deleted, the recording first
	if left.RestoreOwn(m.OwnBlocksText(), nil); left.Own() != nil || left.OwnNotice() != "" {
		t.Errorf("of a deleted recording is said %q", left.OwnNotice())
	}
}

func TestColumnsAreChosen(t *testing.T) {
	m := opened(t)
	do(m, On(DoOwnColumn, "power_w"), "effort") // nothing is open
	m.SetOwnColumns(&OwnColumns{Name: "a.csv", Headings: []string{"effort", "beats"},
		Chosen: map[string]string{"heart_rate_bpm": "beats"}})
	do(m, On(DoOwnColumn, "power_w"), "effort", On(DoOwnColumn, "heart_rate_bpm"), "")
	if c := m.OwnColumns(); fmt.Sprint(c.Chosen) != "map[power_w:effort]" || !c.Changed {
		t.Errorf("chosen are %v", c.Chosen)
	}
	if keys := ColumnKeys(); keys[0] != "elapsed_s" || len(keys) != int(trial.ChannelCount)+1 {
		t.Errorf("a column may hold %v", keys)
	}
}
