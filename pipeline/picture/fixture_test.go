package picture

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"testing/fstest"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
)

// labels are names that a picture has to cope with: long, in letters read from right to
// left, in letters that the font lacks.
var labels = []string{"Alder", "The Extraordinarily Long-Named Racing Shoe of the Second Kind", "נעל מהירה",
	"حذاء سريع", "快鞋", "Ñandú Øre Çelik", "Быстрый", "Ωμέγα"}

// fixture is an invented dataset with so many shoes, three sessions, and a recording in the
// last.
func fixture(t *testing.T, shoes int) *Input {
	t.Helper()
	files := fstest.MapFS{}
	add := func(path, text string) { files[path] = &fstest.MapFile{Data: []byte(text)} }
	add("dataset.yaml", "title: A made-up hall\ninvented: true\nsite_url: https://example.org/a/very/long/address/"+
		"that/does/not/end/near/the/edge/of/the/picture/\nmethod:\n  races:\n"+
		"    - {distance_m: 42195, time: \"3:32:00\"}\n")
	add("runners.csv", "id,label\nme,Me\n")
	register := "id,label,mass_g\n"
	var order []int
	for i := range shoes {
		register += fmt.Sprintf("s%d,%s,%d.0\n", i, labels[i], 210+5*i)
		order = append(order, i)
	}
	add("shoes.csv", register)
	r := rand.New(rand.NewPCG(7, 9))
	for day := range 3 {
		id := fmt.Sprintf("sessions/2026-05-0%d/", day+1)
		facts := fmt.Sprintf("date: 2026-05-0%d\neffort: power\ntarget: 250\n", day+1)
		blocks := "block,shoe,start_s,end_s,power_w,speed_mps\n"
		samples := "elapsed_s,power_w,speed_mps,heart_rate_bpm\n"
		if day == 2 {
			blocks = "block,shoe,start_s,end_s\n"
			facts += "recordings:\n  - {file: foot.csv, device: foot}\n"
		}
		for k := range 2 * shoes {
			shoe, at := order[min(k, 2*shoes-1-k)], 400*k
			speed := 4 + float64(float64(shoe)*0.016) + float64(r.NormFloat64()*0.02)
			if day < 2 {
				blocks += fmt.Sprintf("%d,s%d,%d,%d,250.0,%.4f\n", k+1, shoe, at, at+300, speed)
				continue
			}
			blocks += fmt.Sprintf("%d,s%d,%d,%d\n", k+1, shoe, at, at+300)
			for s := at; s < at+300; s++ {
				samples += fmt.Sprintf("%d,%.1f,%.3f,%.1f\n", s, 250+float64(3*r.NormFloat64()), speed,
					150-60/float64(s-at+1))
			}
		}
		add(id+"session.yaml", facts)
		add(id+"blocks.csv", blocks)
		if day == 2 {
			add(id+"foot.csv", samples)
		}
	}
	folder, problems := plaintext.Open(files, yamltext.Read, 1)
	result, problems, err := derive.FromFolder(folder, problems, derive.Options{Workers: 1})
	if err != nil || len(problems) > 0 {
		t.Fatalf("the fixture is not sound: %v %v", problems, err)
	}
	return &Input{Result: result, Speaker: answer.NewSpeaker(result.Dataset, result.Answers),
		Recordings: folder.Recordings}
}

// everywhere draws every figure in every size on both grounds.
func everywhere(t *testing.T, in *Input, visit func(name string, d *Drawing)) {
	t.Helper()
	for _, f := range Figures {
		if why := f.Missing(in); why != "" {
			t.Fatalf("%s cannot be drawn: %s", f.Name, why)
		}
		for _, s := range Sizes {
			for _, transparent := range []bool{false, true} {
				name := strings.Join([]string{f.Name, s.Name(), fmt.Sprint(transparent)}, " ")
				visit(name, f.Draw(in, Options{Size: s, Transparent: transparent}))
			}
		}
	}
}
