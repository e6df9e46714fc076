package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// The sentences are those of the licences' texts as the SPDX License List has them
// (https://spdx.org/licenses/).
const (
	mitText = "Permission is hereby granted, free of charge, to any person\nobtaining a copy of this software [...] " +
		"The above copyright notice and this permission notice shall be included in"
	bsd2Text = "Redistribution and use in source and binary forms, with or without\n" +
		"  modification, are permitted provided that the following conditions are met:"
)

func TestIdentify(t *testing.T) {
	for want, text := range map[string]string{
		"MIT":          mitText,
		"BSD-2-Clause": "> " + strings.ReplaceAll(bsd2Text, "\n", "\n> "), // a licence that is quoted
		"BSD-3-Clause": bsd2Text + " 3. Neither the name of the copyright holder nor",
		"ISC": "Permission to use, copy, modify, and/or distribute this software for any purpose with " +
			"or without fee is hereby granted",
		"Apache-2.0": "                 Apache License\n           Version 2.0, January 2004\n " +
			"http://www.apache.org/licenses/\n\n TERMS AND CONDITIONS FOR USE, REPRODUCTION, AND DISTRIBUTION",
		"MIT AND Apache-2.0": "This project is covered by two different licenses: MIT and Apache.\n" + mitText +
			"Licensed under the Apache License, Version 2.0",
		"MPL-2.0": "Mozilla Public License Version 2.0\n==================================",
		"Bitstream-Vera": "Bitstream Vera Fonts Copyright\n" +
			"Permission is hereby granted, free of charge, to any person obtaining a copy\n" +
			"of the fonts accompanying this license",
		"GPL family": "GNU GENERAL PUBLIC LICENSE\nVersion 3, 29 June 2007",
		"":           "You may use this on Tuesdays.",
	} {
		if got := identify([]byte(text)); got != want {
			t.Errorf("%.40q is %q, want %q", text, got, want)
		}
	}
}

func fileOf(name, text string) licenceFile {
	return licenceFile{name, []byte(text), identify([]byte(text))}
}

func TestCheckLicences(t *testing.T) {
	mpl, gpl := "Mozilla Public License Version 2.0", "GNU GENERAL PUBLIC LICENSE"
	for _, c := range []struct {
		name  string
		use   use
		files []licenceFile
		said  string // "" for nothing
	}{
		{"shipped and permissive", program, []licenceFile{fileOf("LICENSE", mitText), fileOf("NOTICE", "thanks")}, ""},
		{"tests may use more", tests, []licenceFile{fileOf("LICENSE", mpl)}, ""},
		{"but that is not shipped", explorer, []licenceFile{fileOf("LICENSE", mpl)}, `has the licence "MPL-2.0"`},
		{"not even for tests", tests, []licenceFile{fileOf("LICENSE", gpl)}, `has the licence "GPL family"`},
		{"none at all", program, nil, `has the licence ""`},
		{"a second text that nobody read", program,
			[]licenceFile{fileOf("LICENSE", mitText), fileOf("LICENSE-MORE", "only on Tuesdays")},
			"LICENSE-MORE is a text that nobody has read"},
	} {
		err := checkLicences([]dependency{{path: "example.org/d", version: "v1", in: map[use]bool{c.use: true},
			files: c.files}})
		if c.said == "" && err != nil || c.said != "" && (err == nil || !strings.Contains(err.Error(), c.said)) {
			t.Errorf("%s: says %v, want %q", c.name, err, c.said)
		}
	}
}

// What was read and put aside is so only while it is the same text.
func TestReviewedTextThatChanged(t *testing.T) {
	d := dependency{path: "github.com/muktihari/fit", in: map[use]bool{program: true},
		files: []licenceFile{fileOf("LICENSE", bsd2Text), fileOf("LICENSE-FIT-SDK", "other terms")}}
	if err := checkLicences([]dependency{d}); err == nil ||
		!strings.Contains(err.Error(), "LICENSE-FIT-SDK is a text that nobody has read") {
		t.Errorf("says %v", err)
	}
}

func TestNoticesHoldEachTextOnce(t *testing.T) {
	list := []dependency{
		{path: "example.org/a", version: "v1", in: map[use]bool{program: true},
			files: []licenceFile{fileOf("LICENSE", mitText)}},
		{path: "example.org/b", version: "v2", in: map[use]bool{program: true, explorer: true},
			files: []licenceFile{fileOf("COPYING", mitText)}},
		{path: "example.org/c", version: "v3", in: map[use]bool{tests: true},
			files: []licenceFile{fileOf("LICENSE", bsd2Text)}},
	}
	text := string(notices("Title.", list, program))
	for _, part := range []string{"Title.", "example.org/a v1: MIT", "example.org/b v2: MIT",
		"example.org/a (LICENSE)\nexample.org/b (COPYING)\n"} {
		if strings.Count(text, part) != 1 {
			t.Errorf("%q stands %d times in\n%s", part, strings.Count(text, part), text)
		}
	}
	if strings.Count(text, "hereby granted") != 1 || strings.Contains(text, "example.org/c") {
		t.Errorf("the notices read\n%s", text)
	}
	if alone := string(notices("T", list, explorer)); strings.Contains(alone, "example.org/a") ||
		!strings.Contains(alone, "example.org/b") {
		t.Errorf("those of the explorer read\n%s", alone)
	}
}

func TestStaleFileIsNoticed(t *testing.T) {
	path := filepath.Join(t.TempDir(), "list")
	if err := update(path, []byte("new"), true); err == nil {
		t.Error("a file that is not there passes")
	}
	if err := update(path, []byte("new"), false); err != nil {
		t.Fatal(err)
	}
	if err := update(path, []byte("new"), true); err != nil {
		t.Errorf("a file that is up to date does not pass: %v", err)
	}
	if err := update(path, []byte("newer"), true); err == nil || !strings.Contains(err.Error(), "make licences") {
		t.Errorf("a stale file: %v", err)
	}
	if text, err := os.ReadFile(path); err != nil || string(text) != "new" {
		t.Errorf("checking left %q, %v", text, err)
	}
}
