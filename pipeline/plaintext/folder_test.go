package plaintext_test

import (
	"testing"
	"testing/fstest"

	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
)

// folder is a small invented dataset without problems.
func folder() fstest.MapFS {
	texts := map[string]string{
		"dataset.yaml":             "title: A small trial\ninvented: true\ncontributors: [A. Runner, {name: B. Timer, role: timekeeper}]\nmethod:\n  reference: grey\n  trim: {head_s: 0}\nlimits:\n  ranges:\n    power_w: {warn: [150, 400], stop: [50, 900]}\n",
		"runners.csv":              "id,label,mass_kg\nr1,Runner one,70.0\n",
		"shoes.csv":                "id,label,mass_g\nblue,Blue pair,210.5\ngrey,Grey pair,250.0\n",
		"venues.csv":               "id,label,kind,lap_m\noval,Town oval,track,400.000\n",
		"README.md":                "For readers.\n",
		"derived/blocks.csv":       "anything\n",
		"sessions/s1/session.yaml": "date: 2026-05-02\nstart: 09:30\nvenue: oval\neffort: pace\ntarget: 4:30\nconditions:\n  air_c: 18.5\nrecordings:\n  - {file: footpod.csv, device: footpod}\n",
		"sessions/s1/blocks.csv":   "block,shoe,start_s,end_s,target,rpe\nA,grey,0.0,300.0,,5.0\nB,blue,400.0,700.0,4:20,6.0\n",
		"sessions/s1/footpod.csv":  "elapsed_s,power_w,speed_mps\n0.000,250.0,3.700\n1.000,,3.710\n",
		"sessions/s1/plan.yaml":    "anything: goes\n",
	}
	fsys := fstest.MapFS{}
	for path, text := range texts {
		fsys[path] = &fstest.MapFile{Data: []byte(text)}
	}
	return fsys
}

func TestReadSmallFolder(t *testing.T) {
	f, problems := plaintext.Read(folder(), yamltext.Read)
	for _, p := range problems {
		t.Error(p)
	}
	t.Logf("%+v", f.Dataset)
	rec, problems := f.Recordings(&f.Dataset.Sessions[0])
	t.Log(rec[0].Samples, problems)
	in, err := f.Inputs()
	t.Log(in, err)
	m, p := f.Tidy()
	t.Logf("%q %v", m, p)
}
