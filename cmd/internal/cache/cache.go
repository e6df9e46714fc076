// Package cache keeps on this machine what earlier runs came to.
//
// Its opinions: a cache may be lost, cut short or damaged at any moment and
// nobody notices but by the time it takes, so every entry carries a sum of itself
// and one that is not whole does not exist; an entry is found by everything it
// depends on, the program to its last byte among it, so that nothing needs to be
// declared stale; it never grows beyond a bound; and it is private to its owner,
// because it repeats what is in datasets.
package cache

import (
	"crypto/aes"
	"crypto/cipher"
	"crypto/rand"
	"encoding/hex"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"sync"

	"soletrial/pipeline/crew"
)

// Sum tells bytes apart: see [Cache.Sum].
type Sum [16]byte

// Cache is a folder of entries. It may be used by several goroutines and by
// several programs at once.
type Cache struct {
	dir   string
	mac   cipher.AEAD
	list  sync.Once
	mu    sync.Mutex
	packs []*pack        // on disk, once listed, from the oldest
	at    map[Sum][]spot // where each entry is, in the order of the packs
	fresh pending        // entries that are in no pack yet
	// failed is set when writing fails: the disk is full, or the folder is gone.
	// Nothing more is written then.
	failed bool
	made   int // packs written
}

// secretFile holds the key of the sums, and secretBytes is its length.
const (
	secretFile  = "key"
	secretBytes = 32
)

// Open opens a cache, making the folder where there is none.
func Open(dir string) (*Cache, error) {
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return nil, err
	}
	secret, err := readSecret(dir)
	if err != nil {
		return nil, err
	}
	block, err := aes.NewCipher(secret)
	if err != nil {
		return nil, err
	}
	mac, err := cipher.NewGCM(block)
	if err != nil {
		return nil, err
	}
	return &Cache{dir: dir, mac: mac}, nil
}

// readSecret reads the key of the sums; the first one to come makes it.
func readSecret(dir string) ([]byte, error) {
	path := filepath.Join(dir, secretFile)
	secret, err := os.ReadFile(path)
	if err == nil && len(secret) == secretBytes {
		return secret, nil
	}
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	fresh := make([]byte, secretBytes)
	rand.Read(fresh)
	if err := put(dir, path, fresh); err != nil {
		return nil, err
	}
	return os.ReadFile(path) // of two that come at once, the last one's
}

// chunk is how much is summed at a time: it stays in the processor's own memory.
const chunk = 256 << 10

// Sum returns a sum of bytes by which they can be told from any other bytes that
// come from somebody who does not know this cache's key. It is the tag of AES-GCM
// over data that is not encrypted (NIST SP 800-38D, GMAC), with one nonce for all,
// since no tag leaves the machine: two different chunks of n bytes have the same
// tag with a chance of at most (n/16+1)/2^128. It takes a fraction of the time of
// SHA-256. Data longer than a chunk has the sum of the sums of its chunks.
func (c *Cache) Sum(data []byte) Sum {
	if len(data) <= chunk {
		return c.tag(data, 0)
	}
	var sums []byte
	for len(data) > 0 {
		n := min(chunk, len(data))
		sum := c.tag(data[:n], 0)
		sums, data = append(sums, sum[:]...), data[n:]
	}
	return c.tag(sums, 1)
}

// tag sums one piece; the kinds of pieces, chunks and sums, have a nonce each.
func (c *Cache) tag(data []byte, kind byte) (sum Sum) {
	var nonce [12]byte
	nonce[0] = kind
	c.mac.Seal(sum[:0], nonce[:], nil, data)
	return sum
}

// SumOf is [Cache.Sum] of a whole file, which several workers read.
func (c *Cache) SumOf(file *os.File, workers int) (Sum, error) {
	info, err := file.Stat()
	if err != nil {
		return Sum{}, err
	}
	n := int((info.Size() + chunk - 1) / chunk)
	if n < 2 {
		text, err := io.ReadAll(io.LimitReader(file, chunk))
		return c.Sum(text), err
	}
	sums, errs := make([]byte, n*len(Sum{})), make([]error, n)
	rooms := sync.Pool{New: func() any { return new([chunk]byte) }}
	crew.Do(workers, n, func(i int) {
		room := rooms.Get().(*[chunk]byte)
		defer rooms.Put(room)
		at := int64(i) * chunk
		piece := room[:min(chunk, info.Size()-at)]
		if _, errs[i] = file.ReadAt(piece, at); errs[i] == nil {
			sum := c.tag(piece, 0)
			copy(sums[i*len(sum):], sum[:])
		}
	})
	return c.tag(sums, 1), errors.Join(errs...)
}

// Name is the name of an entry of a kind that depends on the given bytes.
func (c *Cache) Name(kind string, on []byte) Sum {
	return c.Sum(append(append(make([]byte, 0, len(kind)+1+len(on)), kind+"\n"...), on...))
}

// seal is what stands at the end of an entry: the sum of its name and content.
func (c *Cache) seal(name Sum, payload []byte) Sum {
	sum := c.Sum(payload)
	return c.tag(append(name[:], sum[:]...), 2)
}

// notePath is where the note of that name is.
func (c *Cache) notePath(name Sum) string {
	return filepath.Join(c.dir, hex.EncodeToString(name[:])+noteEnding)
}

const noteEnding = ".note"

// Noted returns what was noted last under a name, if it is there and whole.
func (c *Cache) Noted(name Sum) (payload []byte, found bool) {
	text, err := os.ReadFile(c.notePath(name))
	if err != nil || len(text) < len(Sum{}) {
		return nil, false
	}
	payload, sum := text[:len(text)-len(Sum{})], text[len(text)-len(Sum{}):]
	return payload, c.seal(name, payload) == Sum(sum)
}

// Note keeps something under a name, in the place of what was noted before. Unlike
// an entry, it may be another thing every time.
func (c *Cache) Note(name Sum, payload []byte) {
	seal := c.seal(name, payload)
	c.mu.Lock()
	defer c.mu.Unlock()
	if !c.failed {
		c.failed = put(c.dir, c.notePath(name), payload, seal[:]) != nil
	}
}

// passing starts the names of files that are not whole yet.
const passing = "passing-"

// put writes a file under another name and then gives it its own. It is not forced
// down to the disk: after a power cut it may be cut short, and its sum tells.
func put(dir, path string, parts ...[]byte) error {
	file, err := os.CreateTemp(dir, passing)
	if err != nil {
		return err
	}
	defer os.Remove(file.Name()) // gone already when all went well
	for _, part := range parts {
		if _, err := file.Write(part); err != nil {
			file.Close()
			return err
		}
	}
	if err := file.Close(); err != nil {
		return err
	}
	return os.Rename(file.Name(), path)
}
