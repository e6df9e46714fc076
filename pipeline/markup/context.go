package markup

import (
	"fmt"
	"slices"
	"strings"
)

// context is where in a page the reading of a template has come.
type context struct {
	place     place
	element   string // whose tag or content it is
	attribute string // in an attribute
	address   part   // of an address, in an attribute that is one
}

type place int

const (
	inText    place = iota // between tags
	inTag                  // in a tag, outside attribute values
	inValue                // in a quoted attribute value
	inTitle                // in an element where tags mean nothing
	inScript               // at the beginning of a script
	inProgram              // further on in a script, or in a style sheet
)

// blanks part the attributes of a tag.
const blanks = " \t\n\f\r"

// part is what of an address has been read.
type part int

const (
	addressStart part = iota
	addressPath
	addressRest // behind ? or #
)

// The attributes that hold an address, and those in which nothing may be filled in: programs,
// styles, whole pages and lists of addresses.
var (
	addresses = []string{"action", "cite", "data", "formaction", "href", "poster", "src",
		"xlink:href"}
	forbidden = []string{"background", "ping", "srcdoc", "srcset", "style"}
)

func (c context) isAddress() bool {
	return c.place == inValue && slices.Contains(addresses, c.attribute)
}

// printer chooses how a value is written here.
func (c context) printer() (printer, error) {
	switch {
	case c.place == inText:
		return writeText, nil
	case c.place == inTitle:
		return writePlain, nil
	case c.place == inScript:
		return writeJSON, nil
	case c.place == inProgram:
		return nil, fmt.Errorf("nothing can be filled in in a program or a style sheet")
	case c.place == inTag:
		return nil, fmt.Errorf("a value in a tag must stand in a quoted attribute")
	case strings.HasPrefix(c.attribute, "on"), slices.Contains(forbidden, c.attribute):
		return nil, fmt.Errorf("nothing can be filled in in the attribute %s", c.attribute)
	case !c.isAddress():
		return writePlain, nil
	case c.address == addressStart:
		return writeAddress, nil
	case c.address == addressPath:
		return writeAddressRest, nil
	}
	return writeAddressPart, nil
}

// after is the context behind a piece of a template's own text.
func (c context) after(text string) (context, error) {
	var err error
	for text != "" && err == nil {
		switch c.place {
		case inText:
			c, text, err = c.throughText(text)
		case inTag:
			c, text, err = c.throughTag(text)
		case inValue:
			c, text = c.throughValue(text)
		case inTitle, inScript, inProgram:
			c, text = c.throughContent(text)
		}
	}
	return c, err
}

// throughText reads as far as a tag's name.
func (c context) throughText(text string) (context, string, error) {
	_, rest, found := strings.Cut(text, "<")
	if !found {
		return c, "", nil
	}
	if strings.HasPrefix(rest, "!--") {
		return c, "", fmt.Errorf("comments are for templates: write them as {{/* */}}")
	}
	end := strings.IndexAny(rest, blanks+">")
	if end < 0 {
		end = len(rest) // an action follows the name
	}
	if end == 0 {
		return c, "", fmt.Errorf("a stray < in the text: write it as &lt;")
	}
	element := strings.ToLower(rest[:end])
	if !isName(strings.TrimLeft(element, "/!")) {
		return c, "", fmt.Errorf("<%s is no tag: write <name> or <name attribute=\"value\">", rest[:end])
	}
	return context{place: inTag, element: element}, rest[end:], nil
}

// isName reports whether a text is the name of an element or of an attribute, in small letters.
func isName(text string) bool {
	return text != "" && strings.Trim(text, "abcdefghijklmnopqrstuvwxyz0123456789-:_") == ""
}

// throughTag reads as far as the end of a tag or the beginning of an attribute's value.
func (c context) throughTag(text string) (context, string, error) {
	i := strings.IndexAny(text, `>="'<`)
	if i < 0 {
		return c, "", nil
	}
	switch before, rest := text[:i], text[i+1:]; text[i] {
	case '>':
		return contentOf(c.element), rest, nil
	case '=':
		name := strings.ToLower(before[strings.LastIndexAny(before, blanks)+1:])
		if !isName(name) || !strings.HasPrefix(rest, `"`) {
			return c, "", fmt.Errorf("an attribute of <%s must be written as name=\"value\"", c.element)
		}
		return context{place: inValue, element: c.element, attribute: name}, rest[1:], nil
	}
	return c, "", fmt.Errorf("a stray %q in <%s", text[i], c.element)
}

// throughValue reads as far as the end of an attribute's value.
func (c context) throughValue(text string) (context, string) {
	value, rest, ended := strings.Cut(text, `"`)
	switch {
	case ended:
		return context{place: inTag, element: c.element}, rest
	case !c.isAddress():
	case strings.ContainsAny(value, "?#"):
		c.address = addressRest
	case strings.Trim(value, blanks) != "" && c.address == addressStart:
		c.address = addressPath
	}
	return c, ""
}

// throughContent reads as far as the end of an element in which tags mean nothing.
func (c context) throughContent(text string) (context, string) {
	before, rest, ended := strings.Cut(text, "</"+c.element+">")
	switch {
	case ended:
		return context{}, rest
	case c.place == inScript && strings.Trim(before, blanks) != "":
		c.place = inProgram
	}
	return c, ""
}

// contentOf is the context of an element's content.
func contentOf(element string) context {
	switch element {
	case "title", "textarea":
		return context{place: inTitle, element: element}
	case "script":
		return context{place: inScript, element: element}
	case "style":
		return context{place: inProgram, element: element}
	}
	return context{}
}
