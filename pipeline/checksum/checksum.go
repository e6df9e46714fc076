// Package checksum gives the SHA-256 of bytes as text, for naming content and for
// proving that two files are the same.
//
// Outside the browser it is the standard library's. The standard library's
// package brings a validated cryptographic module with its self-tests along, 50
// kB of the explorer's budget, so in the browser it is the plain algorithm of
// FIPS 180-4, which the tests hold against the standard library's.
package checksum

import "encoding/hex"

// SHA256 returns the SHA-256 of data in 64 lower-case hexadecimal digits.
func SHA256(data []byte) string {
	sum := sum256(data)
	return hex.EncodeToString(sum[:])
}
