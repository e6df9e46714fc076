package app

import (
	"net/url"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

func TestFragment(t *testing.T) {
	c := AsPublished()
	if c.Fragment() != "" || c.Changed() {
		t.Errorf("nothing chosen gives %q, changed %v", c.Fragment(), c.Changed())
	}
	c = Choice{
		Session: "2026-05-03", Overlaid: []string{"b", "c,d"}, View: [2]float64{60, 90.5},
		Channels: []trial.Channel{trial.PowerW, trial.HeartRateBpm}, Outcome: "cadence",
		Effort: "power", Laps: "whole", Comparisons: true, Title: "a b", Reference: "a&b=c",
		Trim: [TrimCount]float64{90, units.Missing, 0.5}, Drift: "none", Exponent: 0.9,
		Blocks: []BlockChoice{{Session: "2026-05-03", Block: "4", Reason: "wind, a dog"},
			{Session: "2026-05-03", Block: "x/y,z", Included: true}},
	}
	want := "session=2026-05-03&beside=b,c%2Cd&view=60,90.5&channels=power_w,heart_rate_bpm" +
		"&outcome=cadence&effort=power&comparisons=shown&head_s=90&heart_rate_head_s=0.5" +
		"&laps=whole&drift=none&power_exponent=0.9" +
		"&reference=a%26b%3Dc&in=2026-05-03/x%2Fy%2Cz&out=2026-05-03/4/wind%2C%20a%20dog&title=a%20b"
	if got := c.Fragment(); got != want {
		t.Errorf("fragment %q, want %q", got, want)
	}
	if back, unread := ParseFragment(want); len(unread) > 0 || !back.Equal(c) {
		t.Errorf("reading it gives %q, unread %q", back.Fragment(), unread)
	}
}

func TestParseFragmentLeavesOutWhatItCannotRead(t *testing.T) {
	for _, part := range []string{"head_s=-1", "head_s=abc", "head_s=", "head_s=1e3", "tail_s=86401", "channels=power",
		"channels=", "outcome=joy", "out=x", "out=/1", "out=s/", "in=s/1,s/1", "colour=red", "session=", "reference=",
		"drift=some", "laps=half", "effort=joy", "plain=",
		"power_exponent=-1", "power_exponent=9", "view=5", "view=9,5", "="} {
		c, unread := ParseFragment("tail_s=30&" + part)
		if len(unread) != 1 || c.Fragment() != "tail_s=30" {
			t.Errorf("%q: unread %q, choice %q", part, unread, c.Fragment())
		}
	}
	if c, unread := ParseFragment("&&tail_s=30&"); len(unread) != 0 || c.Trim[TrimEnd] != 30 {
		t.Errorf("empty parts are not passed over: %q", unread)
	}
}

// The standard library's percent-encoding is the oracle (RFC 3986, section 2).
func TestEscapeAgreesWithNetURL(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.String().Draw(t, "text")
		got := escape(text)
		back, err := url.PathUnescape(got)
		if err != nil || back != text || unescape(got) != text || strings.ContainsAny(got, "&=,/# ") {
			t.Fatalf("%q is written %q and read as %q, %v", text, got, back, err)
		}
	})
}

func TestFragmentsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.StringN(1, 8, -1)
		c := AsPublished()
		c.Session, c.Reference = rapid.String().Draw(t, "session"), rapid.String().Draw(t, "reference")
		for p := range TrimCount {
			if rapid.Bool().Draw(t, "cut") {
				c.Trim[p] = units.Round(rapid.Float64Range(0, maxTrim).Draw(t, "seconds"), 3)
			}
		}
		for channel := range trial.ChannelCount {
			c.Channels = withChannel(c.Channels, channel, rapid.Bool().Draw(t, "channel"))
		}
		for range rapid.IntRange(0, 5).Draw(t, "flips") {
			in := rapid.Bool().Draw(t, "in")
			c = c.withBlock(
				BlockChoice{name.Draw(t, "in session"), name.Draw(t, "block"), in, clipReason(name.Draw(t, "reason"))},
				!in)
		}
		back, unread := ParseFragment(c.Fragment())
		if len(unread) > 0 || !back.Equal(c) || len(back.Blocks) != len(c.Blocks) {
			t.Fatalf("%q reads as %q, unread %q", c.Fragment(), back.Fragment(), unread)
		}
	})
}

// Whatever stands in an address, reading it ends, and what was read is written
// in a form that reads the same.
func FuzzParseFragment(f *testing.F) {
	seeds := []string{"", "head_s=90", "session=a&out=a/1,a/2&in=b/%2F", "channels=power_w,speed_mps&outcome=speed",
		"%%%&=&==&in=,,/", "head_s=90&head_s=91", "reference=%E2%80%AE"}
	for _, seed := range seeds {
		f.Add(seed)
	}
	if len(seeds) != 7 {
		f.Fatalf("%d seeds", len(seeds))
	}
	f.Fuzz(func(t *testing.T, text string) {
		c, _ := ParseFragment(text)
		back, unread := ParseFragment(c.Fragment())
		if len(unread) > 0 || !back.Equal(c) {
			t.Fatalf("%q reads as %q, which reads as %q, unread %q", text, c.Fragment(), back.Fragment(), unread)
		}
	})
}
