package cli

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"soletrial/cmd/internal/cli/voice"
)

// BenchmarkPoolFolders pools 10,000 datasets on disk, one runner each: five shoes
// in three outcomes, 30 rows and 3 kB of comparisons each.
func BenchmarkPoolFolders(b *testing.B) {
	top := b.TempDir()
	args := []string{"pool", "--json"}
	for i := range 10000 {
		folder := filepath.Join(top, fmt.Sprintf("r%05d", i))
		var table strings.Builder
		table.WriteString("outcome,unit,level,model,shoe,reference,runners,sessions,blocks,log_estimate,log_se,df\n")
		for _, outcome := range []string{"speed", "heart_rate", "cadence"} {
			for j := range 10 {
				x := (i*31 + j*7) % 997
				fmt.Fprintf(&table, "%s,percent,power %d,mixed,s%d,a,1,4,16,0.0%03d00000,0.00%03d0000,%d.5000\n",
					outcome, 200+i%100, j, x, 300+x/2, 5+i%20)
			}
		}
		for name, text := range map[string]string{
			"dataset.yaml": fmt.Sprintf("title: Runner %d, made up\nlicence: CC0-1.0\ncontributors:\n  - name: "+
				"Runner %d\n", i, i),
			"shoes.csv": "id,label,mass_g\na,A,240.0\ns0,S0,210.0\n", "derived/comparisons.csv": table.String(),
		} {
			path := filepath.Join(folder, name)
			if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
				b.Fatal(err)
			}
			if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
				b.Fatal(err)
			}
		}
		args = append(args, folder)
	}
	for b.Loop() {
		var errors strings.Builder
		if code := Main(args, strings.NewReader(""), io.Discard, &errors); code != voice.ExitOK {
			b.Fatalf("exit %d: %.300s", code, errors.String())
		}
	}
}
