package recording_test

import (
	"encoding/binary"
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/muktihari/fit/kit/hash/crc16"
	"github.com/muktihari/fit/profile/mesgdef"
	"github.com/muktihari/fit/profile/typedef"
	"github.com/muktihari/fit/proto"

	"soletrial/pipeline/recording"
	"soletrial/pipeline/recording/fittest"
)

func crc(b []byte) uint16 {
	h := crc16.New()
	_, _ = h.Write(b)
	return h.Sum16()
}

// reheaded gives the messages of src a header of the given size and the length
// that it is to promise (-1: the true one), with a sound CRC at the end.
func reheaded(src []byte, size, promise int) []byte {
	body := src[src[0] : len(src)-2]
	if promise < 0 {
		promise = len(body)
	}
	head := []byte{byte(size), 0x20, 0, 0, 0, 0, 0, 0, '.', 'F', 'I', 'T', 0, 0}[:size]
	binary.LittleEndian.PutUint32(head[4:], uint32(promise))
	out := append(head, body...)
	return binary.LittleEndian.AppendUint16(out, crc(out))
}

func joined(list []string) string { return strings.Join(list, "; ") }

// Headers of 12 bytes and header CRCs of 0 are legal (FIT protocol); the library
// takes them for damage, so they must not raise a warning here.
func TestFITHeadersAndEnds(t *testing.T) {
	run := fittest.Run(fittest.Spec{Blocks: 1, BlockS: 120})
	wrong := append([]byte(nil), run...)
	wrong[len(wrong)-1] ^= 0xFF
	wrongHeader := append([]byte(nil), run...)
	wrongHeader[12] ^= 0x55
	for _, c := range []struct {
		name             string
		src              []byte
		warning, dropped string
	}{
		{"as encoded", run, "", ""},
		{"12-byte header", reheaded(run, 12, -1), "", ""},
		{"header CRC 0", reheaded(run, 14, -1), "", ""},
		{"no length in the header", reheaded(run, 14, 0), "not closed properly", ""},
		{"wrong CRC", wrong, "wrong CRC: the file says", ""},
		{"wrong header CRC", wrongHeader, "wrong CRC of the header", ""},
		{"padded with zeros", append(append([]byte(nil), run...), make([]byte, 512)...), "", "512 bytes of padding"},
		{"text behind", append(append([]byte(nil), run...), "hello"...), "5 bytes after the end", ""},
		{"without its CRC", run[:len(run)-2], "the CRC at its end is missing", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			imp := mustRead(t, "run.fit", c.src, recording.Options{})
			if imp.Samples.Len() != 120 {
				t.Errorf("%d samples, want 120", imp.Samples.Len())
			}
			if got := joined(imp.Warnings); c.warning == "" && got != "" || !strings.Contains(got, c.warning) {
				t.Errorf("warnings %q, want %q", got, c.warning)
			}
			if got := joined(imp.Dropped); !strings.Contains(got, c.dropped) {
				t.Errorf("dropped %q, want %q", got, c.dropped)
			}
		})
	}
}

// A file cut anywhere gives a prefix of the samples and says how much is unread,
// or an error when not one sample is whole.
func TestFITCutOff(t *testing.T) {
	run := fittest.Run(fittest.Spec{Blocks: 1, BlockS: 120})
	whole := mustRead(t, "run.fit", run, recording.Options{})
	last := 0
	for n := 0; n < len(run); n += 7 {
		imp, err := recording.Read("run.fit", run[:n], recording.Options{})
		var ours *recording.Error
		if err != nil {
			if !errors.As(err, &ours) || ours.Hint == "" {
				t.Fatalf("cut at %d: %v is no *recording.Error with a hint", n, err)
			}
			if last > 0 {
				t.Fatalf("cut at %d: %v, although a shorter file gave %d samples", n, err, last)
			}
			continue
		}
		if imp.Samples.Len() < last || imp.Samples.Len() > whole.Samples.Len() {
			t.Fatalf("cut at %d: %d samples after %d", n, imp.Samples.Len(), last)
		}
		last = imp.Samples.Len()
		if got := joined(imp.Warnings); !strings.Contains(got, fmt.Sprintf("the file has %d", n-14)) &&
			!strings.Contains(got, "CRC at its end is missing") {
			t.Fatalf("cut at %d: warnings %q do not say how much there is", n, got)
		}
		for i, want := range whole.Samples.Elapsed[:last] {
			if imp.Samples.Elapsed[i] != want || imp.Samples.Values[0][i] != whole.Samples.Values[0][i] {
				t.Fatalf("cut at %d: sample %d differs", n, i)
			}
		}
	}
	if last != 120 {
		t.Errorf("the longest cut gave %d samples, want all 120", last)
	}
}

