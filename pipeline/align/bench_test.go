package align_test

import (
	"testing"

	"soletrial/pipeline/align"
	"soletrial/pipeline/trial"
)

func BenchmarkHour(b *testing.B) { benchmark(b, 3600) }

// A day shows that the work grows with the length, the search being the same.
func BenchmarkDay(b *testing.B) { benchmark(b, 24*3600) }

func benchmark(b *testing.B, seconds int) {
	run := wandering(seconds, 175, 3, seeded(7))
	first := device{channel: trial.CadenceSpm, noise: 1}.samples(run, seeded(8))
	other := device{channel: trial.CadenceSpm, noise: 1, begin: 60.4, ppm: 20}.samples(run, seeded(9))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := align.Find(first, other, 0); err != nil {
			b.Fatal(err)
		}
	}
}
