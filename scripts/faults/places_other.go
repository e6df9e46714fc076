//go:build !unix

package main

// tryPlaces has nothing to try: pipes and devices are not files here.
func (c *campaign) tryPlaces() error {
	c.count("pipes, devices and links for files").note = "not tried: this system has none in folders"
	return nil
}
