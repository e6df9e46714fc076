package plaintext

import (
	"strconv"
	"unicode/utf16"
	"unicode/utf8"
)

// escapes are the letters that JSON lets stand for a character after a
// backslash (RFC 8259, section 7), apart from u.
var escapes = map[byte]byte{'"': '"', '\\': '\\', '/': '/', 'b': '\b', 'f': '\f', 'n': '\n', 'r': '\r', 't': '\t'}

// quoted reads a quoted text at the offset; ok is false when there is none, with
// the offset where it breaks off.
func (p *jsonParser) quoted() (text string, ok bool) {
	if p.offset >= len(p.text) || p.text[p.offset] != '"' {
		return "", false
	}
	var out []byte
	for p.offset++; p.offset < len(p.text); {
		c := p.text[p.offset]
		switch {
		case c == '"':
			p.offset++
			return string(out), true
		case c < ' ':
			return "", false
		case c != '\\':
			out = append(out, c)
			p.offset++
		default:
			if out, ok = p.escape(out); !ok {
				return "", false
			}
		}
	}
	return "", false
}

// escape reads what a backslash stands for.
func (p *jsonParser) escape(out []byte) ([]byte, bool) {
	rest := p.text[p.offset+1:]
	if len(rest) == 0 {
		return out, false
	}
	if c, found := escapes[rest[0]]; found {
		p.offset += 2
		return append(out, c), true
	}
	first, ok := hexUnit(p.text[p.offset:])
	if !ok {
		return out, false
	}
	p.offset += 6
	if second, ok := hexUnit(p.text[p.offset:]); ok && utf16.IsSurrogate(first) {
		if pair := utf16.DecodeRune(first, second); pair != utf8.RuneError {
			p.offset += 6
			return utf8.AppendRune(out, pair), true
		}
	}
	return utf8.AppendRune(out, first), true // half a pair becomes U+FFFD
}

// hexUnit reads \uXXXX from the front of text.
func hexUnit(text []byte) (rune, bool) {
	if len(text) < 6 || text[0] != '\\' || text[1] != 'u' {
		return 0, false
	}
	unit, err := strconv.ParseUint(string(text[2:6]), 16, 16)
	return rune(unit), err == nil
}

// appendString appends text in JSON's quotes: the quote, the backslash and the
// control characters are escaped, everything else stands as it is.
func appendString(dst []byte, text string) []byte {
	const hex = "0123456789abcdef"
	dst = append(dst, '"')
	for i := range len(text) {
		switch c := text[i]; {
		case c == '"' || c == '\\':
			dst = append(dst, '\\', c)
		case c == '\n':
			dst = append(dst, '\\', 'n')
		case c < ' ':
			dst = append(dst, '\\', 'u', '0', '0', hex[c>>4], hex[c&15])
		default:
			dst = append(dst, c)
		}
	}
	return append(dst, '"')
}
