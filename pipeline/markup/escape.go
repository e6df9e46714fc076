package markup

import (
	"encoding/json"
	"fmt"
	"reflect"
	"strconv"
	"strings"
)

// HTML is text that is written into a page unchanged.
type HTML string

// Writer is a value that writes its own HTML.
type Writer interface {
	WriteHTML(b *strings.Builder) error
}

// Escape writes text so that none of its signs means something in HTML, be it between tags or
// in a quoted attribute. The plus sign is escaped because UTF-7 once made it dangerous.
func Escape(b *strings.Builder, text string) {
	if !strings.ContainsAny(text, "\x00\"&'+<>") {
		b.WriteString(text)
		return
	}
	escapes.WriteString(b, text) // a strings.Builder takes everything
}

var escapes = strings.NewReplacer("\x00", "\uFFFD", `"`, "&#34;", "&", "&amp;", "'", "&#39;", "+", "&#43;",
	"<", "&lt;", ">", "&gt;")

// printer writes a value in the place of an action.
type printer func(b *strings.Builder, v reflect.Value) error

// writeText is the printer between tags: HTML and what writes itself as they are, all else escaped.
func writeText(b *strings.Builder, v reflect.Value) error {
	if v.IsValid() && v.CanInterface() {
		switch known := v.Interface().(type) {
		case HTML:
			b.WriteString(string(known))
			return nil
		case Writer:
			return known.WriteHTML(b)
		}
	}
	return writePlain(b, v)
}

// writePlain is the printer where no tag can stand: in attributes and titles.
func writePlain(b *strings.Builder, v reflect.Value) error {
	text, err := textOf(v)
	Escape(b, text)
	return err
}

// writeAddress is the printer at the beginning of an address. One of another scheme than http,
// https and mailto could run a program, so "#unsafe" is written instead.
func writeAddress(b *strings.Builder, v reflect.Value) error {
	text, err := textOf(v)
	scheme, _, found := strings.Cut(text, ":")
	if scheme = strings.ToLower(scheme); found && !strings.Contains(scheme, "/") &&
		scheme != "http" && scheme != "https" && scheme != "mailto" {
		text = "#unsafe"
	}
	Escape(b, encode(text, true))
	return err
}

// writeAddressRest is the printer further on in the path of an address.
func writeAddressRest(b *strings.Builder, v reflect.Value) error {
	text, err := textOf(v)
	Escape(b, encode(text, true))
	return err
}

// writeAddressPart is the printer behind the ? or # of an address.
func writeAddressPart(b *strings.Builder, v reflect.Value) error {
	text, err := textOf(v)
	Escape(b, encode(text, false))
	return err
}

// writeJSON is the printer in a script. encoding/json leaves no sign in it that could end one.
func writeJSON(b *strings.Builder, v reflect.Value) error {
	text, err := json.Marshal(v.Interface())
	b.Write(text)
	return err
}

// encode percent-encodes what is not unreserved in an address (RFC 3986, section 2.3). In a
// whole address, what is reserved (section 2.2) and what is encoded already stay, but quotes
// and brackets are encoded there, too.
func encode(text string, whole bool) string {
	const hex = "0123456789abcdef"
	var b strings.Builder
	for i := range len(text) {
		c := text[i]
		switch {
		case c >= 'a' && c <= 'z', c >= 'A' && c <= 'Z', c >= '0' && c <= '9', strings.IndexByte("-._~", c) >= 0,
			whole && strings.IndexByte("!#$&*+,/:;=?@[]", c) >= 0,
			whole && c == '%' && i+2 < len(text) && isHex(text[i+1]) && isHex(text[i+2]):
			b.WriteByte(c)
		default:
			b.Write([]byte{'%', hex[c>>4], hex[c&15]})
		}
	}
	return b.String()
}

func isHex(c byte) bool {
	return c >= '0' && c <= '9' || c >= 'a' && c <= 'f' || c >= 'A' && c <= 'F'
}

// textOf is a value as text: a string or an integer.
func textOf(v reflect.Value) (string, error) {
	switch v = direct(v); {
	case !v.IsValid():
		return "", fmt.Errorf("there is no value to write")
	case v.Kind() == reflect.String:
		return v.String(), nil
	case v.CanInt():
		return strconv.FormatInt(v.Int(), 10), nil
	}
	return "", fmt.Errorf("a %s cannot be written", v.Type())
}
