package cli

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/recording/fittest"
)

// A file most of which is damaged is not taken unless that is insisted on; one
// that lost less is taken with a warning.
func TestImportOfDamagedFiles(t *testing.T) {
	run := fittest.Run(fittest.Spec{Blocks: 1, BlockS: 600})
	damaged := func(share float64) string {
		src := append([]byte(nil), run...)
		for i := len(src) - int(share*float64(len(src))); i < len(src); i++ {
			src[i] = 0x0F // a kind of message that was never defined
		}
		path := filepath.Join(t.TempDir(), "run.fit")
		if err := os.WriteFile(path, src, 0o666); err != nil {
			t.Fatal(err)
		}
		return path
	}
	for _, c := range []struct {
		share float64
		force bool
		code  int
		says  string
	}{
		{0.3, false, 0, "are unread, 30 % of what there is"},
		{0.7, false, voice.ExitUsage, "soletrial: 70 % of \""},
		{0.7, true, 0, "are unread, 70 % of what there is"},
	} {
		mine := filepath.Join(t.TempDir(), "mine")
		if code, _ := runMain("init", mine); code != 0 {
			t.Fatalf("init: exit %d", code)
		}
		args := []string{"-d", mine, "import", "-s", "friday"}
		if c.force {
			args = append(args, "--force")
		}
		code, stderr := runMain(append(args, damaged(c.share))...)
		if code != c.code || !strings.Contains(stderr, c.says) || !strings.Contains(stderr, "damaged at byte ") {
			t.Errorf("%.0f %% damaged: exit %d, stderr %q", 100*c.share, code, stderr)
		}
		_, err := os.Stat(filepath.Join(mine, "sessions", "friday", "recording.csv"))
		if (err == nil) != (c.code == 0) {
			t.Errorf("%.0f %% damaged, exit %d: %v", 100*c.share, code, err)
		}
	}
}

func runMain(args ...string) (code int, stderr string) {
	var out, complaints bytes.Buffer
	code = Main(args, strings.NewReader(""), &out, &complaints)
	return code, complaints.String()
}
