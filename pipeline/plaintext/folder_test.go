package plaintext_test

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// folder is a small invented dataset without problems.
func folder() fstest.MapFS {
	return mapFS(map[string]string{
		"dataset.yaml": "title: A small trial\ninvented: true\ncontributors: [A. Runner, {name: B. " +
			"Timer, role: timekeeper}]\nmethod:\n  reference: grey\n  trim: {head_s: 0}\nlimits:\n  ranges:\n    " +
			"power_w: {warn: [150, 400], stop: [50, 900]}\n",
		"runners.csv":        "id,label,mass_kg\nr1,Runner one,70.0\n",
		"shoes.csv":          "id,label,mass_g\nblue,Blue pair,210.5\ngrey,Grey pair,250.0\n",
		"venues.csv":         "id,label,kind,lap_m\noval,Town oval,track,400.000\n",
		"README.md":          "For readers.\n",
		"CITATION.cff":       "what publish puts beside a dataset is passed over\n",
		"datapackage.json":   "{}\n",
		"dataset.zip":        "PK",
		"derived/blocks.csv": "anything\n",
		".gitattributes":     "* -text\n",
		"sessions/.keep":     "",
		"sessions/s1/session.yaml": "date: 2026-05-02\nstart: 09:30\nvenue: oval\neffort: pace\ntarget: " +
			"4:30\nconditions:\n  air_c: 18.5\nrecordings:\n  - {file: foot_sensor.csv, device: foot_sensor}\n",
		"sessions/s1/blocks.csv": "block,shoe,start_s,end_s,target,rpe\n" +
			"A,grey,0.0,300.0,,5.0\nB,blue,400.0,700.0,4:20,6.0\n",
		"sessions/s1/foot_sensor.csv": "elapsed_s,power_w,speed_mps\n0.000,250.0,3.700\n1.000,,3.710\n",
		"sessions/s1/plan.yaml":       planText,
	})
}

// planText is the plan of the session s1, and of others in tests.
const planText = "shoes: [grey, blue]\norder: [grey, blue]\neffort: pace\ntarget: 4:30\nblock_s: 300\nrest_s: 100\n" +
	"draw: {seed: 1, place: 2, orders: 2, considered: 2, candidates: all}\nrules:\n  trim: {head_s: 0}\n"

func mapFS(texts map[string]string) fstest.MapFS {
	fsys := fstest.MapFS{}
	for path, text := range texts {
		fsys[path] = &fstest.MapFile{Data: []byte(text)}
	}
	return fsys
}

// read fails the test when the dataset has problems.
func read(t *testing.T, fsys fs.FS, docs plaintext.Documents) *plaintext.Folder {
	t.Helper()
	f, problems := plaintext.Read(fsys, docs)
	if len(problems) > 0 {
		t.Fatalf("problems:\n%s", lines(problems))
	}
	return f
}

func TestRead(t *testing.T) {
	d := read(t, folder(), yamltext.Read).Dataset
	missing := units.Missing
	wantShoes := []trial.Shoe{
		{ID: "blue", Label: "Blue pair", MassG: 210.5, SizeEU: missing, HeelMm: missing, ForefootMm: missing,
			WornKm: missing, ExpectedKm: missing, Price: missing, At: trial.Position{File: "shoes.csv", Line: 2,
				Column: 1}},
		{ID: "grey", Label: "Grey pair", MassG: 250, SizeEU: missing, HeelMm: missing, ForefootMm: missing,
			WornKm: missing, ExpectedKm: missing, Price: missing, At: trial.Position{File: "shoes.csv", Line: 3,
				Column: 1}},
	}
	if diff := cmp.Diff(wantShoes, d.Shoes, cmpopts.EquateNaNs()); diff != "" {
		t.Errorf("shoes (-want +got):\n%s", diff)
	}
	wantPeople := []trial.Contributor{{Name: "A. Runner"}, {Name: "B. Timer", Role: "timekeeper"}}
	if diff := cmp.Diff(wantPeople, d.Facts.Contributors); diff != "" {
		t.Errorf("contributors (-want +got):\n%s", diff)
	}
	s := d.Sessions[0]
	if s.Facts.Date != "2026-05-02" || s.Facts.Start != "09:30" || s.Facts.Target != "4:30" {
		t.Errorf("dates and times do not survive as written: %+v", s.Facts)
	}
	if s.Facts.Runner != "r1" {
		t.Errorf("the only runner is not filled in: %q", s.Facts.Runner)
	}
	if s.Blocks[0].Target != 270 || s.Blocks[1].Target != 260 {
		t.Errorf("targets %v and %v, want the session's 270 and the block's own 260", s.Blocks[0].Target,
			s.Blocks[1].Target)
	}
	if s.Facts.Conditions.AirC != 18.5 || units.Known(s.Facts.Conditions.WindMps) {
		t.Errorf("conditions %+v, want 18.5 degrees and the wind missing", s.Facts.Conditions)
	}
}

