package dataset

import (
	"os"
	"path/filepath"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/site"
)

// siteAt is the site in a folder.
func siteAt(out string) Product {
	return Product{Out: out, What: "the site", Maker: "publish", Mark: "data/index.json"}
}

// ReplaceSite writes the files beside out and then swaps the folders, as
// [Product.Replace] does.
func ReplaceSite(dataset, out string, files []site.File) error {
	return siteAt(out).Replace([]string{dataset}, func(fresh string) error {
		for _, f := range files {
			if err := writeSiteFile(filepath.Join(fresh, filepath.FromSlash(f.Path)), f.Text); err != nil {
				return voice.Usage("the site is as it was", "cannot write %q of the site: %v", f.Path,
					voice.Reason(err))
			}
		}
		return nil
	})
}

// RestoreSite puts back the site that an interrupted [ReplaceSite] had moved away, as
// [Product.Restore] does.
func RestoreSite(out string) error { return siteAt(out).Restore() }

func writeSiteFile(path string, text []byte) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return err
	}
	return os.WriteFile(path, text, 0o644)
}
