package main_test

import (
	"context"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// onePage counts the pages of a PDF.
var onePage = regexp.MustCompile(`/Type\s*/Page[^s]`)

// A field sheet for eight blocks of four shoes prints on one page of A4, and on one
// of letter paper, and no browser has anything to fetch for it.
func TestFieldSheetPrintsOnOnePage(t *testing.T) {
	chromium(t)
	folder := t.TempDir()
	dataset, sheet := filepath.Join(folder, "data"), filepath.Join(folder, "sheet.html")
	if err := os.CopyFS(dataset, os.DirFS("../../data")); err != nil {
		t.Fatal(err)
	}
	change(t, filepath.Join(dataset, "dataset.yaml"), func(text []byte) []byte {
		return append([]byte("site_url: https://example.org/a-folder-with-a-name/shoes/\n"), text...) // for the code
	})
	run(t, "-d", dataset, "plan", "-s", "2026-06-06-power", "--shoes", "fennock,oversley,quenby,tarrow", "--target",
		"268", "--blocks", "8", "--start", "09:30",
		"--venue", "millmere-hall", "--sensor", "foot sensor on the right laces", "--seed", "1", "--sheet", sheet)
	asked := 0
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path != "/favicon.ico" {
			asked++
		}
		http.ServeFile(w, r, sheet)
	}))
	t.Cleanup(server.Close)
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(chromium(t)), chromedp.NoSandbox,
		chromedp.DisableGPU, chromedp.UserDataDir(profileFolder(t)))
	allocator, stop := chromedp.NewExecAllocator(context.Background(), options...)
	t.Cleanup(stop)
	ctx, cancel := chromedp.NewContext(allocator)
	t.Cleanup(cancel)
	ctx, cancel = context.WithTimeout(ctx, patience)
	t.Cleanup(cancel)
	for name, inches := range map[string][2]float64{"A4": {8.27, 11.69}, "letter": {8.5, 11}} {
		if _, err := chromedp.Run(ctx, chromedp.Navigate(server.URL)); err != nil {
			t.Fatal(err)
		}
		printed, err := chromedp.Call(ctx, page.PrintToPDF, page.PrintToPDFParams{PaperWidth: inches[0],
			PaperHeight: inches[1]}) // margins of 1 cm, where the sheet asks for less
		if err != nil {
			t.Fatal(err)
		}
		if n := len(onePage.FindAll(printed.Data, -1)); n != 1 {
			t.Errorf("%s: %d pages, want 1", name, n)
		}
	}
	if asked != 2 {
		t.Errorf("the browser asked for %d files, want the sheet twice", asked)
	}
}
