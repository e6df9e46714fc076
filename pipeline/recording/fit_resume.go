package recording

import (
	"encoding/binary"
	"slices"

	"github.com/muktihari/fit/profile/untyped/mesgnum"
	"github.com/muktihari/fit/proto"
)

// When reading is taken up again behind damage. A FIT file has no marks to find
// a message by, so that a place counts only if everything from there to the end
// of the sequence is whole and its samples go on in time. So a sequence that is
// damaged in two places is read up to the first and behind the last.
const (
	minSamplesAfter = 10    // samples from there on
	maxStepAfterS   = 86400 // seconds from one of them to the next
	maxVisits       = 4     // messages that are examined for it, for each byte of the sequence
)

// layout is what a definition says about where things stand in its messages.
type layout struct {
	known, record, packed bool
	size                  int // bytes of a message without its header
	stamp                 int // where the timestamp stands in it, -1 where there is none
	order                 binary.ByteOrder
}

// layouts walks messages without decoding them.
type layouts [proto.LocalMesgNumMask + 1]layout

// next returns where the message behind the one at the given byte begins, and the
// layout of a data message; ok is false where no whole message stands there.
func (l *layouts) next(body []byte, at int) (end int, data *layout, ok bool) {
	switch h := body[at]; {
	case h&proto.MesgCompressedHeaderMask != 0:
		data = &l[proto.LocalMesgNum(h)]
	case h&proto.MesgDefinitionMask != 0:
		end, ok = l.define(body, at)
		return end, nil, ok
	case h&^proto.LocalMesgNumMask != 0:
		return 0, nil, false
	default:
		data = &l[h]
	}
	end = at + 1 + data.size
	return end, data, data.known && end <= len(body)
}

// define takes the definition at the given byte: header, reserved, byte order,
// global number, the fields by number, size and type, the developer fields alike.
func (l *layouts) define(body []byte, at int) (end int, ok bool) {
	if at+6 > len(body) || body[at+2] > proto.BigEndian {
		return 0, false
	}
	// The fixed part: byte order and which message this is.
	d := layout{known: true, stamp: -1, order: binary.LittleEndian}
	if body[at+2] == proto.BigEndian {
		d.order = binary.BigEndian
	}
	d.record = d.order.Uint16(body[at+3:]) == uint16(mesgnum.Record)
	end = at + 6
	// The fields: number, size and type, a byte each.
	for range body[at+5] {
		if end+3 > len(body) {
			return 0, false
		}
		if body[end] == proto.FieldNumTimestamp && body[end+1] == 4 {
			d.stamp = d.size
		}
		d.packed = d.packed || d.record && body[end] == packedField
		d.size += int(body[end+1])
		end += 3
	}
	// The developer fields likewise.
	if body[at]&proto.DevDataMask != 0 {
		if end >= len(body) || end+1+3*int(body[end]) > len(body) {
			return 0, false
		}
		for i := range int(body[end]) {
			d.size += int(body[end+2+3*i])
		}
		end += 1 + 3*int(body[end])
	}
	l[body[at]&proto.LocalMesgNumMask] = d
	return end, true
}

// packedField is compressed_speed_distance, whose distance cannot be unrolled
// over a gap.
const packedField = 8

// resume looks for the byte behind the damaged one at which reading can be taken
// up again, -1 where there is none.
func resume(body []byte, damaged int) int {
	// Follow the messages up to the damage, keeping the layouts and times.
	var l layouts
	var stamps []float64
	for at := 0; at < damaged; {
		end, data, ok := l.next(body, at)
		if !ok {
			return -1
		}
		if data != nil && data.record && data.stamp >= 0 && body[at]&proto.MesgCompressedHeaderMask == 0 {
			stamps = append(stamps, float64(data.order.Uint32(body[at+1+data.stamp:])))
		}
		at = end
	}
	// The last time that can be trusted.
	outlier, n := timeOutliers(stamps)
	if 2*n >= len(stamps) {
		return -1
	}
	last := slices.Max(without(stamps, outlier))
	// The first byte behind the damage from which records go on from there.
	steps := maxVisits * len(body)
	for at := damaged + 1; at < len(body) && steps > 0; at++ {
		if d := &l[body[at]&proto.LocalMesgNumMask]; body[at]&^proto.LocalMesgNumMask != 0 || !d.record ||
			d.stamp < 0 || d.packed {
			continue
		}
		if goesOn(l, body, at, last, &steps) {
			return at
		}
	}
	return -1
}

// goesOn reports whether whole messages reach from the given byte to the end and
// their samples go on in time; it counts the messages it looks at off steps.
func goesOn(l layouts, body []byte, at int, last float64, steps *int) bool {
	samples := 0
	for at < len(body) {
		*steps--
		end, data, ok := l.next(body, at)
		if !ok || data != nil && data.packed {
			return false
		}
		if data != nil && data.record && data.stamp >= 0 && body[at]&proto.MesgCompressedHeaderMask == 0 {
			now := float64(data.order.Uint32(body[at+1+data.stamp:]))
			if now < last || now > last+maxStepAfterS {
				return false
			}
			last = now
			samples++
		}
		at = end
	}
	return samples >= minSamplesAfter
}

// repair cuts damaged bytes out of a sequence where the rest of it goes on, and
// says so; it reports whether there was such a place.
func (s *sequence) repair(imp *Import) bool {
	walked := walkFrames(s.body, -1)
	to := resume(s.body, walked.sound)
	if to < 0 {
		return false
	}
	imp.warn("damaged at byte %d: %v; %d bytes are unread there, what follows is whole and goes on in time",
		s.at+walked.sound, walked.reason, to-walked.sound)
	s.at += to - walked.sound
	s.body = append(slices.Clone(s.body[:walked.sound]), s.body[to:]...)
	return true
}
