package derive_test

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"testing/fstest"

	"soletrial/pipeline/derive"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// synthetic makes an invented dataset of the given number of sessions: four
// shoes, eight blocks of five minutes, one recording at 1 Hz each.
func synthetic(sessions int) fstest.MapFS {
	fsys := fstest.MapFS{
		"dataset.yaml": {Data: []byte("title: synthetic\ninvented: true\n")},
		"runners.csv":  {Data: []byte("id,label\nr,runner\n")},
		"shoes.csv":    {Data: []byte("id,label,mass_g\na,a,200\nb,b,220\nc,c,240\nd,d,260\n")},
	}
	rng := rand.New(rand.NewPCG(1, 2))
	for i := range sessions {
		folder := fmt.Sprintf("sessions/s%04d/", i)
		date := fmt.Sprintf("20%02d-%02d-%02d", 10+i/336, 1+i/28%12, 1+i%28)
		fsys[folder+"session.yaml"] = &fstest.MapFile{Data: []byte("date: " + date +
			"\neffort: power\ntarget: 250\nrecordings: [{file: pod.csv, device: pod}]\n")}
		samples, blocks := run(rng)
		fsys[folder+"pod.csv"] = &fstest.MapFile{Data: plaintext.AppendSamples(nil, samples)}
		fsys[folder+"blocks.csv"] = &fstest.MapFile{Data: plaintext.AppendBlocks(nil, trial.Power, 250, blocks)}
	}
	return fsys
}

// readings are what the synthetic sensor sends, about.
var readings = []struct {
	channel trial.Channel
	typical float64
}{{trial.PowerW, 250}, {trial.SpeedMps, 3.8}, {trial.CadenceSpm, 178}, {trial.StepLengthM, 1.28},
	{trial.ContactMs, 230}, {trial.OscillationCm, 8}, {trial.HeartRateBpm, 155}}

func run(rng *rand.Rand) (*trial.Samples, []trial.Block) {
	var s trial.Samples
	var blocks []trial.Block
	for i, shoe := range []string{"a", "b", "c", "d", "d", "c", "b", "a"} {
		b := trial.Block{ID: fmt.Sprint(i + 1), Shoe: shoe, Start: float64(420 * i), End: float64(420*i + 300),
			Target: 250, DistanceM: units.Missing, Laps: units.Missing, RPE: units.Missing, ComfortMm: units.Missing}
		for m := range b.Measured {
			b.Measured[m] = units.Missing
		}
		blocks = append(blocks, b)
		for t := range 420 {
			s.Elapsed = append(s.Elapsed, float64(420*i+t))
			for _, r := range readings {
				s.Values[r.channel] = append(s.Values[r.channel], r.typical*(1+0.01*rng.NormFloat64()))
			}
		}
	}
	return &s, blocks
}

// BenchmarkDerive100Sessions is the whole chain, text to tables.
func BenchmarkDerive100Sessions(b *testing.B) {
	fsys := synthetic(100)
	bytes := 0
	for _, f := range fsys {
		bytes += len(f.Data)
	}
	b.SetBytes(int64(bytes))
	b.ReportAllocs()
	for b.Loop() {
		folder, problems := plaintext.Open(fsys, yamltext.Read, 1)
		if _, problems, err := derive.FromFolder(folder, problems, derive.Options{}); err != nil || len(problems) > 0 {
			b.Fatal(err, problems)
		}
	}
}

// BenchmarkDemoRobustness is all analyses that show whether the answers of the demonstration hold.
func BenchmarkDemoRobustness(b *testing.B) {
	_, r := deriveDemo(b)
	for b.Loop() {
		r.Robustness(func(int, int) {})
	}
}
