// Package markup fills templates of HTML in. The templates are written in the language of
// text/template, of which this package knows what pages need: fields, variables, if, with,
// range, template, and the functions eq, gt, len, not and or. What is filled in is escaped by
// where it stands: as text, in an attribute, as an address, or as JSON that is all of a script. A
// template that would fill in anything elsewhere is refused when it is read, not when it is used.
//
// [Parse] reads templates into a [Set]; [Set.Write] writes one of them. A value of type [HTML]
// is written into text unchanged; one that is a [Writer] writes itself there.
//
// It takes the place of html/template, which writes the same (the tests compare them) but may
// call any method by its name, so that the linker must keep every exported method of every
// type: a tenth of the program. Methods, pipelines and functions of others are not known here.
package markup
