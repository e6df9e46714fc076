package cli

import (
	"encoding/binary"
	"fmt"
	"strings"
	"testing"

	"soletrial/pipeline/trial"
)

// message is one message of a FIT file as [fields] reads it: its number and its fields.
type message struct {
	number uint16
	fields map[byte][]byte
}

// decodeFIT is a second decoder, written for this test after the description of the
// FIT protocol: header of 14 bytes, little-endian definition and data messages without
// developer fields, CRC.
func decodeFIT(t *testing.T, file []byte) (messages []message) {
	t.Helper()
	size := int(binary.LittleEndian.Uint32(file[4:8]))
	if file[0] != 14 || string(file[8:12]) != ".FIT" || len(file) != 14+size+2 {
		t.Fatalf("header %x of a file of %d bytes", file[:14], len(file))
	}
	if crc := fitCRC(file[:len(file)-2]); crc != binary.LittleEndian.Uint16(file[len(file)-2:]) {
		t.Fatalf("CRC %04x", crc)
	}
	type definition struct {
		number uint16
		fields [][2]byte // number and size
	}
	definitions := map[byte]definition{}
	for at := 14; at < 14+size; {
		header := file[at]
		at++
		if header&0x40 != 0 {
			d := definition{number: binary.LittleEndian.Uint16(file[at+2:])}
			n := int(file[at+4])
			for i := range n {
				d.fields = append(d.fields, [2]byte{file[at+5+3*i], file[at+6+3*i]})
			}
			definitions[header&0x0F] = d
			at += 5 + 3*n
			continue
		}
		d := definitions[header&0x0F]
		m := message{d.number, map[byte][]byte{}}
		for _, f := range d.fields {
			m.fields[f[0]] = file[at : at+int(f[1])]
			at += int(f[1])
		}
		messages = append(messages, m)
	}
	return messages
}

// fitCRC is the CRC-16 of the FIT protocol, by its table of 16 words.
func fitCRC(b []byte) uint16 {
	table := [16]uint16{0x0000, 0xCC01, 0xD801, 0x1400, 0xF001, 0x3C00, 0x2800, 0xE401,
		0xA001, 0x6C00, 0x7800, 0xB401, 0x5000, 0x9C01, 0x8801, 0x4400}
	crc := uint16(0)
	for _, c := range b {
		for _, nibble := range []byte{c & 0xF, c >> 4} {
			crc = crc>>4&0x0FFF ^ table[crc&0xF] ^ table[nibble]
		}
	}
	return crc
}

// The numbers are those of the FIT profile: message 26 is a workout (field 6: steps),
// 27 a step (0 name, 1 duration type, 2 duration, 3 target type, 5 and 6 the range, 7
// intensity); duration types 0 time and 5 open; targets 0 speed, 1 heart rate, 2 open
// and 4 power; intensities 0 active, 1 rest, 2 warm-up and 3 cool-down.
func TestWorkoutByASecondDecoder(t *testing.T) {
	for _, c := range []struct{ effort, target, want string }{
		{"power", "268", "4 1260-1276"},    // 1000 + 268 W less and more 3 %
		{"heart_rate", "154", "1 249-259"}, // 100 + 154 bpm
		{"pace", "4:10", "0 3880-4120"},    // 4 m/s in mm/s
		{"pace", "5:00", "0 3233-3433"},    // 3.333 m/s
		{"heart_rate", "160", "1 255-265"}, // 100 + 160 bpm
		{"power", "250.5", "4 1243-1258"},  // decimals are rounded
	} {
		s := &trial.Session{ID: "2026-05-02", Facts: trial.SessionFacts{Date: "2026-05-02"}, Plan: &trial.PlanFacts{
			Order: []string{"blue", "grey"}, Effort: c.effort, Target: c.target, BlockS: 360, RestS: 120, WarmUpS: 600}}
		text, err := workout(s, strings.ToUpper)
		if err != nil {
			t.Fatal(err)
		}
		var steps []string
		for _, m := range decodeFIT(t, text) {
			number := func(f byte) uint32 {
				switch v := m.fields[f]; len(v) {
				case 1:
					return uint32(v[0])
				case 2:
					return uint32(binary.LittleEndian.Uint16(v))
				case 4:
					return binary.LittleEndian.Uint32(v)
				}
				return 1<<32 - 1
			}
			switch m.number {
			case 0:
				if number(0) != 5 {
					t.Errorf("file type %d, want 5, a workout", number(0))
				}
			case 26:
				if number(6) != 6 {
					t.Errorf("%d steps, want 6", number(6))
				}
			case 27:
				name, _, _ := strings.Cut(string(m.fields[0]), "\x00")
				step := fmt.Sprintf("%s %d %d %d", name, number(1), number(7), number(3))
				if number(3) != 2 {
					step = fmt.Sprintf("%s %d %d %dms %d %d-%d",
						name, number(1), number(7), number(2), number(3), number(5), number(6))
				}
				steps = append(steps, step)
			}
		}
		want := []string{
			"warm-up 0 2 2", "put on BLUE 5 1 2", "block 1: BLUE 0 0 360000ms " + c.want, "put on GREY 5 1 2",
			"block 2: GREY 0 0 360000ms " + c.want, "cool-down 5 3 2",
		}
		if strings.Join(steps, "; ") != strings.Join(want, "; ") {
			t.Errorf("%s %s:\n got %q\nwant %q", c.effort, c.target, steps, want)
		}
	}
}
