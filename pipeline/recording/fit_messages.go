package recording

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"github.com/muktihari/fit/profile/basetype"
	"github.com/muktihari/fit/profile/typedef"
	"github.com/muktihari/fit/profile/untyped/fieldnum"
	"github.com/muktihari/fit/profile/untyped/mesgnum"
	"github.com/muktihari/fit/proto"

	"soletrial/pipeline/units"
)

// messages collects what one FIT sequence says, by column. It is the decoder's
// listener. Names, serial numbers and the profile of the user are in messages
// that it only counts; of positions it keeps that there was one.
type messages struct {
	kind      typedef.File // what the file says it is
	device    deviceKey
	seen      int // data messages handed over, of any kind
	times     []uint32
	untimed   int
	native    [256]series
	positions series
	rolled    packed
	described []description
	developer []series  // as long as described
	used      [][2]byte // index and number of the developer fields of records
	laps      []lapMessage
	sessions  []sessionMessage
	timer     []timerEvent
	zone      *time.Location
	ignored   map[typedef.MesgNum]int
}

func newMessages() *messages {
	return &messages{kind: typedef.FileInvalid, ignored: map[typedef.MesgNum]int{}}
}

// series is one field over the records; it may end before the last record, and
// is missing from there on.
type series []float64

func (s *series) set(i int, v float64) {
	for len(*s) < i {
		*s = append(*s, units.Missing)
	}
	if len(*s) == i {
		*s = append(*s, v)
	}
}

// between copies the samples from lo to hi.
func (s series) between(lo, hi int) []float64 {
	out := make([]float64, hi-lo)
	for i := range out {
		out[i] = units.Missing
		if lo+i < len(s) {
			out[i] = s[lo+i]
		}
	}
	return out
}

// OnMesg takes one message from the decoder.
func (m *messages) OnMesg(message proto.Message) {
	m.seen++
	// What is used is kept, all else is counted, so that a report can name it.
	switch message.Num {
	case mesgnum.Record:
		m.addRecord(&message)
	case mesgnum.Lap:
		m.laps = append(m.laps, newLap(&message))
	case mesgnum.Session:
		m.sessions = append(m.sessions, newSession(&message))
	case mesgnum.FieldDescription:
		m.describe(&message)
	case mesgnum.Event:
		if !m.addEvent(&message) {
			m.ignored[message.Num]++
		}
	case mesgnum.Activity:
		m.addActivity(&message)
	case mesgnum.FileId:
		if kind := fieldNumber(&message, fieldnum.FileIdType); units.Known(kind) {
			m.kind = typedef.File(kind)
		}
		m.device = deviceKey{known(&message, fieldnum.FileIdManufacturer), known(&message, fieldnum.FileIdProduct),
			known(&message, fieldnum.FileIdSerialNumber)}
	case mesgnum.DeveloperDataId:
	default:
		m.ignored[message.Num]++
	}
}

func (m *messages) addRecord(message *proto.Message) {
	at, ok := timestamp(message)
	if !ok {
		m.untimed++
		return
	}
	i := len(m.times)
	m.times = append(m.times, at)
	for f := range message.Fields {
		m.addField(i, &message.Fields[f])
	}
	for f := range message.DeveloperFields {
		m.addDeveloper(i, &message.DeveloperFields[f])
	}
}

func (m *messages) addField(i int, f *proto.Field) {
	switch {
	case f.Num == fieldnum.RecordPositionLat:
		if f.Value.Valid(f.BaseType) {
			m.positions.set(i, 1)
		}
	case f.Num == fieldnum.RecordCompressedSpeedDistance:
		m.addPacked(i, f.Value)
	case wanted[f.Num]:
		if v := number(f.Value, f.BaseType); units.Known(v) {
			m.native[f.Num].set(i, v)
		}
	}
}

// known is a field of a message as a number, 0 where there is none.
func known(message *proto.Message, num byte) float64 {
	if v := fieldNumber(message, num); units.Known(v) {
		return v
	}
	return 0
}

// timestamp returns the time of a message, false when it has none.
func timestamp(message *proto.Message) (uint32, bool) {
	v := message.FieldValueByNum(proto.FieldNumTimestamp)
	return v.Uint32(), v.Type() == proto.TypeUint32 && v.Uint32() != basetype.Uint32Invalid
}

// number returns a single valid number, missing for anything else: an invalid
// value, text, an array.
func number(v proto.Value, base basetype.BaseType) float64 {
	if !v.Valid(base) {
		return units.Missing
	}
	// A decoder gives each base type of the FIT protocol its own method.
	switch v.Type() {
	case proto.TypeInt8:
		return float64(v.Int8())
	case proto.TypeUint8:
		return float64(v.Uint8())
	case proto.TypeInt16:
		return float64(v.Int16())
	case proto.TypeUint16:
		return float64(v.Uint16())
	case proto.TypeInt32:
		return float64(v.Int32())
	case proto.TypeUint32:
		return float64(v.Uint32())
	case proto.TypeInt64:
		return float64(v.Int64())
	case proto.TypeUint64:
		return float64(v.Uint64())
	case proto.TypeFloat32:
		return finite(float64(v.Float32()))
	case proto.TypeFloat64:
		return finite(v.Float64())
	}
	return units.Missing
}

func finite(x float64) float64 {
	if math.IsInf(x, 0) {
		return units.Missing
	}
	return x
}

// ignoredText lists the messages that were only counted, by name and number.
func (m *messages) ignoredText() string {
	kinds := make([]typedef.MesgNum, 0, len(m.ignored))
	for kind := range m.ignored {
		kinds = append(kinds, kind)
	}
	slices.Sort(kinds)
	var text, unknown []string
	for _, kind := range kinds {
		if name := kind.String(); strings.ContainsAny(name, "() ") {
			unknown = append(unknown, fmt.Sprintf("%d (%d)", kind, m.ignored[kind]))
		} else {
			text = append(text, fmt.Sprintf("%s (%d)", strings.ReplaceAll(name, "_", " "), m.ignored[kind]))
		}
	}
	if len(unknown) > 0 {
		text = append(text, "of unknown kind "+strings.Join(unknown, ", "))
	}
	return strings.Join(text, ", ")
}
