package main

import (
	"bytes"
	"compress/gzip"
	"io"
	"math/rand/v2"
	"os"
	"testing"

	"pgregory.net/rapid"
)

// unpack is the oracle: the standard library's gzip reader.
func unpack(t interface{ Fatal(...any) }, packed []byte) []byte {
	r, err := gzip.NewReader(bytes.NewReader(packed))
	if err != nil {
		t.Fatal(err)
	}
	plain, err := io.ReadAll(r)
	if err != nil {
		t.Fatal(err)
	}
	return plain
}

func TestGzippedReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		data := rapid.SliceOfN(rapid.ByteRange(0, rapid.Byte().Draw(t, "highest")), 0, 5000).Draw(t, "data")
		data = append(data, bytes.Repeat(data, rapid.IntRange(0, 5).Draw(t, "times"))...)
		if !bytes.Equal(unpack(t, gzipped(data)), data) {
			t.Fatal("other bytes came back")
		}
	})
	long := make([]byte, stretch+100_000) // more than one stretch, beyond the window
	random := rand.New(rand.NewPCG(1, 2))
	for i := range long {
		long[i] = byte(random.IntN(1 + i>>14))
	}
	copy(long[stretch-500:], long[1000:3000])
	if !bytes.Equal(unpack(t, gzipped(long)), long) {
		t.Error("other bytes came back from a long text")
	}
}

// TestGzippedIsSmaller: on text, by a few parts in a hundred.
func TestGzippedIsSmaller(t *testing.T) {
	var text []byte
	for _, name := range []string{"deflate.go", "blocks.go", "huffman.go", "segments.go", "main.go"} {
		part, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		text = append(text, part...)
	}
	var plain bytes.Buffer
	w, _ := gzip.NewWriterLevel(&plain, gzip.BestCompression)
	w.Write(text)
	w.Close()
	if ours := gzipped(text); len(ours) > plain.Len()*98/100 || !bytes.Equal(unpack(t, ours), text) {
		t.Errorf("%d bytes, the standard library makes %d", len(ours), plain.Len())
	}
}

// TestSymbols: RFC 1951, section 3.2.5.
func TestSymbols(t *testing.T) {
	for _, c := range []struct{ length, symbol, extra int }{{3, 257, 0}, {10, 264, 0}, {11, 265, 1}, {12, 265, 1}, {13, 266, 1}, {114, 279, 4}, {115, 280, 4}, {131, 281, 5}, {257, 284, 5}, {258, 285, 0}} {
		if s, e := lengthSymbol(c.length), lengthExtra(c.length); s != c.symbol || e != c.extra {
			t.Errorf("length %d is symbol %d with %d bits, want %d with %d", c.length, s, e, c.symbol, c.extra)
		}
	}
	for _, c := range []struct{ distance, symbol, extra int }{{1, 0, 0}, {4, 3, 0}, {5, 4, 1}, {7, 5, 1}, {24, 8, 3}, {25, 9, 3}, {24577, 29, 13}, {32768, 29, 13}} {
		if s, e := distanceSymbol(uint16(c.distance-1)), distanceExtra(uint16(c.distance-1)); s != c.symbol || e != c.extra {
			t.Errorf("distance %d is symbol %d with %d bits, want %d with %d", c.distance, s, e, c.symbol, c.extra)
		}
	}
}
