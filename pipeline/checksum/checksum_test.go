package checksum

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// The examples of FIPS 180-4's companion document (NIST, "SHA256.pdf") and the
// long message of FIPS 180-2, appendix B.3.
func TestPublishedExamples(t *testing.T) {
	for message, want := range map[string]string{
		"":    "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
		"abc": "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad",
		"abcdbcdecdefdefgefghfghighijhijk" +
			"ijkljklmklmnlmnomnopnopq": "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
		strings.Repeat("a", 1_000_000): "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0",
	} {
		sum := plain([]byte(message))
		if got := hex.EncodeToString(sum[:]); got != want || SHA256([]byte(message)) != want {
			t.Errorf("%.20q...: got %s and %s, want %s", message, got, SHA256([]byte(message)), want)
		}
	}
}

func TestPlainIsTheStandardLibrarys(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		data := rapid.SliceOfN(rapid.Byte(), 0, 300).Draw(t, "data")
		if plain(data) != sha256.Sum256(data) {
			t.Fatalf("%x differs", data)
		}
	})
	for n := range 200 { // every length around the block size
		data := bytes.Repeat([]byte{byte(n)}, n)
		if plain(data) != sha256.Sum256(data) {
			t.Errorf("length %d differs", n)
		}
	}
}
