package plaintext_test

import (
	"maps"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
	"soletrial/pipeline/trial"
)

func TestTidyLeavesCanonicalFilesAlone(t *testing.T) {
	changed, problems := read(t, folder(), yamltext.Read).Tidy()
	if len(changed) > 0 || len(problems) > 0 {
		t.Errorf("tidy changes %q, %v", changed, problems)
	}
}

// untidy lists what tidy mends: each text reads as the file of [folder] with
// the same name and comes out as that file's bytes.
var untidy = []struct{ name, file, text string }{
	{"line ends", "shoes.csv", "id,label,mass_g\r\nblue,Blue pair,210.5\r\ngrey,Grey pair,250.0\r\n"},
	{"byte order mark", "shoes.csv", "\uFEFFid,label,mass_g\nblue,Blue pair,210.5\ngrey,Grey pair,250.0\n"},
	{"no end of the last line", "shoes.csv", "id,label,mass_g\nblue,Blue pair,210.5\ngrey,Grey pair,250.0"},
	{"blanks around cells", "shoes.csv", "id, label ,mass_g\n blue,Blue pair\t,210.5 \ngrey,\u00a0Grey pair,250.0\n"},
	{"empty lines and rows", "shoes.csv",
		"\nid,label,mass_g\n\nblue,Blue pair,210.5\n,,\ngrey,Grey pair,250.0\n   \n\n"},
	{"order of rows", "shoes.csv", "id,label,mass_g\ngrey,Grey pair,250.0\nblue,Blue pair,210.5\n"},
	{"order of columns", "shoes.csv", "mass_g,id,label\n210.5,blue,Blue pair\n250.0,grey,Grey pair\n"},
	{"decimals", "shoes.csv", "id,label,mass_g\nblue,Blue pair,210.50\ngrey,Grey pair,250\n"},
	{"more decimals than the column has", "shoes.csv",
		"id,label,mass_g\nblue,Blue pair,210.4567\ngrey,Grey pair,250\n"},
	{"needless quotes", "shoes.csv", "\"id\",label,mass_g\nblue,\"Blue pair\",210.5\ngrey,Grey pair,\"250\"\n"},
	{"columns that hold nothing", "shoes.csv",
		"id,label,mass_g,plate,notes\nblue,Blue pair,210.5,,\ngrey,Grey pair,250.0,,\n"},
	{"runners", "runners.csv", "label,id,mass_kg\r\nRunner one,r1,70\r\n"},
	{"venues", "venues.csv", "id,label,kind,lap_m,lane\noval,Town oval,track,400,\n"},
	{"blocks", blocks,
		"shoe,block,start_s,end_s,rpe,target,include\nblue,B,400,700,6,4:20,yes\ngrey,A,0,300,5,4:30,\n"},
	{"samples", samples, "\uFEFFspeed_mps,elapsed_s,power_w,air_c\r\n3.7,0,250,\r\n\r\n 3.71 ,1,,\r\n,,,\r\n"},
	{"YAML", "dataset.yaml", "\uFEFFtitle: A small trial\r\ninvented: true\ncontributors: [A. Runner, {name: B. " +
		"Timer, role: timekeeper}]\nmethod:\n  reference: grey\n  trim: {head_s: 0}\nlimits:\n  ranges:\n    " +
		"power_w: {warn: [150, 400], stop: [50, 900]}"},
}

func TestTidyMends(t *testing.T) {
	for _, c := range untidy {
		fsys := folder()
		want := string(fsys[c.file].Data)
		fsys[c.file] = &fstest.MapFile{Data: []byte(c.text)}
		f, _ := plaintext.Read(fsys, yamltext.Read)
		changed, problems := f.Tidy()
		if len(problems) > 0 {
			t.Errorf("%s: %s", c.name, lines(problems))
			continue
		}
		if got := slices.Collect(maps.Keys(changed)); !slices.Equal(got, []string{c.file}) {
			t.Errorf("%s: tidy changes %q, want %s alone", c.name, got, c.file)
		}
		if diff := cmp.Diff(want, string(changed[c.file])); diff != "" {
			t.Errorf("%s (-want +got):\n%s", c.name, diff)
		}
	}
}

