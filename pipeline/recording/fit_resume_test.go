package recording_test

import (
	"math/rand/v2"
	"strings"
	"testing"

	"soletrial/pipeline/recording"
	"soletrial/pipeline/recording/fittest"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Bytes overwritten in the middle cost the samples there and no others. The
// oracle is the undamaged file: a sample that is read after damage, and whose
// bytes were not touched, must be what it was.
func TestFITGoesOnBehindDamage(t *testing.T) {
	run := fittest.Run(fittest.Spec{Blocks: 3, BlockS: 300})
	whole := mustRead(t, "run.fit", run, recording.Options{})
	recovered := 0
	for seed := range uint64(40) {
		chance := rand.New(rand.NewPCG(seed, 1))
		at, length := len(run)/4+chance.IntN(len(run)/3), 20+chance.IntN(200)
		damaged := append([]byte(nil), run...)
		for i := at; i < at+length; i++ {
			damaged[i] = byte(0xF0 + chance.IntN(16))
		}
		imp := mustRead(t, "run.fit", damaged, recording.Options{})
		warnings := joined(imp.Warnings)
		if !strings.Contains(warnings, "wrong CRC") {
			t.Errorf("seed %d: damage went unnoticed: %q", seed, warnings)
		}
		if imp.Samples.Len() > whole.Samples.Len() ||
			strings.Contains(warnings, "unread") == (imp.Samples.Len() == whole.Samples.Len()) {
			t.Errorf("seed %d: %d of %d samples, warnings %q", seed, imp.Samples.Len(), whole.Samples.Len(), warnings)
		}
		if strings.Contains(warnings, "what follows is whole") {
			recovered++
		}
		checkUntouched(t, seed, whole.Samples, imp.Samples, length)
	}
	t.Logf("read on behind the damage in %d of 40 files", recovered)
	if recovered < 30 {
		t.Errorf("read on behind the damage in %d of 40 files only", recovered)
	}
}

// checkUntouched compares the samples of a damaged file with those of the whole
// one: at most as many may differ as the damage can reach.
func checkUntouched(t *testing.T, seed uint64, whole, damaged *trial.Samples, length int) {
	t.Helper()
	differ := 0
	for i, at := range damaged.Elapsed {
		k := int(at)
		if at != float64(k) || k < 0 || k >= whole.Len() {
			t.Fatalf("seed %d: a sample at %v s", seed, at)
		}
		for c := range trial.ChannelCount {
			a, b := units.Missing, units.Missing
			if whole.Values[c] != nil {
				a = whole.Values[c][k]
			}
			if damaged.Values[c] != nil {
				b = damaged.Values[c][i]
			}
			if a != b && (units.Known(a) || units.Known(b)) {
				differ++
				break
			}
		}
	}
	const record = 25 // bytes, less than the shortest record of this run
	if most := length/record + 2; differ > most {
		t.Errorf("seed %d: %d samples differ, and %d bytes were damaged", seed, differ, length)
	}
}

// Damage in two places costs what lies between them, and a file that is cut off as
// well is read up to the damage: nothing shows that what follows is whole.
func TestFITDamagedTwice(t *testing.T) {
	run := fittest.Run(fittest.Spec{Blocks: 3, BlockS: 300})
	damage := func(src []byte, places ...int) []byte {
		src = append([]byte(nil), src...)
		for _, at := range places {
			for i := at; i < at+80; i++ {
				src[i] = 0xFF
			}
		}
		return src
	}
	for _, c := range []struct {
		name     string
		src      []byte
		goesOn   bool
		min, max int // samples, of 1020
	}{
		{"twice", damage(run, len(run)/3, len(run)/2), true, 600, 900},
		{"cut off as well", damage(run[:len(run)*3/4], len(run)/3), false, 250, 400},
	} {
		imp := mustRead(t, "run.fit", c.src, recording.Options{})
		got := joined(imp.Warnings)
		if n := imp.Samples.Len(); n < c.min || n > c.max {
			t.Errorf("%s: %d samples, want %d to %d", c.name, n, c.min, c.max)
		}
		if strings.Contains(got, "what follows is whole") != c.goesOn ||
			strings.Contains(got, "from there on are unread") == c.goesOn {
			t.Errorf("%s: warnings %q", c.name, got)
		}
	}
}