// What a dataset leaves out takes its default; what it sets stays, 0 too.
func TestDefaults(t *testing.T) {
	facts := read(t, folder(), yamltext.Read).Dataset.Facts
	method := trial.DefaultMethod()
	method.Reference, method.Trim.HeadS = "grey", 0
	if diff := cmp.Diff(method, facts.Method, cmpopts.EquateNaNs()); diff != "" {
		t.Errorf("method (-want +got):\n%s", diff)
	}
	limits := trial.DefaultLimits()
	limits.Ranges["power_w"] = trial.Range{Warn: []float64{150, 400}, Stop: []float64{50, 900}}
	if diff := cmp.Diff(limits, facts.Limits); diff != "" {
		t.Errorf("limits (-want +got):\n%s", diff)
	}
}

func TestSessionsAreInTimeOrder(t *testing.T) {
	fsys := folder()
	for id, when := range map[string]string{"a": "date: 2026-05-03", "b": "date: 2026-05-02\nstart: 08:00",
		"c": "date: 2026-05-02\nstart: 09:30", "s0": "date: 2026-05-02\nstart: 09:30"} {
		fsys["sessions/"+id+"/session.yaml"] = &fstest.MapFile{Data: []byte(when + "\neffort: power\n")}
		fsys["sessions/"+id+"/blocks.csv"] = &fstest.MapFile{Data: []byte("block,shoe,start_s,end_s\n")}
	}
	var ids []string
	for _, s := range read(t, fsys, yamltext.Read).Dataset.Sessions {
		ids = append(ids, s.ID)
	}
	if got := strings.Join(ids, " "); got != "b c s0 s1 a" {
		t.Errorf("the order is %s", got)
	}
}

func TestRecordings(t *testing.T) {
	f := read(t, folder(), yamltext.Read)
	recordings, problems := f.Recordings(&f.Dataset.Sessions[0])
	if len(problems) > 0 || len(recordings) != 1 {
		t.Fatal(len(recordings), problems)
	}
	if got := recordings[0]; got.Fact.Device != "foot_sensor" || got.Samples.Len() != 2 || got.Offset() != 0 {
		t.Errorf("the recording reads as %+v", got)
	}
}

