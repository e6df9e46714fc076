package plaintext

import (
	"strings"

	"soletrial/pipeline/trial"
)

// identifiers reports identifiers that are none: other programs make addresses of them.
func (b binder) identifiers(n *Node, facts *trial.DatasetFacts) {
	if facts.DOI != "" && !isDOI(facts.DOI) {
		b.complain(n.at("doi"), "doi", "write it as 10.5281/zenodo.1234567, without an address before it",
			"%q is not a digital object identifier", facts.DOI)
	}
	for i, word := range facts.Keywords {
		if strings.TrimSpace(word) == "" {
			b.complain(n.at("keywords"), "keywords", "write one word or phrase for each", "keyword %d is blank", i+1)
		}
	}
	if list := n.child("contributors"); list != nil {
		for i, c := range facts.Contributors {
			if c.ORCID != "" && i < len(list.Items) {
				b.orcid(list.Items[i], c.ORCID)
			}
		}
	}
}

// orcid reports an ORCID iD that is none, or that was mistyped.
func (b binder) orcid(contributor *Node, id string) {
	switch digits, formed := orcidDigits(id); {
	case !formed:
		b.complain(contributor.at("orcid"), "orcid", "write the 16 digits as 0000-0002-1825-0097, without an address",
			"%q is not an ORCID iD", id)
	case digits[15] != orcidCheck(digits[:15]):
		b.complain(contributor.at("orcid"), "orcid", "copy it from the person's ORCID page",
			"%q has a mistyped digit: the last digit checks the others", id)
	}
}

// orcidDigits are the 16 characters of an ORCID iD without its dashes: digits, and at the end
// perhaps an X.
func orcidDigits(id string) (digits string, formed bool) {
	groups := strings.Split(id, "-")
	if len(groups) != 4 {
		return "", false
	}
	for _, group := range groups {
		if len(group) != 4 {
			return "", false
		}
	}
	digits = strings.Join(groups, "")
	return digits, strings.Trim(digits[:15], "0123456789") == "" && strings.Trim(digits[15:], "0123456789X") == ""
}

// orcidCheck is the character that 15 digits are checked by: MOD 11-2 of ISO/IEC 7064, in
// which X stands for ten.
func orcidCheck(digits string) byte {
	total := 0
	for _, digit := range []byte(digits) {
		total = (total + int(digit-'0')) * 2
	}
	check := (12 - total%11) % 11
	if check == 10 {
		return 'X'
	}
	return byte('0' + check)
}

// doiLetters may stand in a DOI after its slash, as the Citation File Format 1.2.0 has it.
const doiLetters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789:/_;-.()[]\\"

// isDOI reports whether text is a DOI: 10, a dot, the number of a registrant (four to nine
// digits, perhaps more after another dot), a slash, and at least one character that may stand
// in a citation.
func isDOI(text string) bool {
	prefix, suffix, slash := strings.Cut(text, "/")
	parts := strings.Split(prefix, ".")
	if !slash || suffix == "" || strings.Trim(suffix, doiLetters) != "" || parts[0] != "10" ||
		len(parts) < 2 || len(parts) > 3 || len(parts[1]) < 4 || len(parts[1]) > 9 {
		return false
	}
	for _, part := range parts[1:] {
		if part == "" || strings.Trim(part, "0123456789") != "" {
			return false
		}
	}
	return true
}
