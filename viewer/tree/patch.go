package tree

import "strings"

// Change is one attribute of a figure's element that has another value, or, where
// Name is "", the text right after the element's opening. Elements are counted
// from 0 in the order in which they open.
type Change struct {
	Element     int
	Name, Value string
}

// Diff lists what makes one figure of pipeline/figure out of another; ok is
// false when they are not the same elements with the same attributes, so that the
// figure must be set anew.
func Diff(old, next string) (changes []Change, ok bool) {
	element, opened := -1, false
	for old != "" && next != "" {
		// The next tag or text of both.
		a, b := token(old), token(next)
		old, next = old[len(a):], next[len(b):]
		tag := a[0] == '<'
		if tag != (b[0] == '<') || tag && min(len(a), len(b)) < 3 {
			return nil, false
		}
		if tag && a[1] != '/' {
			element++
		}

		// What differs: attributes of a tag, or the text after an opening tag.
		if a != b {
			switch {
			case tag:
				if changes, ok = attributes(changes, element, a, b); !ok {
					return nil, false
				}
			case !opened:
				return nil, false
			default:
				changes = append(changes, Change{Element: element, Value: unescaped(b)})
			}
		}
		opened = tag && a[1] != '/' && a[len(a)-2] != '/'
	}
	return changes, old == "" && next == ""
}

// token returns the tag or the text that a figure goes on with.
func token(svg string) string {
	end := strings.IndexByte(svg[1:], '<')
	if svg[0] == '<' {
		end = strings.IndexByte(svg, '>')
	}
	if end < 0 {
		return svg
	}
	return svg[:end+1]
}

// attributes compares two tags, whose values are in double quotes and hold none.
func attributes(changes []Change, element int, old, next string) ([]Change, bool) {
	for {
		a, restA, moreA := strings.Cut(old, `"`)
		b, restB, moreB := strings.Cut(next, `"`)
		if a != b || moreA != moreB {
			return changes, false
		}
		if !moreA {
			return changes, true
		}
		was, is := "", ""
		was, old, moreA = strings.Cut(restA, `"`)
		is, next, moreB = strings.Cut(restB, `"`)
		if !moreA || !moreB {
			return changes, false
		}
		if was != is {
			name := strings.TrimSuffix(a[strings.LastIndexByte(a, ' ')+1:], "=")
			changes = append(changes, Change{element, name, unescaped(is)})
		}
	}
}

// The signs that a figure's text holds escaped, and what they stand for.
var escapes = [...][2]string{{"&lt;", "<"}, {"&gt;", ">"}, {"&#34;", `"`}, {"&#39;", "'"}, {"&amp;", "&"}}

func unescaped(text string) string {
	if strings.IndexByte(text, '&') >= 0 {
		for _, e := range escapes {
			text = strings.ReplaceAll(text, e[0], e[1])
		}
	}
	return text
}
