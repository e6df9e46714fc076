package yamltext_test

import (
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
	"soletrial/pipeline/trial"
)

func TestTemplateReadsBackAsTheDefaults(t *testing.T) {
	template := yamltext.DatasetTemplate()
	fsys := fstest.MapFS{
		"dataset.yaml": {Data: template},
		"runners.csv":  {Data: []byte("id,label\n")},
		"shoes.csv":    {Data: []byte("id,label\n")},
	}
	f, problems := plaintext.Read(fsys, yamltext.Read)
	for _, p := range problems {
		t.Error(p)
	}
	want := trial.DatasetFacts{Title: "A shoe trial", Method: trial.DefaultMethod(), Limits: trial.DefaultLimits()}
	if diff := cmp.Diff(want, f.Dataset.Facts, cmpopts.EquateNaNs()); diff != "" {
		t.Errorf("the template does not read back as the defaults (-want +got):\n%s", diff)
	}
}

// Reading the defaults back proves little if they would be filled in anyway, so
// every number must stand in the text itself.
func TestTemplateWritesEveryDefaultOut(t *testing.T) {
	root, problems := yamltext.Parse(yamltext.DatasetTemplate(), "dataset.yaml")
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	for _, path := range [][]string{
		{"method", "trim", "head_s"}, {"method", "trim", "tail_s"}, {"method", "trim", "heart_rate_head_s"},
		{"method", "confidence"}, {"method", "sensor_by_shoe_pct"}, {"method", "prior", "block_pct", "speed"},
		{"method", "prior", "exponents", "power_speed", "sd"}, {"method", "drift"}, {"method", "worthwhile_pct"},
		{"method", "weight_pct_per_100g"},
		{"limits", "gap_s"}, {"limits", "coverage_pct"}, {"limits", "coverage_stop_pct"}, {"limits", "block_min_s"},
		{"limits", "window_min_s"},
		{"limits", "effort_off_pct"}, {"limits", "effort_off_stop_pct"}, {"limits", "step_product_pct"}, {"limits",
			"step_product_stop_pct"}, {"limits", "order_correlation"},
		{"limits", "ranges", "power_w"}, {"limits", "ranges", "heart_rate_bpm", "stop"},
	} {
		n := root
		for _, key := range path {
			if n = n.Get(key); n == nil {
				t.Errorf("%v is not written out", path)
				break
			}
		}
	}
	if got, want := len(root.Get("limits").Get("ranges").Pairs), len(trial.DefaultLimits().Ranges); got != want {
		t.Errorf("%d ranges are written, want %d", got, want)
	}
}