// All problems of all files come in one run, by file, line and column.
func TestAllProblemsAtOnce(t *testing.T) {
	fsys := folder()
	for path, change := range map[string][2]string{
		"dataset.yaml": {"invented: true", "invnted: yes\ncolour: red"},
		"runners.csv":  {"r1,Runner one,70.0", "R1,,70.0"},
		"shoes.csv":    {"210.5", "2,5,x"},
		session:        {"air_c: 18.5", "air_c: warm\n  sky_: 1"},
		blocks:         {"A,grey,0.0", "A,grey,x"},
	} {
		text := strings.Replace(string(fsys[path].Data), change[0], change[1], 1)
		fsys[path] = &fstest.MapFile{Data: []byte(text)}
	}
	blockText := strings.Replace(string(fsys[blocks].Data), "6.0", "60", 1)
	fsys[blocks] = &fstest.MapFile{Data: []byte(strings.Replace(blockText, "4:20", "4.20", 1))}
	want := strings.Join([]string{
		`dataset.yaml:2:1: unknown key "invnted" (did you mean "invented"?)`,
		`dataset.yaml:3:1: unknown key "colour" (the keys here are title, description, invented, licence, ` +
			`keywords, version, doi, contributors, site_url, disclosure, method, limits or imports)`,
		`runners.csv:2:1: id: "R1" is not an id (` + slugs + `)`,
		`runners.csv:2:4: label: is blank (write a name for people to read)`,
		blocks + `:2:8: start_s: "x" is not a number (write digits, with a point for decimals and no unit)`,
		blocks + `:3:20: target: "4.20" is not a pace (write minutes:seconds per kilometre, such as 4:30)`,
		blocks + `:3:25: rpe: 60 is out of range (write 0 to 10)`,
		session + `:7:10: air_c: "warm" is not a number (write digits, with a point for decimals and no unit)`,
		session + `:8:3: unknown key "sky_" (did you mean "sky"?)`,
		`shoes.csv:2:1: the row has 5 cells, the header has 3 (add or remove commas, or quote a text ` +
			`that contains one)`,
	}, "\n")
	if got := reported(fsys); got != want {
		t.Errorf("told\n%s\nwant\n%s", got, want)
	}
}

// strays are entries that do not belong in a dataset, or belong and are absent.
var strays = []struct {
	path string
	file *fstest.MapFile // nil takes the file away
	want string
}{
	{"dataset.yml", &fstest.MapFile{}, `dataset.yml: does not belong in a dataset (did you mean "dataset.yaml"?)`},
	{"session/x.csv", &fstest.MapFile{}, `session: does not belong in a dataset (did you mean "sessions"?)`},
	{"link.csv", &fstest.MapFile{Mode: fs.ModeSymlink},
		`link.csv: is a link or a device, not a file ` +
			`(put the file itself there, so that the dataset is complete)`},
	{"sessions/2 May/blocks.csv", &fstest.MapFile{},
		`sessions/2 May: "2 May" is not a session id (rename the folder: ` + slugs + `)`},
	{
		"sessions/s1/watch.csv", &fstest.MapFile{Data: []byte("elapsed_s,power_w\n0,1\n")},
		`sessions/s1/watch.csv: is not mentioned in session.yaml ` +
			`(list it under recordings, or move it out of the dataset)`,
	},
	{"sessions/s1/pipe.csv", &fstest.MapFile{Mode: fs.ModeNamedPipe},
		`sessions/s1/pipe.csv: is a link or a device, not a file ` +
			`(put the file itself there, so that the dataset is complete)`},
	{"dataset.yaml", nil, `dataset.yaml: is missing (create the file, or start a dataset with init)`},
	{"runners.csv", nil, `runners.csv: is missing (create the file, or start a dataset with init)`},
	{"shoes.csv", nil, `shoes.csv: is missing (create the file, or start a dataset with init)`},
	{"sessions/s1/session.yaml", nil,
		`sessions/s1/session.yaml: is missing (create the file, or start a dataset with init)`},
	{"sessions/s1/blocks.csv", nil,
		`sessions/s1/blocks.csv: is missing (create the file, or start a dataset with init)`},
	{"sessions/s1/foot_sensor.csv", nil,
		`sessions/s1/session.yaml:9:12: file: "foot_sensor.csv" is not in the session's folder ` +
			`(import it again, or remove it from the list)`},
}

func TestStrayAndMissingFiles(t *testing.T) {
	for _, c := range strays {
		fsys := folder()
		if fsys[c.path] = c.file; c.file == nil {
			delete(fsys, c.path)
		}
		if got := reported(fsys); got != c.want {
			t.Errorf("%s: told\n%s\nwant\n%s", c.path, got, c.want)
		}
	}
}

