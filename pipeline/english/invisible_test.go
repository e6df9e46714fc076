package english

import "testing"

// The characters by name in the Unicode Character Database.
func TestInvisible(t *testing.T) {
	for _, r := range []rune{0x00, 0x1b, 0x7f, 0x85 /* next line */, 0x061c, /* Arabic letter mark */
		0x200b /* zero width space */, 0x200e /* left-to-right mark */, 0x200f, 0x2028, /* line separator */
		0x202e /* right-to-left override */, 0x2060 /* word joiner */, 0x2066, 0xfeff, /* zero width no-break space */
		0xfffe, 0x1ffff} {
		if !Invisible(r) {
			t.Errorf("%U is seen", r)
		}
	}
	for _, r := range []rune{'\t', '\n', ' ', 'a', 0xa0 /* no-break space */, 0xe9,
		0x200c, /* zero width non-joiner: Persian */
		0x200d /* zero width joiner: emoji */, 0x2010, 0x05d0, 0x1f45f} {
		if Invisible(r) {
			t.Errorf("%U is not seen", r)
		}
	}
}
