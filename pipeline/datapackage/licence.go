package datapackage

import "strings"

// Licence is a licence for data under its SPDX identifier.
type Licence struct{ ID, Title, Address string }

// licences are the licences for data that have a name in the Open Definition's
// register or are met beside it, each with its text's own address. All of them
// are in the list of CFF 1.2.0 too (SPDX, of 14 May 2021).
var licences = []Licence{
	{"CC0-1.0", "Creative Commons Zero v1.0 Universal", "https://creativecommons.org/publicdomain/zero/1.0/"},
	{"CC-BY-4.0", "Creative Commons Attribution 4.0 International", "https://creativecommons.org/licenses/by/4.0/"},
	{"CC-BY-SA-4.0", "Creative Commons Attribution Share Alike 4.0 International",
		"https://creativecommons.org/licenses/by-sa/4.0/"},
	{"CC-BY-NC-4.0", "Creative Commons Attribution Non Commercial 4.0 International",
		"https://creativecommons.org/licenses/by-nc/4.0/"},
	{"CC-BY-NC-SA-4.0", "Creative Commons Attribution Non Commercial Share Alike 4.0 International",
		"https://creativecommons.org/licenses/by-nc-sa/4.0/"},
	{"CC-BY-ND-4.0", "Creative Commons Attribution No Derivatives 4.0 International",
		"https://creativecommons.org/licenses/by-nd/4.0/"},
	{"ODbL-1.0", "Open Data Commons Open Database License v1.0", "https://opendatacommons.org/licenses/odbl/1-0/"},
	{"ODC-By-1.0", "Open Data Commons Attribution License v1.0", "https://opendatacommons.org/licenses/by/1-0/"},
	{"PDDL-1.0", "Open Data Commons Public Domain Dedication & License 1.0",
		"https://opendatacommons.org/licenses/pddl/1-0/"},
	{"MIT", "MIT License", "https://opensource.org/license/mit"},
}

// LicenceNamed returns a known licence. Case does not matter, as in SPDX.
func LicenceNamed(id string) (Licence, bool) {
	for _, l := range licences {
		if strings.EqualFold(l.ID, strings.TrimSpace(id)) {
			return l, true
		}
	}
	return Licence{}, false
}
