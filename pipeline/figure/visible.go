package figure

import (
	"strings"
	"unicode/utf8"

	"soletrial/pipeline/english"
)

// Marks of the Unicode bidirectional algorithm (UAX #9) around a piece of text
// that is laid out by itself.
const (
	isolate    = '\u2068' // first strong isolate
	endIsolate = '\u2069' // pop directional isolate
)

// Visible returns s as it may stand in a page, a figure or a feed, whatever it
// says. U+FFFD stands in place of everything that would not be seen or would
// reorder the text around it: invalid bytes, control characters other than tab
// and line feed, the marks and overrides of writing direction, and zero-width
// spaces. Words that are written from right to left are put between the marks
// that isolate them, so that the numbers beside them stay where they are. What it
// returns is legal in XML 1.0, and is not changed by doing it again.
func Visible(s string) string {
	if isPlainText(s) {
		return s
	}
	// Character by character, or word by word from right to left.
	var b strings.Builder
	for i, after := 0, 0; i < len(s); i = after {
		r, width := utf8.DecodeRuneInString(s[i:])
		after = i + width
		switch {
		case rightToLeft(r):
			after = rightToLeftEnd(s, i)
			b.WriteString(string(isolate) + s[i:after] + string(endIsolate))
		case r == isolate && isolated(s[after:]) > 0:
			after += isolated(s[after:])
			b.WriteString(s[i:after])
		case english.Invisible(r):
			b.WriteRune(utf8.RuneError)
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// isPlainText reports whether [Visible] has nothing to replace or to isolate, as in most texts.
func isPlainText(s string) bool {
	for i := 0; i < len(s); {
		if c := s[i]; c < utf8.RuneSelf {
			if (c < ' ' || c == 0x7f) && english.Invisible(rune(c)) {
				return false
			}
			i++
			continue
		}
		r, width := utf8.DecodeRuneInString(s[i:])
		if r == utf8.RuneError && width == 1 || english.Invisible(r) || rightToLeft(r) {
			return false
		}
		i += width
	}
	return true
}

// plain reports whether a text is of printed ASCII signs only and has none of the
// given ones, as most texts.
func plain(s, but string) bool {
	for i := range len(s) {
		if s[i] < ' ' || s[i] >= 0x7f || strings.IndexByte(but, s[i]) >= 0 {
			return false
		}
	}
	return true
}

// rightToLeft reports whether a character belongs to a script that is written from
// right to left: the blocks that Unicode sets aside for them.
func rightToLeft(r rune) bool {
	switch {
	case r < 0x590 || english.Invisible(r):
		return false
	case r < 0x900, r >= 0xfb1d && r < 0xfe00, r >= 0xfe70 && r < 0xff00:
		return true
	}
	return r >= 0x10800 && r < 0x11000 || r >= 0x1e800 && r < 0x1f000
}

// rightToLeftEnd returns where the words end that begin at from and are written from
// right to left, with what joins them to one name: a blank, a hyphen, an
// apostrophe. What separates names, such as a comma, ends them.
func rightToLeftEnd(s string, from int) int {
	end, joined := from, true
	for i, r := range s[from:] {
		switch {
		case rightToLeft(r):
			end, joined = from+i+utf8.RuneLen(r), true
		case joined && (r == ' ' || r == '-' || r == '\''):
			joined = false
		default:
			return end
		}
	}
	return end
}

// isolated returns how many bytes of s are words written from right to left with
// the mark that ends their isolation; 0 when s does not begin with such words.
func isolated(s string) int {
	r, _ := utf8.DecodeRuneInString(s)
	if !rightToLeft(r) {
		return 0
	}
	end := rightToLeftEnd(s, 0)
	if !strings.HasPrefix(s[end:], string(endIsolate)) {
		return 0
	}
	return end + len(string(endIsolate))
}
