//go:build !js

package checksum

import "crypto/sha256"

func sum256(data []byte) [32]byte { return sha256.Sum256(data) }
