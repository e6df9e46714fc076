package main

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"slices"
	"strings"
)

// permissive are the licences that ask for nothing but their own text.
var permissive = []string{"MIT", "BSD-2-Clause", "BSD-3-Clause", "ISC", "Apache-2.0", "MIT AND Apache-2.0",
	"BSD-3-Clause AND Bitstream-Vera"}

// allowed are the licences of what may be shipped, and of what only tests use.
var allowed = map[use][]string{
	program:  permissive,
	export:   permissive,
	explorer: permissive,
	tests:    append([]string{"MPL-2.0", "BlueOak-1.0.0", "0BSD", "CC0-1.0"}, permissive...),
}

// reviewed are files about rights that are no licence of what is linked, by module,
// name and hash, with what was found when somebody read them. A change of one of
// them has to be read again.
var reviewed = map[string]string{
	"github.com/muktihari/fit LICENSE-FIT-SDK " + fitKitSHA256: "terms of the FIT protocol's own development kit; " +
		"none of its files is linked, the protocol's message tables are. Read it before you ship a program of your own",
}

// fitKitSHA256 is the SHA-256 of the file that was read.
const fitKitSHA256 = "50fdcca1ab0a2732c098551725a311cf59f85920b64315a9e780c5ef9d6bc150"

// identify returns the SPDX identifier of a licence's text, "" for a text that is
// none of the known ones. It goes by sentences that no other licence has.
func identify(text []byte) string {
	fields := strings.Fields(string(text))
	words := strings.Join(slices.DeleteFunc(fields, func(f string) bool { return f == ">" }), " ") // some are quoted
	has := func(sentence string) bool { return strings.Contains(words, sentence) }
	mit := has("Permission is hereby granted, free of charge, to any person obtaining a copy") &&
		has("The above copyright notice and this permission notice shall be included")
	apache := has("Apache License Version 2.0, January 2004") &&
		has("TERMS AND CONDITIONS FOR USE, REPRODUCTION, AND DISTRIBUTION") ||
		has("Licensed under the Apache License, Version 2.0")
	bsd := has("Redistribution and use in source and binary forms, with or without modification, are permitted")

	// The more specific first.
	switch {
	case has("to any person obtaining a copy of the fonts accompanying this license") && has("Bitstream Vera"):
		return "Bitstream-Vera" // may be shipped in a program, its notice with it
	case mit && has("This project is covered by two different licenses: MIT and Apache"):
		return "MIT AND Apache-2.0"
	case has("Mozilla Public License Version 2.0"):
		return "MPL-2.0"
	case has("GNU GENERAL PUBLIC LICENSE"), has("GNU AFFERO GENERAL PUBLIC LICENSE"),
		has("GNU LESSER GENERAL PUBLIC LICENSE"):
		return "GPL family"
	case apache:
		return "Apache-2.0"
	case bsd && has("Neither the name"):
		return "BSD-3-Clause"
	case bsd:
		return "BSD-2-Clause"
	case mit:
		return "MIT"
	case has("Permission to use, copy, modify, and/or distribute this software for any purpose"),
		has("Permission to use, copy, modify, and distribute this software for any purpose"):
		return "ISC"
	}
	return ""
}

// accompanying reports whether a file goes with a licence and is not one.
func accompanying(name string) bool {
	upper := strings.ToUpper(name)
	return strings.HasPrefix(upper, "NOTICE") || strings.HasPrefix(upper, "PATENTS") ||
		strings.HasPrefix(upper, "THIRD_PARTY")
}

// review returns what was found in a file that is no licence of what is linked.
func (d dependency) review(f licenceFile) (finding string, known bool) {
	finding, known = reviewed[fmt.Sprintf("%s %s %x", d.path, f.name, sha256.Sum256(f.text))]
	return finding, known
}

// licence is the SPDX identifier of a dependency; "" when it has none that is
// known.
func (d dependency) licence() string {
	var found []string
	for _, f := range d.files {
		if f.licence != "" && !accompanying(f.name) && !slices.Contains(found, f.licence) {
			found = append(found, f.licence)
		}
	}
	return strings.Join(found, " AND ")
}

// checkLicences returns all that is wrong with the licences.
func checkLicences(list []dependency) error {
	var wrong []error
	for _, d := range list {
		licence := d.licence()
		if !slices.Contains(allowed[d.mostPublic()], licence) {
			wrong = append(wrong, fmt.Errorf("%s %s has the licence %q; allowed where it is used: %s", d.path,
				d.version,
				licence, strings.Join(allowed[d.mostPublic()], ", ")))
		}
		for _, f := range d.files {
			if _, known := d.review(f); !known && f.licence == "" && !accompanying(f.name) {
				wrong = append(wrong, fmt.Errorf("%s %s: %s is a text that nobody has read: read it and enter it in "+
					"scripts/licences/check.go with its hash %x", d.path, d.version, f.name, sha256.Sum256(f.text)))
			}
		}
	}
	return errors.Join(wrong...)
}

// shipped are the texts that go along with a dependency.
func (d dependency) shipped() []licenceFile {
	return slices.DeleteFunc(slices.Clone(d.files), func(f licenceFile) bool {
		_, apart := d.review(f)
		return apart || len(bytes.TrimSpace(f.text)) == 0
	})
}
