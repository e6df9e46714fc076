package plan

import (
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"regexp"
	"strings"
	"testing"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/qrcode"
)

// drawn paints the path of a QR code, some dots for each module.
func drawn(t *testing.T, page string) image.Image {
	t.Helper()
	const dots = 4
	box := regexp.MustCompile(`viewBox="0 0 (\d+) `).FindStringSubmatch(page)
	if box == nil {
		t.Fatal("the page holds no code")
	}
	var size int
	fmt.Sscan(box[1], &size)
	picture := image.NewGray(image.Rect(0, 0, size*dots, size*dots))
	draw.Draw(picture, picture.Bounds(), image.White, image.Point{}, draw.Src)
	runs := regexp.MustCompile(`M(\d+) (\d+)h(\d+)v1h-\d+z`).FindAllStringSubmatch(page, -1)
	for _, run := range runs {
		var x, y, n int
		fmt.Sscan(run[1], &x)
		fmt.Sscan(run[2], &y)
		fmt.Sscan(run[3], &n)
		draw.Draw(
			picture, image.Rect(x*dots, y*dots, (x+n)*dots, (y+1)*dots), image.NewUniform(color.Black), image.Point{},
			draw.Src)
	}
	return picture
}

// What is printed is read back by a decoder that is not ours (ZXing's, in Go), and
// has the light margin of four modules that ISO/IEC 18004 asks for.
func TestSheetCodeLeadsToTheTrackPage(t *testing.T) {
	ds, s := plannedWorld()
	for _, site := range []string{"https://example.org/", "http://192.168.0.12:8080/some-where/~ann/shoes/"} {
		ds.Facts.SiteURL = site
		sheet := NewSheet(ds, s)
		page := sheet.HTML()
		bitmap, err := gozxing.NewBinaryBitmapFromImage(drawn(t, page))
		if err != nil {
			t.Fatal(err)
		}
		result, err := qrcode.NewQRCodeReader().Decode(bitmap, nil)
		if err != nil {
			t.Fatalf("%s: %v", site, err)
		}
		want := site + "track/#2026-05-02-power"
		if result.GetText() != want || !strings.Contains(page, `<a href="`+want+`">`+want+`</a>`) {
			t.Errorf("the code says %q, want %q", result.GetText(), want)
		}
		if regexp.MustCompile(`M[0-3] |M\d+ [0-3]h`).MatchString(strings.ReplaceAll(page, "M0 0h", "")) {
			t.Errorf("%s: the margin is not light", site)
		}
		if !strings.Contains(sheet.Text(), want) {
			t.Errorf("the sheet as text lacks %q", want)
		}
	}
	ds.Facts.SiteURL = ""
	sheet := NewSheet(ds, s)
	if page := sheet.HTML(); strings.Contains(page, "<svg") {
		t.Error("there is a code without an address")
	}
}
