package recording

import (
	"bytes"
	"encoding/binary"
	"errors"
	"io"

	"github.com/muktihari/fit/decoder"
	"github.com/muktihari/fit/profile/typedef"
	"github.com/muktihari/fit/profile/untyped/mesgnum"
	"github.com/muktihari/fit/proto"
)

// frames is what a walk over the messages of a sequence finds without decoding
// their fields.
type frames struct {
	sound      int    // bytes that make up whole messages
	reason     error  // why the walk ended before the last byte; nil if it did not
	early      []byte // all descriptions of developer fields, if one comes after the first use
	earlyCount int    // how many data messages early holds

	definitions [proto.LocalMesgNumMask + 1]definition
	used        bool // a message with developer fields has passed
	late        bool // and a description after it
}

// definition is the kind of message that a local number stands for at the moment.
type definition struct {
	message   typedef.MesgNum
	developer bool   // its messages hold developer fields
	bytes     []byte // of a definition that describes developer fields; otherwise nil
}

var errEnough = errors.New("enough messages")

// walkFrames walks the messages of body; it stops after the given number of data
// messages, or at the end when limit is -1.
//
// The decoder passes over a developer field that is described later on. The
// walk collects such descriptions, so that the decoder can be given them first.
func walkFrames(body []byte, limit int) frames {
	var f frames
	in := io.MultiReader(bytes.NewReader(plainHeader(len(body))), bytes.NewReader(body))
	_, err := decoder.NewRaw().Decode(in, func(flag decoder.RawFlag, b []byte) error {
		switch flag {
		case decoder.RawFlagMesgDef:
			f.define(b)
		case decoder.RawFlagMesgData:
			if limit == 0 {
				return errEnough
			}
			limit--
			f.pass(b)
		default:
			return nil
		}
		f.sound += len(b)
		return nil
	})
	if !f.late {
		f.early, f.earlyCount = nil, 0
	}
	switch {
	case f.sound == len(body): // the missing CRC is no concern of the walk
	case errors.Is(err, decoder.ErrMesgDefMissing):
		f.reason = errors.New("a message of a kind that was never defined")
	default:
		f.reason = errors.New("an incomplete message")
	}
	return f
}

// define takes a definition message: header, reserved, byte order, global number.
func (f *frames) define(b []byte) {
	number := binary.LittleEndian.Uint16(b[3:5])
	if b[2] != proto.LittleEndian {
		number = binary.BigEndian.Uint16(b[3:5])
	}
	d := definition{message: typedef.MesgNum(number), developer: b[0]&proto.DevDataMask != 0}
	if d.message == mesgnum.FieldDescription || d.message == mesgnum.DeveloperDataId {
		d.bytes = bytes.Clone(b)
	}
	f.definitions[b[0]&proto.LocalMesgNumMask] = d
}

// pass takes a data message.
func (f *frames) pass(b []byte) {
	d := &f.definitions[proto.LocalMesgNum(b[0])]
	f.used = f.used || d.developer
	if d.bytes != nil {
		f.late = f.late || f.used
		f.early = append(append(f.early, d.bytes...), b...)
		f.earlyCount++
	}
}
