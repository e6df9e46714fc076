package cache

import (
	"bytes"
	"testing"

	"pgregory.net/rapid"
)

// A sum in pieces is the sum of the whole, wherever it is cut.
func TestSummer(t *testing.T) {
	c, err := Open(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.SampledFrom([]int{0, 1, chunk - 1, chunk, chunk + 1, 2 * chunk, 2*chunk + 5}).Draw(t, "bytes")
		data := bytes.Repeat([]byte{rapid.Byte().Draw(t, "byte")}, n)
		s := c.NewSummer()
		for rest := data; len(rest) > 0; {
			k := rapid.IntRange(1, len(rest)).Draw(t, "piece")
			s.Add(rest[:k])
			rest = rest[k:]
		}
		if s.Sum() != c.Sum(data) || s.Sum() != c.Sum(data) {
			t.Fatalf("the sum of %d bytes in pieces is another", n)
		}
	})
}
