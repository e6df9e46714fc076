package main

import (
	"bytes"
	"math/rand/v2"
	"testing"
)

// A mutant depends on the seed alone, and the original stays as it is.
func TestMutantsAreReproducible(t *testing.T) {
	original := bytes.Repeat([]byte("recording "), 100)
	before := bytes.Clone(original)
	different := 0
	for i := range uint64(100) {
		first := mutate(original, rand.New(rand.NewPCG(1, i)))
		again := mutate(original, rand.New(rand.NewPCG(1, i)))
		if !bytes.Equal(first, again) {
			t.Fatalf("mutant %d differs from run to run", i)
		}
		if !bytes.Equal(first, original) {
			different++
		}
	}
	if different < 90 || !bytes.Equal(original, before) {
		t.Errorf("%d of 100 mutants differ from the original, which is unchanged: %v",
			different, bytes.Equal(original, before))
	}
}
