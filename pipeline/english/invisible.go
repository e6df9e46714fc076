package english

// Invisible reports whether a character would not be seen in a text, or would reorder the
// text around it: control characters other than tab and line feed, the marks and
// overrides of writing direction (UAX #9), zero-width spaces, and what is no character.
func Invisible(r rune) bool {
	switch {
	case r == '\t', r == '\n':
		return false
	case r < 0x20, r >= 0x7f && r < 0xa0:
		return true
	case r == 0x061c, r == 0x200b, r == 0x200e, r == 0x200f, r >= 0x2028 && r <= 0x202e, r >= 0x2060 && r <= 0x206f:
		return true
	}
	return r == 0xfeff || r&0xfffe == 0xfffe
}
