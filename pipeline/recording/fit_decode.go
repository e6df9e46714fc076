package recording

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"

	"github.com/muktihari/fit/decoder"
	"github.com/muktihari/fit/profile"
	"github.com/muktihari/fit/profile/factory"
	"github.com/muktihari/fit/profile/typedef"
	"github.com/muktihari/fit/profile/untyped/mesgnum"
	"github.com/muktihari/fit/proto"
)

// decode hands every sound message of a sequence to m and warns about the rest.
// The frames are walked first, so that the decoder only sees whole messages and
// the number of unread bytes, which it returns, is exact.
func (s sequence) decode(m *messages, imp *Import) (unread int) {
	whole := len(s.body)
	walked := walkFrames(s.body, -1)
	if walked.sound < len(s.body) && s.repair(imp) {
		walked = walkFrames(s.body, -1)
	}
	if walked.sound > 0 {
		early := walked.early
		err := decodeMessages(early, s.body[:walked.sound], m)
		if err != nil && m.seen < walked.earlyCount {
			*m, early, walked.earlyCount = *newMessages(), nil,
				0 // a description is at fault: read them in their own places
			err = decodeMessages(early, s.body[:walked.sound], m)
		}
		if err != nil {
			walked = frames{sound: walkFrames(s.body[:walked.sound], m.seen-walked.earlyCount).sound, reason: err}
		}
	}
	if unread := len(s.body) - walked.sound; unread > 0 {
		imp.warn("damaged at byte %d: %v; the %d bytes from there on are unread, %.0f %% of what there is",
			s.at+walked.sound, walked.reason, unread, 100*float64(unread)/float64(len(s.body)))
	}
	return whole - walked.sound
}

// plainHeader is a header of 12 bytes for n bytes of messages.
func plainHeader(n int) []byte {
	h := []byte{12, 0x20, 0, 0, 0, 0, 0, 0, '.', 'F', 'I', 'T'}
	binary.LittleEndian.PutUint32(h[4:], uint32(n))
	return h
}

// decodeMessages decodes whole messages, early ones first. The decoder is foreign code that is fed
// damaged files, so that a panic in it becomes an error.
func decodeMessages(early, body []byte, m *messages) (err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("a message that cannot be decoded: %v", r)
		}
	}()
	in := io.MultiReader(bytes.NewReader(plainHeader(len(early)+len(body))),
		bytes.NewReader(early), bytes.NewReader(body),
		bytes.NewReader(make([]byte, 2)))
	_, err = decoder.New(in,
		decoder.WithIgnoreChecksum(), // see splitSequences
		decoder.WithBroadcastOnly(),
		decoder.WithNoComponentExpansion(), // fit_fields.go unpacks exactly what it needs
		decoder.WithFactory(&plainFactory{}),
		decoder.WithMesgListener(m),
		decoder.WithMesgDefListener(m),
	).Decode()
	if err != nil {
		return errors.New("a message that cannot be decoded")
	}
	return nil
}

// plainFactory makes the decoder read the fields of records, laps and sessions
// by the types that the file itself states, not by those of the profile: files
// exist whose types differ. Other messages come from the standard profile.
type plainFactory struct {
	bases [256]proto.FieldBase
	next  uint8
}

// CreateField returns a field without a type; the decoder fills in the file's.
// The bases are used in turn: a message has at most 255 fields, and none is
// examined after the message has been handed over.
func (f *plainFactory) CreateField(message typedef.MesgNum, num byte) proto.Field {
	switch message {
	case mesgnum.Record, mesgnum.Lap, mesgnum.Session:
		f.next++
		base := &f.bases[f.next]
		*base = proto.FieldBase{Name: factory.NameUnknown, Num: num, Type: profile.Invalid, Scale: 1}
		return proto.Field{FieldBase: base}
	}
	return factory.StandardFactory().CreateField(message, num)
}
