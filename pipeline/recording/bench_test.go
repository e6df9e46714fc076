package recording_test

import (
	"bytes"
	"fmt"
	"testing"

	"github.com/muktihari/fit/decoder"

	"soletrial/pipeline/recording"
	"soletrial/pipeline/recording/fittest"
)

// An hour at 1 Hz: 12 blocks of 300 s, less the rests.
var hour = fittest.Spec{Blocks: 10, BlockS: 306, RestS: 60}

func BenchmarkFITHour(b *testing.B) { benchmarkFIT(b, hour) }

// A day shows whether the work grows linearly: 24 times the hour.
func BenchmarkFITDay(b *testing.B) {
	benchmarkFIT(b, fittest.Spec{Blocks: 24, BlockS: 3540, RestS: 62})
}

func benchmarkFIT(b *testing.B, spec fittest.Spec) {
	src := fittest.Run(spec)
	b.SetBytes(int64(len(src)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := recording.Read("run.fit", src, recording.Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkFITHourBareDecode is the library alone on the same bytes, keeping
// every message: what the import is compared with.
func BenchmarkFITHourBareDecode(b *testing.B) {
	src := fittest.Run(hour)
	b.SetBytes(int64(len(src)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := decoder.New(bytes.NewReader(src)).Decode(); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkCSVHour(b *testing.B) {
	var src bytes.Buffer
	src.WriteString("elapsed_s,power,speed,cadence,heart_rate,lat,lon,foo\n")
	for i := range 3600 {
		src.WriteString(fmt.Sprintf("%d,%d,3.%03d,17%d,150,48.1234567,11.7654321,x\n", i, 270+i%20, i%1000, i%10))
	}
	b.SetBytes(int64(src.Len()))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := recording.Read("run.csv", src.Bytes(), recording.Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
