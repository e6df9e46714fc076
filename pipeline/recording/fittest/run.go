// Package fittest encodes FIT files of invented runs, for tests. Nothing in them
// was measured: nobody ran them, and the sport message calls them invented.
package fittest

import (
	"bytes"
	"fmt"
	"time"

	"github.com/muktihari/fit/encoder"
	"github.com/muktihari/fit/kit/datetime"
	"github.com/muktihari/fit/profile/mesgdef"
	"github.com/muktihari/fit/profile/typedef"
	"github.com/muktihari/fit/proto"
)

// Spec describes an interval run. The zero value is four blocks of 300 s with
// rests of 60 s, power from a developer field.
type Spec struct {
	Start               time.Time // 2026-05-01 17:30:00 UTC when zero
	Blocks              int
	BlockS, RestS       int // 300 and 60 when zero
	WarmUpS             int // one lap before the blocks
	NativePower         bool
	NoPower             bool
	NoDynamics          bool            // leave out step length, contact and oscillation
	Positions           bool            // a position in every record
	From                [2]int32        // where the first is, in semicircles; the planted place where it is zero
	Serial              uint32          // the device's serial number
	Owner               string          // the user's name
	Sport               typedef.Sport   // running when zero
	BigEndian           bool            // byte order of the messages
	CompressedTimestamp bool            // times in the message headers
	Steps               []int           // of a workout, from 0, that the laps were; none when empty
	More                []proto.Message // put before the records
}

// Truth is what one record of the run says, in the units of the samples.
type Truth struct {
	Power, Speed, Distance, Cadence, StepLength, Contact, Oscillation, HeartRate float64
	Resting                                                                      bool
}

// Run encodes the run that spec describes.
func Run(spec Spec) []byte {
	spec = spec.withDefaults()
	var options []encoder.Option
	if spec.BigEndian {
		options = append(options, encoder.WithBigEndian())
	}
	if spec.CompressedTimestamp {
		options = append(options, encoder.WithHeaderOption(encoder.HeaderOptionCompressedTimestamp, 3))
	}
	return Encode(spec.messages(), options...)
}

// Encode encodes messages as they are.
func Encode(messages []proto.Message, options ...encoder.Option) []byte {
	var out bytes.Buffer
	options = append([]encoder.Option{encoder.WithProtocolVersion(proto.V2), encoder.WithMessageValidator(anything{})},
		options...)
	if err := encoder.New(&out, options...).Encode(&proto.FIT{Messages: messages}); err != nil {
		panic(fmt.Sprintf("fittest: %v", err)) // what cannot be encoded is a mistake in a test
	}
	return out.Bytes()
}

// anything accepts every message as it is: the standard validator would rescale
// developer fields that claim to stand for native ones, as real files do not.
type anything struct{}

func (anything) Validate(*proto.Message) error { return nil }
func (anything) Reset()                        {}

func (s Spec) withDefaults() Spec {
	if s.Start.IsZero() {
		s.Start = time.Date(2026, 5, 1, 17, 30, 0, 0, time.UTC)
	}
	if s.Blocks == 0 {
		s.Blocks = 4
	}
	if s.BlockS == 0 {
		s.BlockS = 300
	}
	if s.RestS == 0 {
		s.RestS = 60
	}
	if s.Sport == 0 {
		s.Sport = typedef.SportRunning
	}
	return s
}

// Truths gives what the records of the run say, one for each second.
func (s Spec) Truths() []Truth {
	s = s.withDefaults()
	var all []Truth
	distance := 0.0
	for _, l := range s.laps() {
		for i := range l.seconds {
			t := l.truth(i)
			t.Distance = distance
			distance += t.Speed
			all = append(all, t)
		}
	}
	return all
}

// lap is a stretch of the run; block is -1 for the warm-up.
type lap struct {
	block, seconds int
	rest           bool
}

func (s Spec) laps() []lap {
	var laps []lap
	if s.WarmUpS > 0 {
		laps = append(laps, lap{block: -1, seconds: s.WarmUpS})
	}
	for b := range s.Blocks {
		laps = append(laps, lap{block: b, seconds: s.BlockS})
		if b+1 < s.Blocks {
			laps = append(laps, lap{block: b, seconds: s.RestS, rest: true})
		}
	}
	return laps
}

// truth invents second i of a lap. Every value is a whole number of the unit in
// which FIT stores it, so that nothing is rounded on the way.
func (l lap) truth(i int) Truth {
	if l.rest {
		return Truth{Speed: 0, Power: 0, Cadence: 0, HeartRate: float64(max(110, 160-i/2)), Resting: true}
	}
	ripple := float64(i*7%11 - 5)
	t := Truth{
		Power: 280 + ripple, Speed: 4 + 0.05*float64(l.block) + ripple/100, Cadence: 176 + float64(i%3),
		Contact: 225 + ripple, Oscillation: 8 + ripple/20, HeartRate: float64(min(165, 130+i/3)),
	}
	if l.block < 0 {
		t.Speed, t.Power = t.Speed-1.2, t.Power-90
	}
	t.StepLength = float64(int(t.Speed*60/t.Cadence*1000)) / 1000
	return t
}

func (s Spec) messages() []proto.Message {
	fileID := mesgdef.NewFileId(nil).SetType(typedef.FileActivity).SetTimeCreated(s.Start).
		SetManufacturer(typedef.ManufacturerDevelopment).SetSerialNumber(s.Serial)
	all := []proto.Message{
		fileID.ToMesg(nil),
		mesgdef.NewSport(nil).SetSport(s.Sport).SetName("invented interval run").ToMesg(nil),
	}
	if s.Owner != "" {
		all = append(all, mesgdef.NewUserProfile(nil).SetFriendlyName(s.Owner).SetWeight(700).ToMesg(nil))
	}
	all = append(all, s.descriptions()...)
	all = append(all, s.More...)
	all = append(all, s.records()...)
	return append(all, s.summaries()...)
}

// at is the time of second i, in the FIT count.
func (s Spec) at(i int) uint32 { return datetime.ToUint32(s.Start) + uint32(i) }
