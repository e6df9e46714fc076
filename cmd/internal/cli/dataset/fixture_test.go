package dataset

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"
)

// fixture is an invented dataset as files by path; what they hold matters to nobody
// here.
func fixture(sessions int) map[string]string {
	files := map[string]string{
		"dataset.yaml": "title: small\ninvented: true\n", "runners.csv": "id,label\nr,Runner (invented)\n",
		"shoes.csv": "id,label\na,Alder (invented)\n", "venues.csv": "id,label\nv,Loop (invented)\n",
	}
	for i := range sessions {
		folder := sessionFolder(i)
		files[folder+"session.yaml"] = fmt.Sprintf("date: 2026-03-%02d\n", i+1)
		files[folder+"blocks.csv"] = "block,shoe,start_s,end_s\n1,a,0,300\n"
		files[folder+"pod.csv"] = "elapsed_s,power_w\n0,250\n"
	}
	return files
}

func sessionFolder(i int) string { return fmt.Sprintf("sessions/2026-03-%02d/", i+1) }

// writeFile writes a file and the folders on the way to it.
func writeFile(t *testing.T, path, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
}

// holdsOnly checks files below dir, and that nothing is left of a stage.
func holdsOnly(t *testing.T, dir string, want map[string]string) {
	t.Helper()
	for name, text := range want {
		if is, err := os.ReadFile(filepath.Join(dir, name)); string(is) != text {
			t.Errorf("%s holds %q (%v), want %q", name, is, err, text)
		}
	}
	if left, _ := filepath.Glob(filepath.Join(dir, StagePrefix+"*")); len(left) > 0 {
		t.Errorf("%q is left", left)
	}
}
