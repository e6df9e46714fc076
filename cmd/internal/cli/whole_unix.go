//go:build !windows

package cli

import (
	"os"

	"github.com/google/renameio/v2"
)

// writeWhole creates or replaces a file so that a reader, and the disk after a
// fall of the power, sees the old bytes or the new ones and never a part.
func writeWhole(path string, text []byte) error { return renameio.WriteFile(path, text, 0o666) }

// rename moves a file or folder, in the place of a file of that name.
func rename(from, to string) error { return os.Rename(from, to) }
