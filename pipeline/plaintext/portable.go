package plaintext

import (
	"slices"
	"strings"
)

// portableHint goes with every name that is not portable.
const portableHint = "choose another name: not con, prn, aux, nul, com0-9 or lpt0-9, without control characters, " +
	"<>:\"|?*, or a dot or blank at the end"

// reserved are the device names of Windows, alone and before any extension
// (Microsoft, "Naming Files, Paths, and Namespaces").
var reserved = strings.Fields("con prn aux nul com0 com1 com2 com3 com4 com5 com6 com7 com8 com9 lpt0 lpt1 lpt2 lpt3 " +
	"lpt4 lpt5 lpt6 lpt7 lpt8 lpt9")

// Portable reports whether every system can keep a file or a folder of that
// name. A dataset is cloned to systems other than the one it was made on, where
// git could not check out a name such as "aux.csv" or "12:30.csv".
func Portable(name string) bool {
	stem, _, _ := strings.Cut(name, ".")
	return !slices.Contains(reserved, strings.ToLower(strings.TrimRight(stem, " "))) &&
		!strings.ContainsFunc(name, func(c rune) bool {
			return c < ' ' || c == 0x7f ||
				strings.ContainsRune(`<>:"|?*`, c)
		}) &&
		!strings.HasSuffix(name, ".") && !strings.HasSuffix(name, " ")
}
