package main_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"testing"
)

// heavy publishes a site with four invented sessions of an hour, each with 36,000
// samples of eight channels.
func heavy(t testing.TB) string {
	t.Helper()
	dataset, site := filepath.Join(t.TempDir(), "data"), filepath.Join(t.TempDir(), "public")
	write := func(path, text string) {
		path = filepath.Join(dataset, path)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	write("dataset.yaml", "title: Heavy, invented\ninvented: true\n")
	write("runners.csv", "id,label\nr,Runner (invented)\n")
	write("shoes.csv", "id,label,mass_g\na,Ash,200\nb,Beech,220\n")
	for s := range 4 {
		folder := fmt.Sprintf("sessions/2026-01-%02d-power/", s+1)
		write(folder+"session.yaml", fmt.Sprintf("date: 2026-01-%02d\nrunner: r\neffort: power\ntarget: "+
			"260\nrecordings: [{file: pod.csv, device: pod}]\n", s+1))
		blocks := "block,shoe,start_s,end_s\n"
		for b, shoe := range "abbabaab" {
			blocks += fmt.Sprintf("%d,%c,%d.0,%d.0\n", b+1, shoe, 20+450*b, 440+450*b)
		}
		write(folder+"blocks.csv", blocks)
		var text bytes.Buffer
		text.WriteString("elapsed_s,power_w,speed_mps,distance_m,cadence_spm,step_length_m," +
			"contact_ms,oscillation_cm,heart_rate_bpm\n")
		for i := range 36_000 {
			n := (i*7919 + s*104729) % 1009 % 20
			fmt.Fprintf(&text, "%d.%d00,%d.0,3.9%02d,%d.%d,17%d.0,1.3%02d,22%d.0,8.%d0,15%d\n", i/10, i%10, 250+n,
				n, i*39/100, i%10, n%10, n, n%10, n%10, n%10)
		}
		write(folder+"pod.csv", text.String())
	}
	run(t, "-d", dataset, "tidy")
	run(t, "-d", dataset, "derive")
	run(t, "-d", dataset, "publish", "-o", site)
	return site
}

// BenchmarkExplorerHeavy is the time to the next picture with 36,000 samples x 8
// channels x 4 sessions in view: a dragged window edge, and a zoom, which paints
// every trace anew.
func BenchmarkExplorerHeavy(b *testing.B) {
	p := open(b, serve(b, heavy(b)), 1280)
	p.explore("#session=2026-01-01-power&beside=2026-01-02-power,2026-01-03-power,2026-01-04-power" +
		"&channels=power_w,speed_mps,distance_m,cadence_spm,step_length_m,contact_ms,oscillation_cm,heart_rate_bpm")
	if canvases := value[int](p, `document.querySelectorAll(".plot canvas").length`); canvases != 8 {
		b.Fatalf("%d traces", canvases)
	}
	b.Run("drag", func(b *testing.B) {
		frames(b, p, func(i int) string {
			at := 0.2 + 0.01*float64(i%10)
			if i == 1 {
				p.point(".plot .edge", 1, "down@0.2")
			}
			return fmt.Sprintf(`(() => { const b = document.querySelector(".plot").getBoundingClientRect();
				window.dispatchEvent(new PointerEvent("pointermove", {pointerId: 1, clientX: b.left + %v * b.width,
					clientY: b.top + 5})); })()`, at)
		})
	})
	b.Run("drag on", func(b *testing.B) { // a move before every picture, for three seconds once
		b.ReportMetric(value[float64](p, `new Promise((done) => {
			const box = document.querySelector(".plot").getBoundingClientRect(), from = performance.now();
			let pictures = 0;
			requestAnimationFrame(function step() {
				const spent = performance.now() - from;
				if (spent > 3000) return done(1000 * pictures / spent);
				window.dispatchEvent(new PointerEvent("pointermove", {pointerId: 1,
					clientX: box.left + (0.2 + 0.001 * (pictures++ % 200)) * box.width, clientY: box.top + 5}));
				requestAnimationFrame(step);
			});
		})`), "pictures/s")
	})
	p.point(".plot", 1, "up@0.5")
	b.Run("zoom", func(b *testing.B) {
		frames(b, p, func(i int) string {
			return fmt.Sprintf(`document.getElementById(%q).click()`, []string{"zoom-in", "zoom-all"}[i%2])
		})
	})
	p.unfaulted()
}
