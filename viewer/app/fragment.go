package app

import (
	"slices"
	"strings"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// The keys of a fragment, in the order they are written.
const (
	keySession   = "session"
	keyOverlaid  = "beside"
	keyView      = "view"
	keyChannels  = "channels"
	keyOutcome   = "outcome"
	keyEffort    = "effort"
	keyPlain     = "comparisons"
	keyTitle     = "title"
	keyLaps      = "laps"
	keyDrift     = "drift"
	keyExponent  = "power_exponent"
	keyReference = "reference"
	keyIn        = "in"
	keyOut       = "out"
	keyUnits     = "units"
)

// Fragment writes c as the part of an address after the #, such as
// "session=2026-05-03&head_s=90&out=2026-05-03/4". Nothing chosen gives "".
// Parts of names that could be mistaken for the signs in between are written
// with percent signs, as RFC 3986 has it.
func (c Choice) Fragment() string {
	var parts []string
	add := func(key string, values ...string) {
		if text := strings.Join(values, ","); text != "" {
			parts = append(parts, key+"="+text)
		}
	}
	add(keySession, escape(c.Session))

	// What is shown.
	var beside, channels []string
	for _, session := range c.Overlaid {
		beside = append(beside, escape(session))
	}
	add(keyOverlaid, beside...)
	if units.Known(c.View[0]) {
		add(keyView, FormatSeconds(c.View[0]), FormatSeconds(c.View[1]))
	}
	for _, channel := range c.Channels {
		channels = append(channels, channel.Info().Column)
	}
	add(keyChannels, channels...)
	add(keyOutcome, escape(c.Outcome))
	add(keyEffort, escape(string(c.Effort)))
	if c.Comparisons {
		add(keyPlain, shown)
	}

	// What changes the analysis.
	for p := range TrimCount {
		add(p.Key(), FormatSeconds(c.Trim[p]))
	}
	add(keyLaps, c.Laps)
	add(keyDrift, c.Drift)
	add(keyExponent, FormatSeconds(c.Exponent))
	add(keyReference, escape(c.Reference))
	add(keyIn, c.blockNames(true)...)
	add(keyOut, c.blockNames(false)...)
	if c.Imperial {
		add(keyUnits, imperial)
	}
	add(keyTitle, escape(c.Title))
	return strings.Join(parts, "&")
}

func (c Choice) blockNames(in bool) []string {
	var names []string
	for _, f := range c.Blocks {
		if f.Included == in {
			name := escape(f.Session) + "/" + escape(f.Block)
			if f.Reason != "" {
				name += "/" + escape(f.Reason)
			}
			names = append(names, name)
		}
	}
	return names
}

// FormatSeconds writes a length in seconds without needless decimals; "" if missing.
func FormatSeconds(s float64) string {
	text := units.FormatDecimal(s, 3)
	if strings.Contains(text, ".") {
		text = strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
	}
	return text
}

// ParseFragment reads what [Choice.Fragment] writes. What it cannot read it
// leaves out and names in unread, since a link may have been cut off or come
// from another version of the explorer.
func ParseFragment(text string) (c Choice, unread []string) {
	c = AsPublished()
	for _, part := range strings.Split(text, "&") {
		key, value, _ := strings.Cut(part, "=")
		if before := c; part != "" && !c.set(key, value) {
			c = before
			unread = append(unread, unescape(part))
		}
	}
	sortBlockChoices(c.Blocks)
	return c, unread
}

func (c *Choice) set(key, value string) bool {
	// The parts of the steady window, in seconds.
	if p, ok := trimPartNamed(key); ok {
		cut, err := units.ParseDecimal(value)
		if err != nil || cut < 0 || cut > maxTrim {
			return false
		}
		c.Trim[p] = units.Round(cut, 3)
		return true
	}
	// All else; false for what no choice can be.
	switch key {
	case keySession:
		c.Session = unescape(value)
	case keyOutcome:
		_, known := trial.OutcomeNamed(value)
		c.Outcome = value
		return known
	case keyReference:
		c.Reference = unescape(value)
	case keyEffort:
		c.Effort = trial.Effort(unescape(value))
		return slices.Contains(trial.Efforts, c.Effort)
	case keyPlain:
		c.Comparisons = value == shown
		return c.Comparisons
	case keyTitle:
		c.Title = clipTitle(unescape(value))
	case keyLaps:
		c.Laps = value
		return value == trial.WholeLaps || value == Seconds
	case keyDrift:
		c.Drift = value
		return value == trial.DriftLinear || value == trial.DriftNone
	case keyExponent:
		exponent, ok := parseExponent(value)
		c.Exponent = exponent
		return ok
	case keyView:
		return c.setView(value)
	case keyUnits:
		c.Imperial = value == imperial
		return c.Imperial
	case keyOverlaid:
		for _, id := range strings.Split(value, ",") {
			c.Overlaid = append(c.Overlaid, unescape(id))
		}
	case keyChannels:
		return c.setChannels(value)
	case keyIn, keyOut:
		return c.setBlocks(value, key == keyIn)
	default:
		return false
	}
	return value != ""
}

func (c *Choice) setChannels(value string) bool {
	for _, column := range strings.Split(value, ",") {
		channel, ok := trial.ChannelNamed(column)
		if !ok {
			return false
		}
		c.Channels = withChannel(c.Channels, channel, true)
	}
	return true
}

func (c *Choice) setBlocks(value string, in bool) bool {
	for _, name := range strings.Split(value, ",") {
		session, block, ok := strings.Cut(name, "/")
		block, reason, _ := strings.Cut(block, "/")
		f := BlockChoice{unescape(session), unescape(block), in, clipReason(unescape(reason))}
		if !ok || f.Session == "" || f.Block == "" || c.BlockChoice(f.Session, f.Block) != nil {
			return false
		}
		c.Blocks = append(c.Blocks, f)
	}
	return true
}

func (c *Choice) setView(value string) bool {
	from, to, _ := strings.Cut(value, ",")
	a, errFrom := units.ParseDecimal(from)
	b, errTo := units.ParseDecimal(to)
	if errFrom != nil || errTo != nil || !(a >= 0 && b > a) {
		return false
	}
	c.View = [2]float64{units.Round(a, 3), units.Round(b, 3)}
	return true
}

// shown is how the address asks for the comparisons without assumptions.
const shown = "shown"

const hex = "0123456789ABCDEF"

// escape leaves what RFC 3986 calls unreserved and writes the rest as %XX.
func escape(text string) string {
	var b strings.Builder
	for i := range len(text) {
		c := text[i]
		if c-'a' < 26 || c-'A' < 26 || c-'0' < 10 || strings.IndexByte("-._~", c) >= 0 {
			b.WriteByte(c)
			continue
		}
		b.WriteByte('%')
		b.WriteByte(hex[c>>4])
		b.WriteByte(hex[c&15])
	}
	return b.String()
}

// unescape undoes escape; a percent sign that starts no %XX stands for itself.
func unescape(text string) string {
	var b strings.Builder
	for i := 0; i < len(text); i++ {
		if text[i] == '%' && i+2 < len(text) {
			high, low := strings.IndexByte(hex, upper(text[i+1])), strings.IndexByte(hex, upper(text[i+2]))
			if high >= 0 && low >= 0 {
				b.WriteByte(byte(high<<4 | low))
				i += 2
				continue
			}
		}
		b.WriteByte(text[i])
	}
	return b.String()
}

func upper(c byte) byte {
	if c-'a' < 26 {
		return c - 'a' + 'A'
	}
	return c
}
