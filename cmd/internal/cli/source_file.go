package cli

import (
	"os"

	"soletrial/cmd/internal/cli/voice"
)

// readRecording reads a file from anywhere, links followed, but nothing that is
// not a file, and none of more than limit bytes.
func readRecording(path string, limit int64) ([]byte, error) {
	info, err := os.Stat(path)
	switch {
	case err != nil:
		return nil, voice.Usage("", "cannot read %q: %v", path, voice.Reason(err))
	case info.IsDir():
		return nil, voice.Usage("name the file itself", "cannot read %q: it is a folder", path)
	case !info.Mode().IsRegular():
		return nil, voice.Usage("save what comes out of it to a file first", "cannot read %q: it is a pipe or a device, not a file", path)
	case info.Size() > limit:
		return nil, voice.Usage("cut it into sessions first", "cannot read %q: the file has %d bytes, more than the %d MB that are read", path, info.Size(), limit>>20)
	}
	file, err := os.Open(path)
	if err != nil {
		return nil, voice.Usage("", "cannot read %q: %v", path, voice.Reason(err))
	}
	defer file.Close()
	text, err := readSettled(file, path)
	if err != nil {
		return nil, voice.Usage("wait until nothing writes to it", "cannot read %q: %v", path, voice.Reason(err))
	}
	return text, nil
}
