package recording

import (
	"bytes"
	"encoding/binary"

	"github.com/muktihari/fit/kit/hash/crc16"
)

// sequence is one FIT file inside a file; several may be chained.
type sequence struct {
	at   int    // where its messages begin in the file
	body []byte // the messages, as many bytes of them as there are
}

// splitSequences finds the sequences of a file and checks the length and the
// CRC of each; unread is how many bytes belong to none. The check is ours: headers of 12 bytes and
// a header CRC of 0 are
// legal, and the decoder takes them for damage.
func splitSequences(name string, src []byte, imp *Import) (found []sequence, unread int, err error) {
	rest := src
	for len(rest) > 0 {
		size, ok := headerSize(rest)
		if !ok {
			break
		}
		s, length := cutSequence(rest, size, len(src)-len(rest), imp)
		if len(s.body) > 0 {
			found = append(found, s)
		}
		rest = rest[length:]
	}
	switch {
	case len(found) == 0:
		return nil, 0, fitError(name, "export the recording again",
			"no FIT messages were found: the file is damaged, empty or of another kind")
	case len(rest) > 0 && len(bytes.Trim(rest, "\x00")) == 0:
		imp.drop("%d bytes of padding after the end", len(rest))
	case len(rest) > 0:
		imp.warn("%d bytes after the end of the recording are not FIT and were not read", len(rest))
		unread = len(rest)
	}
	return found, unread, nil
}

// headerSize returns the size of the header at the front of src.
func headerSize(src []byte) (int, bool) {
	if len(src) < 12 || string(src[8:12]) != fitMark {
		return 0, false
	}
	size := int(src[0])
	return size, size >= 12 && size <= len(src)
}

// cutSequence cuts one sequence off the front of src, which begins at byte at of
// the file, and returns how long it is with header and CRC.
func cutSequence(src []byte, size, at int, imp *Import) (sequence, int) {
	checkHeaderCRC(src[:size], imp)
	// A recording that was not closed, or was cut off, is read as far as it goes.
	promised := int(binary.LittleEndian.Uint32(src[4:8]))
	have := len(src) - size
	switch {
	case promised == 0:
		imp.warn("the header gives no length: the recording was not closed properly, and was read to its end")
		body := src[size:]
		if n := len(src) - 2; n >= size && sum(src[:n]) == binary.LittleEndian.Uint16(src[n:]) {
			body = src[size:n]
		}
		return sequence{at: at + size, body: body}, len(src)
	case promised > have:
		imp.warn("the recording is cut off: the header promises %d bytes of messages, the file has %d", promised, have)
		return sequence{at: at + size, body: src[size:]}, len(src)
	}
	// A whole one is checked by its CRC.
	end := size + promised
	if have-promised < 2 {
		imp.warn("the recording is cut off: the CRC at its end is missing")
		return sequence{at: at + size, body: src[size:end]}, len(src)
	}
	if want, got := binary.LittleEndian.Uint16(src[end:]), sum(src[:end]); want != got {
		imp.warn(
			"wrong CRC: the file says 0x%04x, its content gives 0x%04x; some bytes have changed since it was written",
			want, got)
	}
	return sequence{at: at + size, body: src[size:end]}, end + 2
}

func checkHeaderCRC(header []byte, imp *Import) {
	if len(header) < 14 {
		return
	}
	if want := binary.LittleEndian.Uint16(header[12:]); want != 0 && want != sum(header[:12]) {
		imp.warn("wrong CRC of the header: it says 0x%04x, its content gives 0x%04x", want, sum(header[:12]))
	}
}

// sum is the CRC-16 of the FIT protocol.
func sum(b []byte) uint16 {
	h := crc16.New()
	_, _ = h.Write(b) // a hash never fails
	return h.Sum16()
}
