package cache

import (
	"crypto/rand"
	"encoding/binary"
	"encoding/hex"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync/atomic"
	"time"
)

// Entries are small and many, and files cost time, so entries are written to disk
// in packs: the entries one after the other, each with its seal, then an index of
// them, and the index's length and seal. A pack is written whole and never changed.

// packEnding is that of packs, and full is how many bytes of entries make one.
const (
	packEnding = ".pack"
	full       = 4 << 20
)

// pack is a pack on disk, held open so that it can be read to the end of the run
// even when another program drops it.
type pack struct {
	path  string
	file  *os.File
	bytes int64
	used  time.Time   // when it last was
	asked atomic.Bool // in this run
}

// spot is where an entry is: its payload, with the seal right behind.
type spot struct {
	in         *pack
	at, length int64
}

// pending is entries on their way into a pack.
type pending struct {
	text  []byte
	index []byte
	at    map[Sum][2]int
}

// indexBytes is the length of an entry's line in the index, and endBytes that of
// what follows the index.
const (
	indexBytes = len(Sum{}) + 8 + 8
	endBytes   = 8 + len(Sum{})
)

// Get returns an entry, if it is there and whole.
func (c *Cache) Get(name Sum) (payload []byte, found bool) { return c.GetIn(name, new([]byte)) }

// GetIn is [Cache.Get] for who is done with an entry before the next: it lies in
// room, which grows where it is too small.
func (c *Cache) GetIn(name Sum, room *[]byte) (payload []byte, found bool) {
	c.list.Do(c.listPacks)
	c.mu.Lock()
	spots := c.at[name] // to which more are added at most
	if here, waits := c.fresh.at[name]; waits {
		payload = slices.Clone(c.fresh.text[here[0]:here[1]])
		c.mu.Unlock()
		return payload, true
	}
	c.mu.Unlock()
	for _, s := range slices.Backward(spots) { // the youngest first
		if payload, whole := c.read(name, s, room); whole {
			s.in.asked.Store(true)
			return payload, true
		}
	}
	return nil, false
}

// read reads an entry into room and reports whether it is whole.
func (c *Cache) read(name Sum, s spot, room *[]byte) (payload []byte, whole bool) {
	need := int(s.length) + len(Sum{})
	if need > len(*room) {
		*room = make([]byte, need)
	}
	text := (*room)[:need:need]
	if _, err := s.in.file.ReadAt(text, s.at); err != nil {
		return nil, false
	}
	payload = text[:s.length:s.length]
	return payload, c.seal(name, payload) == Sum(text[s.length:])
}

// Put makes an entry, which is on disk after [Cache.Close] at the latest. What
// cannot be written is not kept.
func (c *Cache) Put(name Sum, payload []byte) {
	seal := c.seal(name, payload)
	c.mu.Lock()
	defer c.mu.Unlock()
	c.add(name, payload, seal)
	if len(c.fresh.text) >= full {
		c.flush()
	}
}

func (c *Cache) add(name Sum, payload []byte, seal Sum) {
	p := &c.fresh
	if p.at == nil {
		p.at = map[Sum][2]int{}
	}
	from := len(p.text)
	p.text = append(append(p.text, payload...), seal[:]...)
	p.index = append(p.index, name[:]...)
	p.index = binary.LittleEndian.AppendUint64(p.index, uint64(from))
	p.index = binary.LittleEndian.AppendUint64(p.index, uint64(len(payload)))
	p.at[name] = [2]int{from, from + len(payload)}
}

// flush writes what is pending as a pack. The lock is held.
func (c *Cache) flush() {
	p := c.fresh
	c.fresh = pending{}
	if c.failed || len(p.at) == 0 {
		return
	}
	seal := c.tag(p.index, 3)
	end := append(binary.LittleEndian.AppendUint64(nil, uint64(len(p.index))), seal[:]...)
	random := make([]byte, 16)
	rand.Read(random)
	path := filepath.Join(c.dir, hex.EncodeToString(random)+packEnding)
	if err := put(c.dir, path, p.text, p.index, end); err != nil {
		c.failed = true
		return
	}
	c.made++
	if c.at != nil { // listed already
		c.take(path)
	}
}

// listPacks opens the packs and reads their indexes.
func (c *Cache) listPacks() {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.at = map[Sum][]spot{}
	entries, _ := os.ReadDir(c.dir) // what cannot be listed is not there
	var paths []string
	for _, e := range entries {
		if strings.HasSuffix(e.Name(), packEnding) && e.Type().IsRegular() {
			paths = append(paths, filepath.Join(c.dir, e.Name()))
		}
	}
	for _, path := range paths {
		c.take(path)
	}
}

// take opens a pack and adds its entries; one without a sound index has none.
func (c *Cache) take(path string) {
	file, err := os.Open(path)
	if err != nil {
		return
	}
	info, err := file.Stat()
	if err != nil {
		file.Close()
		return
	}
	p := &pack{path: path, file: file, bytes: info.Size(), used: info.ModTime()}
	c.packs = append(c.packs, p)
	index := c.index(p)
	for ; len(index) >= indexBytes; index = index[indexBytes:] {
		name := Sum(index[:len(Sum{})])
		s := spot{p, int64(binary.LittleEndian.Uint64(index[16:])), int64(binary.LittleEndian.Uint64(index[24:]))}
		c.at[name] = append(c.at[name], s)
	}
}

// index reads a pack's index; nil where it is damaged.
func (c *Cache) index(p *pack) []byte {
	end := make([]byte, endBytes)
	if p.bytes < int64(endBytes) {
		return nil
	}
	if _, err := p.file.ReadAt(end, p.bytes-int64(endBytes)); err != nil {
		return nil
	}
	length := binary.LittleEndian.Uint64(end)
	if length > uint64(p.bytes)-uint64(endBytes) {
		return nil
	}
	index := make([]byte, length)
	if _, err := io.ReadFull(io.NewSectionReader(p.file, p.bytes-int64(endBytes)-int64(length), int64(length)), index); err != nil {
		return nil
	}
	if c.tag(index, 3) != Sum(end[8:]) {
		return nil
	}
	return index
}
