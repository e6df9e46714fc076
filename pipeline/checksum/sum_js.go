package checksum

func sum256(data []byte) [32]byte { return plain(data) }
