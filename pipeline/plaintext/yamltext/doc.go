// Package yamltext reads the YAML files of a dataset, and changes single keys
// in them without touching the rest.
//
// Its opinion: the YAML of a dataset is keys, lists and plain values. Anchors,
// aliases, merge keys, tags, directives, further documents and tabs are refused
// with their place before anything is built from them, which also leaves no room
// for documents that unfold to fill the memory. Parsing is goccy/go-yaml's;
// nothing else of that library is used, no value is ever decoded by it.
package yamltext