// What git left of a merge is named, in every kind of text, and nothing else said about it.
func TestMergeConflicts(t *testing.T) {
	const said = ":1: git left a merge conflict here (keep the lines that are right, and remove those that begin " +
		"with <<<<<<<, ======= and >>>>>>>)"
	for path, line := range map[string]string{"dataset.yaml": "2", "shoes.csv": "2", session: "2", blocks: "2",
		samples: "2", plan: "2"} {
		fsys := folder()
		head, rest, _ := strings.Cut(string(fsys[path].Data), "\n")
		conflict := head + "\n<<<<<<< HEAD\n" + rest + "=======\n" + rest + ">>>>>>> other\n"
		fsys[path] = &fstest.MapFile{Data: []byte(conflict)}
		f, problems := plaintext.Read(fsys, yamltext.Read)
		if s := f.Dataset.Session("s1"); s != nil && len(problems) == 0 {
			_, problems = f.Recordings(s)
		}
		if got := lines(problems); !strings.Contains(got, path+":"+line+said) ||
			strings.Count(got, path) != 1 {
			t.Errorf("%s: %s", path, got)
		}
	}
	// Two conflicts, and the end of one whose start is gone.
	fsys := folder()
	fsys["README.md"] = &fstest.MapFile{Data: []byte("<<<<<<< HEAD\n")} // is not read
	fsys["venues.csv"] = &fstest.MapFile{Data: []byte("id,label\n>>>>>>> a\nx,x\n<<<<<<< a\n>>>>>>> b\n<<<<<<< c\n")}
	_, problems := plaintext.Read(fsys, yamltext.Read)
	for _, line := range []string{"2", "4", "6"} {
		if got := lines(problems); !strings.Contains(got, "venues.csv:"+line+said) {
			t.Errorf("no line %s in %s", line, got)
		}
	}
	// Signs elsewhere in a line are none.
	fsys = folder()
	fsys["shoes.csv"].Data = []byte("id,label\nblue,<<<<<<< me\ngrey,a >>>>>>> b\n")
	if _, problems := plaintext.Read(fsys, yamltext.Read); len(problems) > 0 {
		t.Errorf("%v", problems)
	}
}

// A folder under the name of a file is no stray: the session would be read without its
// plan, and nobody would know.
func TestFoldersInThePlaceOfFiles(t *testing.T) {
	for _, path := range []string{"shoes.csv", plan, blocks, session, s1 + "fieldlog.yaml"} {
		fsys := folder()
		delete(fsys, path)
		fsys[path+"/x"] = &fstest.MapFile{Data: []byte("x")}
		_, problems := plaintext.Read(fsys, yamltext.Read)
		if want := path + ": is a folder, not a file (move the folder away and put the file there)"; !strings.Contains(
			lines(problems), want) {
			t.Errorf("%s: problems %v, want %s", path, problems, want)
		}
	}
}

// What is no part of a dataset is ignored, and named.
func TestStraysAreIgnored(t *testing.T) {
	for _, path := range []string{"photo", "public.txt", "sessions/x.csv", "sessions/s1/notes", "sessions/s1/raw/a.fit",
		"sessions/s1/export.csv"} {
		fsys := folder()
		before, _ := plaintext.Read(fsys, yamltext.Read)
		want, _ := before.Inputs()
		fsys[path] = &fstest.MapFile{Data: []byte("Power;Time")}
		f, problems := plaintext.Read(fsys, yamltext.Read)
		strays := f.Strays()
		if len(problems) > 0 || len(strays) != 1 || !strings.HasPrefix(path, strays[0].At.File) ||
			strays[0].Message != "is no part of the dataset and is ignored" {
			t.Errorf("%s: problems %v, strays %v", path, problems, strays)
		}
		got, err := f.Inputs()
		if err != nil || len(got) != len(want) {
			t.Errorf("%s: %d inputs, %v; want %d", path, len(got), err, len(want))
		}
	}
	// A site that publish wrote, and the hooks that init writes, are not even named.
	fsys := folder()
	fsys["public/data/index.json"], fsys["hooks/pre-commit"] = &fstest.MapFile{}, &fstest.MapFile{}
	if f, problems := plaintext.Read(fsys, yamltext.Read); len(problems) > 0 || len(f.Strays()) > 0 {
		t.Errorf("a site: %v, %v", problems, f.Strays())
	}
}

