package cache

import (
	"cmp"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// How much a cache may hold, in bytes, after [Cache.Trim]; how long an entry is
// kept that nobody asks for; and how long a file may take to become whole.
const (
	Bound     = 512 << 20
	unused    = 90 * 24 * time.Hour
	abandoned = time.Hour
)

// Trim drops what has not been used for long, and, of a cache that holds more than
// bound bytes, the entries that have not been used for longest, down to three
// quarters of it. Unless this run wrote many entries, it looks only once an hour.
func (c *Cache) Trim(bound int64) {
	const many = 256
	made, mark := c.Made.Load(), filepath.Join(c.dir, "trimmed")
	if info, err := os.Stat(mark); made == 0 || err == nil && made < many && time.Since(info.ModTime()) < time.Hour {
		return
	}
	entries, total := c.entries()
	slices.SortFunc(entries, func(a, b entry) int { return cmp.Or(a.used.Compare(b.used), cmp.Compare(a.path, b.path)) })
	room := bound
	if total > bound {
		room = bound / 4 * 3
	}
	for _, e := range entries {
		if total <= room && time.Since(e.used) < unused {
			break
		}
		if os.Remove(e.path) == nil {
			total -= e.bytes
		}
	}
	os.WriteFile(mark, nil, 0o600)
}

// entry is one file of a cache.
type entry struct {
	path  string
	bytes int64
	used  time.Time
}

// entries lists the entries and their size, and removes what never became whole.
func (c *Cache) entries() (list []entry, total int64) {
	filepath.WalkDir(c.dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return nil // what cannot be listed is left alone
		}
		info, err := d.Info()
		switch {
		case err != nil:
		case strings.HasPrefix(d.Name(), passing):
			if time.Since(info.ModTime()) > abandoned {
				os.Remove(path)
			}
		case filepath.Dir(path) != filepath.Clean(c.dir): // the others are the key and the mark
			list = append(list, entry{path, info.Size(), info.ModTime()})
			total += info.Size()
		}
		return nil
	})
	return list, total
}
