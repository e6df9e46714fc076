package plaintext

import "testing"

// Oracle: the ORCID iDs that ORCID publishes as examples (support.orcid.org, "Structure of the
// ORCID Identifier": 0000-0002-1825-0097 of Josiah Carberry, 0000-0001-5109-3700,
// 0000-0002-1694-233X), from memory; their check characters follow ISO/IEC 7064, MOD 11-2.
func TestORCIDsAsPublished(t *testing.T) {
	for _, id := range []string{"0000-0002-1825-0097", "0000-0001-5109-3700", "0000-0002-1694-233X"} {
		digits, formed := orcidDigits(id)
		if !formed || digits[15] != orcidCheck(digits[:15]) {
			t.Errorf("%s does not check", id)
		}
		// Any one digit that is mistyped is found, as MOD 11-2 promises.
		for i := range 15 {
			for other := byte('0'); other <= '9'; other++ {
				wrong := []byte(digits[:15])
				if wrong[i] = other; other != digits[i] && orcidCheck(string(wrong)) == digits[15] {
					t.Errorf("%s: %c for digit %d is not found", id, other, i+1)
				}
			}
		}
	}
	for _, id := range []string{"", "0000-0002-1825-009", "0000000218250097", "0000-0002-1825-00977",
		"0000-0002-18X5-0097", "https://orcid.org/0000-0002-1825-0097", "0000-0002-1825-009x"} {
		if _, formed := orcidDigits(id); formed {
			t.Errorf("%q is taken for an ORCID iD", id)
		}
	}
}

// The first is the example of the DOI Handbook; the forms are those of the pattern in the
// schema of the Citation File Format 1.2.0, `^10\.\d{4,9}(\.\d+)?/[A-Za-z0-9:/_;\-\.\(\)\[\]\\]+$`.
func TestDOIs(t *testing.T) {
	for _, doi := range []string{"10.1000/182", "10.5281/zenodo.1234567", "10.1000.10/123", "10.1002/(SICI)1097-4571"} {
		if !isDOI(doi) {
			t.Errorf("%q is not taken for a DOI", doi)
		}
	}
	for _, text := range []string{"", "10.1000", "10.1000/", "10.100/1", "11.1000/1", "10.1000/a b", "doi:10.1000/182",
		"https://doi.org/10.1000/182", "10.1000.1.2/3", "10.1000./3", "10.10x0/3", "10.1000/é"} {
		if isDOI(text) {
			t.Errorf("%q is taken for a DOI", text)
		}
	}
}