func TestFITUnreadBytesAreCounted(t *testing.T) {
	run := fittest.Run(fittest.Spec{Blocks: 1, BlockS: 120})
	half := len(run) / 2
	imp := mustRead(t, "run.fit", run[:half], recording.Options{})
	if got := joined(imp.Warnings); !strings.Contains(got, "an incomplete message; the ") ||
		!strings.Contains(got, " bytes from there on are unread") {
		t.Errorf("warnings %q", got)
	}
	damaged := append([]byte(nil), run...)
	damaged[half] = 0x0F // the header of a message of a kind that was never defined, or part of a value
	for i := half; i < half+80; i++ {
		damaged[i] = 0x0F
	}
	imp = mustRead(t, "run.fit", damaged, recording.Options{})
	if got := joined(imp.Warnings); !strings.Contains(got, "wrong CRC") || !strings.Contains(got, "never defined") ||
		imp.Samples.Len() == 0 || imp.Samples.Len() >= 120 {
		t.Errorf("%d samples, warnings %q", imp.Samples.Len(), got)
	}
}

func TestFITChained(t *testing.T) {
	run := fittest.Run(fittest.Spec{Blocks: 1, BlockS: 120})
	ride := fittest.Run(fittest.Spec{
		Blocks: 1, BlockS: 60, Sport: 2, NativePower: true,
	}) // 2 is cycling in the FIT profile
	both := append(append([]byte(nil), ride...), run...)
	imp := mustRead(t, "both.fit", both, recording.Options{})
	if imp.Samples.Len() != 120 ||
		!strings.Contains(joined(imp.Warnings),
			"2 sessions (1 cycling, 60 samples; 2 running, 120 samples); number 2 was read") {
		t.Errorf("%d samples, warnings %q", imp.Samples.Len(), imp.Warnings)
	}
	if !strings.Contains(joined(imp.Warnings), "; take another with --part N") {
		t.Errorf("no way to another part in %q", imp.Warnings)
	}
	short := fittest.Run(fittest.Spec{Blocks: 1, BlockS: 30})
	if imp = mustRead(t, "all.fit", append(append([]byte(nil), short...), both...),
		recording.Options{}); imp.Samples.Len() !=
		120 {
		t.Errorf("%d samples of the short run, the ride and the long run; want 120 of the long run", imp.Samples.Len())
	}
	imp = mustRead(t, "both.fit", both, recording.Options{Part: 1})
	if imp.Samples.Len() != 60 || !strings.Contains(joined(imp.Doubts), "as cycling, not as running") {
		t.Errorf("part 1: %d samples, doubts %q", imp.Samples.Len(), imp.Doubts)
	}
	if _, err := recording.Read("both.fit", both, recording.Options{Part: 3}); err == nil ||
		!strings.Contains(err.Error(), "no session 3") {
		t.Errorf("part 3: %v", err)
	}
}

// Two sessions in one sequence, as a watch writes when the sport is changed.
func TestFITSessions(t *testing.T) {
	start := time.Date(2026, 5, 1, 17, 30, 0, 0, time.UTC)
	ride := mesgdef.NewSession(nil).SetStartTime(start.Add(300 * time.Second)).SetSport(typedef.SportCycling).
		ToMesg(nil)
	src := fittest.Run(fittest.Spec{Blocks: 2, More: []proto.Message{ride}}) // laps at 0, 300 and 360 s
	imp := mustRead(t, "run.fit", src, recording.Options{})
	if imp.Samples.Len() != 300 || len(imp.Laps) != 1 || !imp.Start.Equal(start) {
		t.Errorf("session 1: %d samples and %d laps from %v, want 300 and 1",
			imp.Samples.Len(), len(imp.Laps), imp.Start)
	}
	imp = mustRead(t, "run.fit", src, recording.Options{Part: 2})
	if imp.Samples.Len() != 360 || len(imp.Laps) != 2 || imp.Laps[1].StartS != 60 ||
		!imp.Start.Equal(start.Add(300*time.Second)) {
		t.Errorf("session 2: %d samples from %v, laps %+v, want 360 and a lap at 60 s",
			imp.Samples.Len(), imp.Start, imp.Laps)
	}
}

// What damage keeps from being read is a share of the whole file: behind one
// place, between two, or after the end.
func TestFITUnreadShare(t *testing.T) {
	run := fittest.Run(fittest.Spec{Blocks: 1, BlockS: 600})
	if imp := mustRead(t, "run.fit", run, recording.Options{}); imp.Unread != 0 {
		t.Errorf("%v of a whole file is unread", imp.Unread)
	}
	for _, share := range []float64{0.25, 0.6} {
		cut := append([]byte(nil), run...)
		for i := len(run) - int(share*float64(len(run))); i < len(cut); i++ {
			cut[i] = 0x0F // a kind of message that was never defined
		}
		if imp := mustRead(t, "run.fit", cut, recording.Options{}); imp.Unread < share-0.02 || imp.Unread > share+0.02 {
			t.Errorf("%v is unread, want about %v", imp.Unread, share)
		}
		tail := append(append([]byte(nil), run...), make([]byte, int(share/(1-share)*float64(len(run))))...)
		tail[len(tail)-1] = 1 // no padding
		if imp := mustRead(t, "run.fit", tail, recording.Options{}); imp.Unread < share-0.001 ||
			imp.Unread > share+0.001 || imp.Samples.Len() != 600 {
			t.Errorf("with a tail: %v is unread, want about %v; %d samples", imp.Unread, share, imp.Samples.Len())
		}
	}
}
