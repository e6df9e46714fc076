package cache

import (
	"cmp"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// How much a cache may hold, in bytes; how long something is kept that nobody asks
// for, and how long something is used before it is marked as used again; how long a
// file may take to become whole; and how many small packs there may be.
const (
	Bound     = 512 << 20
	unused    = 90 * 24 * time.Hour
	worn      = 24 * time.Hour
	abandoned = time.Hour
	manySmall = 32
	small     = 1 << 20
)

// Close writes what is not on disk yet and, when this run wrote anything, brings
// the cache within the bound: what nobody has asked for in a long time goes, then
// the packs that have not been used for longest, down to three quarters. Many small
// packs become one.
func (c *Cache) Close(bound int64) {
	c.mu.Lock()
	c.flush()
	wrote := c.made > 0
	c.mu.Unlock()
	if wrote {
		c.list.Do(c.listPacks)
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	now := time.Now()
	for _, p := range c.packs {
		if p.asked.Load() && now.Sub(p.used) > worn {
			p.used = now
			os.Chtimes(p.path, now, now)
		}
	}
	if wrote {
		c.merge()
		c.drop(bound)
		c.tidy()
	}
	for _, p := range c.packs {
		p.file.Close()
	}
	c.packs, c.at = nil, map[Sum][]spot{}
}

// merge puts the whole entries of many small packs into one. The lock is held.
func (c *Cache) merge() {
	var few []*pack
	for _, p := range c.packs {
		if p.bytes < small {
			few = append(few, p)
		}
	}
	if len(few) < manySmall {
		return
	}
	var room []byte
	for name, spots := range c.at { // in any order
		for _, s := range spots {
			if !slices.Contains(few, s.in) {
				continue
			}
			if payload, whole := c.read(name, s, &room); whole {
				c.add(name, payload, c.seal(name, payload))
				break
			}
		}
	}
	if c.flush(); c.failed {
		return
	}
	for _, p := range few {
		c.remove(p)
	}
}

// drop removes packs until the rest is within the bound.
func (c *Cache) drop(bound int64) {
	oldest, total := slices.Clone(c.packs), int64(0)
	slices.SortFunc(oldest, func(a, b *pack) int { return cmp.Or(a.used.Compare(b.used), strings.Compare(a.path, b.path)) })
	for _, p := range oldest {
		total += p.bytes
	}
	room := bound
	if total > bound {
		room = bound / 4 * 3
	}
	for _, p := range oldest {
		if total <= room && time.Since(p.used) < unused {
			break
		}
		c.remove(p)
		total -= p.bytes
	}
}

func (c *Cache) remove(p *pack) {
	p.file.Close() // or some systems would not let go of it
	os.Remove(p.path)
	c.packs = slices.DeleteFunc(c.packs, func(q *pack) bool { return q == p })
}

// tidy removes what never became whole, and notes that nobody has renewed for long.
func (c *Cache) tidy() {
	entries, _ := os.ReadDir(c.dir) // what cannot be listed stays
	for _, e := range entries {
		info, err := e.Info()
		if err != nil {
			continue
		}
		age := time.Since(info.ModTime())
		if strings.HasPrefix(e.Name(), passing) && age > abandoned || strings.HasSuffix(e.Name(), noteEnding) && age > unused {
			os.Remove(filepath.Join(c.dir, e.Name()))
		}
	}
}
