package dataset

import (
	"os"
	"path/filepath"
	"runtime"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/parallel"
	"soletrial/pipeline/site"
)

// siteAt is the site in a folder.
func siteAt(out string) Product {
	return Product{Out: out, What: "the site", Maker: "publish", Mark: "data/index.json"}
}

// CheckSite refuses a folder that [ReplaceSite] would refuse, before a site is made for it.
func CheckSite(dataset, out string) error { return siteAt(out).checkReplaceable([]string{dataset}) }

// ReplaceSite writes the files beside out and then swaps the folders, as
// [Product.Replace] does.
func ReplaceSite(dataset, out string, files []site.File) error {
	return siteAt(out).Replace([]string{dataset}, func(fresh string) error {
		failures := parallel.Map(runtime.GOMAXPROCS(0), len(files), func(i int) error {
			return writeSiteFile(filepath.Join(fresh, filepath.FromSlash(files[i].Path)), &files[i])
		})
		for i, err := range failures {
			if err != nil {
				return voice.Usage("the site is as it was", "cannot write %q of the site: %v", files[i].Path,
					voice.Reason(err))
			}
		}
		return nil
	})
}

// RestoreSite puts back the site that an interrupted [ReplaceSite] had moved away, as
// [Product.Restore] does.
func RestoreSite(out string) error { return siteAt(out).Restore() }

func writeSiteFile(path string, file *site.File) error {
	text, err := file.Content()
	if err != nil {
		return err
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return err
	}
	return os.WriteFile(path, text, 0o644)
}
