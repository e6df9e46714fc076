package site

import (
	"fmt"
	"slices"
)

// Licences is the name of the file among the explorer's own that holds the
// licences of the software of others in it.
const Licences = "licences.txt"

type explorerBody struct {
	Built    bool
	Licences string // the file's name, "" where it is not there
}

// explorer writes the shell page of the explorer and copies the explorer's own
// files beside it.
func (s *site) explorer() error {
	built := len(s.in.Explorer) > 0
	for _, f := range s.in.Explorer {
		s.add("explorer/"+f.Path, f.Text)
	}
	f := s.frame("explorer/index.html", "Explorer")
	body := explorerBody{Built: built}
	if slices.ContainsFunc(s.in.Explorer, func(file File) bool { return file.Path == Licences }) {
		body.Licences = Licences
	}
	f.Body = body
	if built {
		f.Reader = false
		f.Policy, f.Scripts, f.Styles = explorerPolicy, []string{"wasm_exec.js", "boot.js"}, []string{"explorer.css"}
		for _, need := range slices.Concat(f.Scripts, f.Styles) {
			if !slices.ContainsFunc(s.in.Explorer, func(file File) bool { return file.Path == need }) {
				return fmt.Errorf("the explorer's files lack %s: build the explorer again", need)
			}
		}
	}
	text, err := render("explorer", f)
	s.add("explorer/index.html", text)
	return err
}
