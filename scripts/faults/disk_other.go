//go:build !linux

package main

// tryDisk needs a disk of a few kilobytes, which takes a file system in memory.
func (c *campaign) tryDisk() error {
	c.count("disk full, read-only folder").note = "not tried: this system is not Linux"
	return nil
}