// A log that was noted at the venue is read with its session, and by itself makes none.
func TestFieldLogsOfSessions(t *testing.T) {
	const log = "form: 1\nsession: s1\nbegan: 2026-05-02T09:00:00Z\n" +
		"plan: {source: dataset, order: [grey, blue], effort: pace}\nshoes: [{shoe: grey}, {shoe: %s}]\n"
	fsys := folder()
	fsys["sessions/s1/fieldlog.yaml"] = &fstest.MapFile{Data: fmt.Appendf(nil, log, "blue")}
	fsys["sessions/s2/fieldlog.yaml"] = &fstest.MapFile{Data: fmt.Appendf(nil, log, "blue")}
	fsys["sessions/s2/plan.yaml"] = &fstest.MapFile{Data: []byte(planText)}
	d := read(t, fsys, yamltext.Read).Dataset
	if d.Session("s2") != nil || d.Session("s1").FieldLog == nil || d.Session("s1").FieldLog.Plan.Order[1] != "blue" {
		t.Errorf("the log of s1 reads as %+v; s2 is a session: %v", d.Session("s1").FieldLog, d.Session("s2") != nil)
	}
	delete(fsys, "sessions/s2/fieldlog.yaml")
	delete(fsys, "sessions/s2/plan.yaml")
	if diff := cmp.Diff(d, read(t, asJSON(t, fsys), plaintext.ReadJSON).Dataset, cmpopts.EquateNaNs()); diff != "" {
		t.Errorf("from the twins (-want +got):\n%s", diff)
	}
	fsys["sessions/s1/fieldlog.yaml"] = &fstest.MapFile{Data: fmt.Appendf(nil, log, "blu")}
	want := `sessions/s1/fieldlog.yaml:4:39: order: "blue" is not in shoes (did you mean "blu"?)` + "\n" +
		`sessions/s1/fieldlog.yaml:5:30: shoe: "blu" is not in shoes.csv (did you mean "blue"?)`
	if got := reported(fsys); got != want {
		t.Errorf("told\n%s\nwant\n%s", got, want)
	}
}

// A session that is only planned has no blocks yet, and perhaps no facts.
func TestPlannedSessions(t *testing.T) {
	fsys := folder()
	fsys["sessions/s2/plan.yaml"] = &fstest.MapFile{Data: []byte(planText)}
	fsys["sessions/s3/plan.yaml"] = &fstest.MapFile{Data: []byte(planText)}
	fsys["sessions/s3/session.yaml"] = &fstest.MapFile{Data: []byte("date: 2026-06-01\neffort: power\n")}
	d := read(t, fsys, yamltext.Read).Dataset
	if d.Session("s2") != nil {
		t.Error("a folder with a plan alone is a session")
	}
	if s := d.Session("s3"); s == nil || len(s.Blocks) != 0 || s.Plan.Order[1] != "blue" || s.Plan.Draw.Place != 2 {
		t.Errorf("a planned session reads as %+v", s)
	}
	delete(fsys, "sessions/s2/plan.yaml")
	jsonName := asJSON(t, fsys)
	if diff := cmp.Diff(d, read(t, jsonName, plaintext.ReadJSON).Dataset, cmpopts.EquateNaNs()); diff != "" {
		t.Errorf("from the twins (-want +got):\n%s", diff)
	}
}

func TestInputs(t *testing.T) {
	fsys := folder()
	fsys["sessions/s1/session.json"] = &fstest.MapFile{Data: []byte("{}")}
	inputs, err := read(t, fsys, yamltext.Read).Inputs()
	if err != nil {
		t.Fatal(err)
	}
	var paths []string
	for _, input := range inputs {
		paths = append(paths, input.Path)
		if sum := sha256.Sum256(fsys[input.Path].Data); hex.EncodeToString(sum[:]) != input.SHA256 {
			t.Errorf("%s has another sum than %s", input.Path, input.SHA256)
		}
	}
	want := []string{"dataset.yaml", "runners.csv", "sessions/s1/blocks.csv", "sessions/s1/foot_sensor.csv",
		"sessions/s1/plan.yaml", "sessions/s1/session.yaml", "shoes.csv", "venues.csv"}
	if !slices.Equal(paths, want) {
		t.Errorf("the inputs are %q, want %q", paths, want)
	}
}
