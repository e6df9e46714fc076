package main

import (
	"encoding/binary"
	"errors"
	"fmt"
	"sort"
)

// The parts of the WebAssembly binary format (W3C WebAssembly Core
// Specification, "Binary Format") that joinSegments needs.
const (
	headerBytes   = 8  // magic number and version
	dataSection   = 11 // section id
	activeSegment = 0  // data segment kind: memory 0 at a constant offset
	opConstI32    = 0x41
	opEnd         = 0x0b
)

// maxGap is the longest run of zeros between two segments that is written out.
const maxGap = 1024

var errFormat = errors.New("not a WebAssembly module of the kind the Go linker writes")

// joinSegments rewrites the data section of a module so that neighbouring
// segments become one, with the zeros between them written out. The memory that
// the module starts with is the same. The Go linker leaves out every short run
// of zeros, which makes tens of thousands of segments whose heads compress
// badly; zeros compress to almost nothing, so the compressed module is a tenth
// smaller.
func joinSegments(module []byte) ([]byte, error) {
	if len(module) < headerBytes {
		return nil, errFormat
	}
	out := append([]byte(nil), module[:headerBytes]...)
	in := reader{rest: module[headerBytes:]}
	for len(in.rest) > 0 && in.err == nil {
		id := in.byte()
		body := in.take(int(in.unsigned()))
		if id == dataSection && in.err == nil {
			segments, err := readSegments(body)
			if err != nil {
				return nil, err
			}
			body = appendSegments(nil, join(segments))
		}
		out = append(out, id)
		out = binary.AppendUvarint(out, uint64(len(body)))
		out = append(out, body...)
	}
	return out, in.err
}

// segment is bytes that memory starts with from an offset on.
type segment struct {
	offset int64
	bytes  []byte
}

// readSegments returns the segments by offset. Segments that overlap are refused,
// because there the later one would win.
func readSegments(body []byte) ([]segment, error) {
	in := reader{rest: body}
	segments := make([]segment, in.unsigned())
	for i := range segments {
		if in.byte() != activeSegment || in.byte() != opConstI32 {
			return nil, fmt.Errorf("data segment %d: %w", i, errFormat)
		}
		segments[i].offset = in.signed()
		if in.byte() != opEnd {
			return nil, fmt.Errorf("data segment %d: %w", i, errFormat)
		}
		segments[i].bytes = in.take(int(in.unsigned()))
	}
	if in.err != nil {
		return nil, in.err
	}
	sort.SliceStable(segments, func(i, j int) bool { return segments[i].offset < segments[j].offset })
	for i := 1; i < len(segments); i++ {
		if last := segments[i-1]; segments[i].offset < last.offset+int64(len(last.bytes)) {
			return nil, fmt.Errorf("data segments overlap at %d: %w", segments[i].offset, errFormat)
		}
	}
	return segments, nil
}

// join merges the segments that are at most maxGap apart.
func join(segments []segment) []segment {
	var joined []segment
	for _, s := range segments {
		if len(joined) > 0 {
			last := &joined[len(joined)-1]
			if gap := s.offset - last.offset - int64(len(last.bytes)); gap <= maxGap {
				last.bytes = append(append(last.bytes, make([]byte, gap)...), s.bytes...)
				continue
			}
		}
		joined = append(joined, segment{s.offset, append([]byte(nil), s.bytes...)})
	}
	return joined
}

func appendSegments(dst []byte, segments []segment) []byte {
	dst = binary.AppendUvarint(dst, uint64(len(segments)))
	for _, s := range segments {
		dst = append(dst, activeSegment, opConstI32)
		dst = appendSigned(dst, s.offset)
		dst = append(dst, opEnd)
		dst = binary.AppendUvarint(dst, uint64(len(s.bytes)))
		dst = append(dst, s.bytes...)
	}
	return dst
}

// reader reads the format's pieces from the front of rest; after an error it
// returns only zeros.
type reader struct {
	rest []byte
	err  error
}

func (r *reader) take(n int) []byte {
	if r.err != nil || n < 0 || n > len(r.rest) {
		r.err, r.rest = errFormat, nil
		return nil
	}
	piece := r.rest[:n]
	r.rest = r.rest[n:]
	return piece
}

func (r *reader) byte() byte {
	if b := r.take(1); b != nil {
		return b[0]
	}
	return 0
}

// unsigned reads an unsigned LEB128 number.
func (r *reader) unsigned() uint64 {
	x, n := binary.Uvarint(r.rest)
	if n <= 0 || x > 1<<31 {
		r.err = errFormat
		return 0
	}
	r.take(n)
	return x
}

// signed reads a signed LEB128 number.
func (r *reader) signed() int64 {
	x, shift := int64(0), 0
	for r.err == nil && shift < 35 {
		b := r.byte()
		x |= int64(b&0x7f) << shift
		shift += 7
		if b&0x80 == 0 {
			if b&0x40 != 0 {
				x |= -1 << shift
			}
			return x
		}
	}
	r.err = errFormat
	return 0
}

// appendSigned writes a signed LEB128 number.
func appendSigned(dst []byte, x int64) []byte {
	for {
		b := byte(x & 0x7f)
		x >>= 7
		if x == 0 && b&0x40 == 0 || x == -1 && b&0x40 != 0 {
			return append(dst, b)
		}
		dst = append(dst, b|0x80)
	}
}