// The strict reader takes what differs in form only, and gives the same values.
func TestOtherFormsReadTheSame(t *testing.T) {
	want := read(t, folder(), yamltext.Read).Dataset
	for _, c := range untidy {
		fsys := folder()
		fsys[c.file] = &fstest.MapFile{Data: []byte(c.text)}
		f, problems := plaintext.Read(fsys, yamltext.Read)
		refused := strings.Contains(c.text, "\uFEFF") && c.name != "YAML" || strings.HasPrefix(c.name, "blanks") ||
			strings.HasPrefix(c.name, "empty")
		if c.name == "samples" { // which Read does not look at
			refused = false
		}
		if refused != (len(problems) > 0) {
			t.Errorf("%s: problems are %q", c.name, lines(problems))
		}
		for _, p := range problems {
			if p.Hint != "remove it; tidy does" {
				t.Errorf("%s: %v does not point to tidy", c.name, p)
			}
		}
		if refused || strings.HasPrefix(c.name, "more decimals") {
			continue
		}
		if diff := cmp.Diff(want, f.Dataset, cmpopts.EquateNaNs(), cmpopts.IgnoreTypes(trial.Position{})); diff != "" {
			t.Errorf("%s (-want +got):\n%s", c.name, diff)
		}
	}
}

// Tidying twice changes nothing more.
func TestTidyIsDone(t *testing.T) {
	fsys := folder()
	for _, c := range untidy {
		fsys[c.file] = &fstest.MapFile{Data: []byte(c.text)}
	}
	f, _ := plaintext.Read(fsys, yamltext.Read)
	changed, problems := f.Tidy()
	if len(changed) != 6 || len(problems) > 0 {
		t.Fatalf("%d files change, want 6; %s", len(changed), lines(problems))
	}
	for path, text := range changed {
		fsys[path] = &fstest.MapFile{Data: text}
	}
	isTaken, problems := read(t, fsys, yamltext.Read).Tidy()
	if len(isTaken) > 0 || len(problems) > 0 {
		t.Errorf("tidying again changes %q, %v", isTaken, problems)
	}
}

// Rounding must not make a file that cannot be read.
func TestTidyDoesNotRoundOutOfRange(t *testing.T) {
	for file, c := range map[string]struct{ text, want string }{
		"shoes.csv": {"id,label,mass_g\nblue,Blue pair,0.04\ngrey,Grey pair,250\n", `shoes.csv: cannot be rounded: ` +
			`mass_g: 0.0 is out of range (write a number that the decimals of its column can show)`},
		blocks: {"block,shoe,start_s,end_s\nA,grey,10.01,10.04\n", blocks + `: cannot be rounded: end_s: 10.0 is not ` +
			`after start_s 10.0 (write a number that the decimals of its column can show)`},
	} {
		fsys := folder()
		fsys[file] = &fstest.MapFile{Data: []byte(c.text)}
		changed, problems := read(t, fsys, yamltext.Read).Tidy()
		if got := lines(problems); got != c.want || len(changed) > 0 {
			t.Errorf("told %q and changed %q, want %q", got, changed, c.want)
		}
	}
}

// A file with a problem stays as it is, the others are still tidied.
func TestTidyRefusesWhatItCannotMend(t *testing.T) {
	fsys := folder()
	fsys["shoes.csv"] = &fstest.MapFile{Data: []byte("id,label,mass_g\nblue,Blue pair,\"210,5\"\ngrey,Grey pair,250\n")}
	fsys["runners.csv"] = &fstest.MapFile{Data: []byte("id,label,mass_kg\nr1,Runner one,70\n")}
	fsys[samples] = &fstest.MapFile{Data: []byte("elapsed_s,power_w\n0,x\n")}
	f, _ := plaintext.Read(fsys, yamltext.Read)
	changed, problems := f.Tidy()
	if got := slices.Collect(maps.Keys(changed)); !slices.Equal(got, []string{"runners.csv"}) {
		t.Errorf("tidy changes %q", got)
	}
	want := samples + `:2:3: power_w: "x" is not a number (write digits, with a point for decimals and no unit)` +
		"\n" +
		`shoes.csv:2:16: mass_g: "210,5" is not a number (write a decimal point, not a comma, and no thousands ` +
		`separator)`
	if got := lines(problems); got != want {
		t.Errorf("told\n%s\nwant\n%s", got, want)
	}
}
