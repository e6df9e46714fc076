package plaintext

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

func TestSamplesReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := drawSamples(t)
		text := AppendSamples(nil, want)
		got, problems := ReadSamples(text, "a.csv")
		if len(problems) > 0 {
			t.Fatalf("%v in\n%s", problems, text)
		}
		same(t, "read back", want, got)
		if isTaken := AppendSamples(nil, got); !bytes.Equal(isTaken, text) {
			t.Fatalf("written again as\n%s\nnot\n%s", isTaken, text)
		}
	})
}

func TestSamplesInCanonicalForm(t *testing.T) {
	s := &trial.Samples{Elapsed: []float64{0, 1.0004}}
	s.Values[trial.HeartRateBpm] = []float64{150, units.Missing}
	s.Values[trial.SpeedMps] = []float64{3.70049, -0.0001}
	s.Values[trial.AirC] = []float64{units.Missing, units.Missing}
	want := "elapsed_s,speed_mps,heart_rate_bpm\n0.000,3.700,150.0\n1.000,0.000,\n"
	if got := string(AppendSamples(nil, s)); got != want {
		t.Errorf("written as\n%s\nwant\n%s", got, want)
	}
}

// The reader takes columns in any order, Windows line ends and a last line
// without its end, and keeps every digit.
func TestSamplesInOtherForms(t *testing.T) {
	want := &trial.Samples{Elapsed: []float64{0, 1.5}}
	want.Values[trial.PowerW] = []float64{250.123456789, units.Missing}
	want.Values[trial.HeartRateBpm] = []float64{150, 151}
	for _, text := range []string{
		"elapsed_s,power_w,heart_rate_bpm\n0,250.123456789,150\n1.5,,151\n",
		"elapsed_s,power_w,heart_rate_bpm\r\n0,250.123456789,150\r\n1.5,,151\r\n",
		"elapsed_s,power_w,heart_rate_bpm\n0,250.123456789,150\n1.5,,151",
		"elapsed_s,power_w,heart_rate_bpm\r\n0,250.123456789,150\r\n1.5,,151",
		"power_w,heart_rate_bpm,elapsed_s\n250.123456789,150,0\n,151,1.5\n",
		"heart_rate_bpm,power_w,elapsed_s\n150.0000000000000000,250.123456789,0.0\n151,,001.5000000000000000000\n",
	} {
		got, problems := ReadSamples([]byte(text), "a.csv")
		if len(problems) > 0 {
			t.Errorf("%q: %v", text, problems)
			continue
		}
		same(t, fmt.Sprintf("%q", text), want, got)
	}
}

func TestTimeMayGoBack(t *testing.T) {
	text := "elapsed_s,power_w\n2.000,250.0\n1.000,251.0\n"
	got, problems := ReadSamples([]byte(text), "a.csv")
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	if isTaken := string(AppendSamples(nil, got)); isTaken != text {
		t.Errorf("written as\n%s\nbut the order of samples is not the writer's to change", isTaken)
	}
}

// A file full of mistakes gets fifty of them told and the number of the others.
func TestProblemsAreCapped(t *testing.T) {
	text := "elapsed_s,power_w\n" + strings.Repeat("0,x\n", 1000)
	samples, problems := ReadSamples([]byte(text), "a.csv")
	if samples != nil || len(problems) != maxProblems+1 {
		t.Fatalf("%d problems are told, want %d", len(problems), maxProblems+1)
	}
	last := problems[maxProblems].Error()
	if want := "a.csv: and 950 more problems (correct the first ones and read again)"; last != want {
		t.Errorf("the last one says %q, want %q", last, want)
	}
}

// Reading must not allocate for each row. This counts allocations, it measures
// no time.
func TestAllocationsDoNotDependOnRows(t *testing.T) {
	count := func(rows int) float64 {
		text := AppendSamples(nil, syntheticSamples(rows))
		return testing.AllocsPerRun(10, func() {
			if _, problems := ReadSamples(text, "a.csv"); len(problems) > 0 {
				t.Fatal(problems)
			}
		})
	}
	if few, many := count(1_000), count(10_000); few != many {
		t.Errorf("%v allocations for 1,000 rows, %v for 10,000", few, many)
	}
}

func TestWritingAllocatesNothingForRows(t *testing.T) {
	count := func(rows int) float64 {
		samples := syntheticSamples(rows)
		room := make([]byte, 0, 100*rows)
		return testing.AllocsPerRun(10, func() { AppendSamples(room, samples) })
	}
	if few, many := count(1_000), count(10_000); few != many {
		t.Errorf("%v allocations for 1,000 rows, %v for 10,000", few, many)
	}
}
