package main

import (
	"bytes"
	"encoding/binary"
	"errors"
	"testing"

	"pgregory.net/rapid"
)

// module wraps a data section, with another section before and after it.
func module(segments []segment) []byte {
	out := []byte("\x00asm\x01\x00\x00\x00")
	body := appendSegments(nil, segments)
	out = append(out, 1, 1, 0) // a type section that lists no types
	out = append(out, dataSection)
	out = append(binary.AppendUvarint(out, uint64(len(body))), body...)
	return append(out, 0, 5, 4, 'n', 'o', 't', 'e') // a custom section without content
}

// memory is what a module's data section leaves in memory.
func memory(t *rapid.T, wasm []byte) (image []byte, segments int) {
	in := reader{rest: wasm[headerBytes:]}
	for len(in.rest) > 0 {
		id := in.byte()
		body := in.take(int(in.unsigned()))
		if id != dataSection {
			continue
		}
		list, err := readSegments(body)
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range list {
			for int64(len(image)) < s.offset {
				image = append(image, 0)
			}
			image = append(image, s.bytes...)
		}
		segments = len(list)
	}
	return image, segments
}

func TestJoinedSegmentsLeaveTheSameMemory(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var segments []segment
		at := int64(rapid.IntRange(0, 100_000).Draw(t, "first"))
		for range rapid.IntRange(1, 30).Draw(t, "segments") {
			content := rapid.SliceOfN(rapid.Byte(), 1, 40).Draw(t, "bytes")
			segments = append(segments, segment{at, content})
			at += int64(len(content) + rapid.IntRange(0, 3*maxGap).Draw(t, "gap"))
		}
		before := module(rapid.Permutation(segments).Draw(t, "order"))
		after, err := joinSegments(before)
		if err != nil {
			t.Fatal(err)
		}
		was, had := memory(t, before)
		is, has := memory(t, after)
		if !bytes.Equal(was, is) || has > had {
			t.Fatalf("memory of %d bytes in %d segments became %d bytes in %d", len(was), had, len(is), has)
		}
		if again, err := joinSegments(after); err != nil || !bytes.Equal(again, after) {
			t.Fatalf("joining again changes the module: %v", err)
		}
	})
}

// Gaps up to maxGap are written out, longer ones are not.
func TestSegmentsAreJoined(t *testing.T) {
	for gap, want := range map[int64]int{0: 1, 1: 1, maxGap: 1, maxGap + 1: 2} {
		if got := len(join([]segment{{16, []byte("abc")}, {19 + gap, []byte("def")}})); got != want {
			t.Errorf("two segments %d bytes apart become %d, want %d", gap, got, want)
		}
	}
}

func TestJoinSegmentsRefuses(t *testing.T) {
	good := module([]segment{{16, []byte("abc")}, {64, []byte("def")}})
	for name, bad := range map[string][]byte{
		"empty":           nil,
		"cut off":         good[:len(good)-9],
		"passive segment": bytes.Replace(good, []byte{2, activeSegment}, []byte{2, 1}, 1),
		"overlapping":     module([]segment{{64, []byte("abc")}, {66, []byte("def")}}),
	} {
		if _, err := joinSegments(bad); !errors.Is(err, errFormat) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// Values of the DWARF standard's appendix on LEB128 (7.6, figure 22).
func TestSignedNumbers(t *testing.T) {
	for x, want := range map[int64][]byte{
		2: {2}, -2: {0x7e}, 127: {0xff, 0}, -127: {0x81, 0x7f},
		128: {0x80, 1}, -128: {0x80, 0x7f}, 129: {0x81, 1}, -129: {0xff, 0x7e},
	} {
		if got := appendSigned(nil, x); !bytes.Equal(got, want) {
			t.Errorf("%d is written %x, want %x", x, got, want)
		}
		in := reader{rest: want}
		if got := in.signed(); got != x || in.err != nil {
			t.Errorf("%x reads as %d, %v", want, got, in.err)
		}
	}
}
