package main

import (
	"archive/zip"
	"bytes"
	"fmt"
	"maps"
	"strings"
	"testing"
)

const invented = "example.org/reports"

// proxy puts an invented module of reports before the go command, in the form of
// https://go.dev/ref/mod#goproxy-protocol: a version of one report, and, once what
// it returns is called, one of two.
func proxy(t *testing.T) (next func()) {
	t.Helper()
	nothing(t)
	t.Setenv("GOSUMDB", "off")
	older, newer := published(t, "01", 1), published(t, "02", 2)
	t.Setenv("GOPROXY", located(write(t, older)))
	return func() {
		maps.Copy(older, newer)
		t.Setenv("GOPROXY", located(write(t, older)))
	}
}

// published is what a proxy has of a version of a day in January with so many
// reports, when that is the latest.
func published(t *testing.T, day string, count int) map[string]string {
	t.Helper()
	const mod = "module " + invented + "\n\ngo 1.26\n"
	name := "v0.0.0-202601" + day + "235957-abcdefabcdef"
	files := map[string]string{"go.mod": mod}
	for n := range count {
		files[fmt.Sprintf("data/osv/GO-9999-%04d.json", n+1)] = report
	}
	var archive bytes.Buffer
	w := zip.NewWriter(&archive)
	for path, text := range files {
		f, err := w.Create(invented + "@" + name + "/" + path)
		if err == nil {
			_, err = f.Write([]byte(text))
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	info, at := fmt.Sprintf(`{"Version":%q,"Time":"2026-01-%sT23:59:57Z"}`, name, day), invented+"/@v/"+name
	return map[string]string{at + ".info": info, at + ".mod": mod, at + ".zip": archive.String(),
		invented + "/@latest": info, invented + "/@v/list": ""}
}

// The newest reports, or those of a version, come through the proxy; without one what
// was fetched before is asked, and said to be no more than that.
func TestFetch(t *testing.T) {
	next := proxy(t)
	const first, second = "v0.0.0-20260101235957-abcdefabcdef", "v0.0.0-20260102235957-abcdefabcdef"
	older, err := fetch(invented, "latest", 1)
	if err != nil || older.proxy != "" || older.description != invented+" "+first+", 1 reports" {
		t.Errorf("the first version: %+v, %v", older, err)
	}
	next()
	got, err := fetch(invented, "latest", 2)
	if err != nil || got.proxy != "" || got.description != invented+" "+second+", 2 reports" ||
		!strings.HasSuffix(got.address, second+"/data/osv") {
		t.Errorf("the next version: %+v, %v", got, err)
	}
	if pin, err := fetch(invented, first, 1); err != nil || pin != older {
		t.Errorf("the first version by name: %+v, %v", pin, err)
	}
	t.Setenv("GOPROXY", "off")
	again, err := fetch(invented, "latest", 2)
	if err != nil || again.proxy == "" || again.address != got.address || again.description != got.description {
		t.Errorf("no proxy: %+v, %v", again, err)
	}
	if _, err := fetch(invented, "latest", 3); err == nil ||
		!strings.Contains(err.Error(), "has 2 reports where at least 3") {
		t.Errorf("too few reports: %v", err)
	}
	nothing(t)
	if _, err := fetch(invented, first, 1); err == nil {
		t.Error("neither proxy nor module cache, and no error")
	}
}
