package serve

import (
	"bytes"
	"compress/gzip"
	"io"
	"mime"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"testing"

	"soletrial/pipeline/site"
)

// zipped packs a text as gzip.
func zipped(t *testing.T, text []byte) []byte {
	t.Helper()
	var b bytes.Buffer
	w := gzip.NewWriter(&b)
	if _, err := w.Write(text); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// wasm stands for the explorer's program, alphabet for a picture that is not worth
// packing, long for a table that is.
var (
	wasm     = bytes.Repeat([]byte("\x00asm invented "), 100)
	alphabet = []byte("abcdefghijklmnopqrstuvwxyz")
	long     = []byte(strings.Repeat("block,shoe\n1,red\n", 200))
)

func testSite(t *testing.T) *Server {
	s := NewServer([]string{"bench.example"})
	s.Publish([]site.File{
		{Path: "index.html", Text: []byte("<title>home</title>" +
			strings.Repeat(" ", 600))}, {Path: "shoes/index.html", Text: []byte("shoes")},
		{Path: "alphabet.png", Text: alphabet}, {Path: "data/blocks.csv",
			Text: long}, {Path: "explorer/soletrial.wasm.gz", Text: zipped(t, wasm)},
		{Path: "data/a name with spaces & more.csv", Text: []byte("a\n")}, {Path: "explorer/damaged.wasm.gz",
			Text: []byte("no gzip")},
	})
	return s
}

// ask sends one request with fields "Name: value".
func ask(s http.Handler, method, target string, fields ...string) *http.Response {
	r := httptest.NewRequest(method, "http://127.0.0.1:8321"+target, nil)
	for _, field := range fields {
		name, value, _ := strings.Cut(field, ": ")
		if name == "Host" {
			r.Host = value
			continue
		}
		r.Header.Add(name, value)
	}
	w := httptest.NewRecorder()
	s.ServeHTTP(w, r)
	return w.Result()
}

func body(t *testing.T, r *http.Response) string {
	t.Helper()
	text, err := io.ReadAll(r.Body)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func TestServePathsAndTypes(t *testing.T) {
	s := testSite(t)
	for _, c := range []struct {
		target string
		status int
		kind   string
	}{
		{"/", 200, "text/html; charset=utf-8"}, {"/index.html", 200, "text/html; charset=utf-8"},
		{"/shoes/", 200, "text/html; charset=utf-8"}, {"/shoes", 308, ""}, {"/shoes/none.html", 404, ""},
		{"/../index.html", 404, ""}, {"//evil.example/", 404, ""}, {"/data/", 404, ""},
		{"/data/blocks.csv?fresh=1", 200, "text/csv; charset=utf-8"},
		{"/data/a%20name%20with%20spaces%20&%20more.csv", 200, "text/csv; charset=utf-8"},
		{"/alphabet.png", 200, "image/png"}, {"/explorer/soletrial.wasm.gz", 200, "application/wasm"},
		{"/explorer/damaged.wasm.gz", 500, ""},
	} {
		got := ask(s, "GET", c.target)
		if got.StatusCode != c.status || c.kind != "" && got.Header.Get("Content-Type") != c.kind ||
			got.Header.Get("X-Content-Type-Options") != "nosniff" {
			t.Errorf("%s: %d, %v", c.target, got.StatusCode, got.Header)
		}
	}
	if to := ask(s, "GET", "/shoes").Header.Get("Location"); to != "./shoes/" {
		t.Errorf("a folder leads to %q", to)
	}
}

func TestServeMethods(t *testing.T) {
	s := testSite(t)
	for _, method := range []string{"POST", "PUT", "DELETE", "OPTIONS"} {
		// RFC 9110, section 15.5.6: a 405 lists the methods that are allowed.
		if got := ask(s, method, "/"); got.StatusCode != 405 || got.Header.Get("Allow") != "GET, HEAD" {
			t.Errorf("%s: %d, Allow %q", method, got.StatusCode, got.Header.Get("Allow"))
		}
	}
	got, whole := ask(s, "HEAD", "/data/blocks.csv", "Accept-Encoding: gzip"), ask(s, "GET", "/data/blocks.csv",
		"Accept-Encoding: gzip")
	if text := body(t, got); text != "" || got.Header.Get("Content-Length") != whole.Header.Get("Content-Length") ||
		got.Header.Get("ETag") != whole.Header.Get("ETag") || got.Header.Get("Content-Length") == "" {
		t.Errorf("HEAD sends %q, %v", text, got.Header)
	}
}

// A page elsewhere whose name was made to point here must not be answered. 421 is
// RFC 9110, section 15.5.20.
func TestServeRefusesOtherNames(t *testing.T) {
	s := testSite(t)
	machine, err := os.Hostname()
	if err != nil {
		t.Fatal(err)
	}
	for host, want := range map[string]int{
		"127.0.0.1:8321": 200, "localhost:8321": 200, "localhost": 200, "LOCALHOST.:8321": 200, "[::1]:8321": 200,
		"192.168.1.5:8321": 200, "bench.example:8321": 200, machine: 200,
		"evil.example": 421, "evil.example:8321": 421, "localhost.evil.example": 421,
		"127.0.0.1.evil.example:8321": 421, "evil.example\x00": 421,
	} {
		got := ask(s, "GET", "/", "Host: "+host)
		if text := body(t, got); got.StatusCode != want || want == 421 && strings.Contains(text, "home") {
			t.Errorf("asked as %q: %d, %.60q", host, got.StatusCode, text)
		}
	}
	r := httptest.NewRequest("GET", "/", nil)
	r.Host = ""
	w := httptest.NewRecorder()
	if s.ServeHTTP(w, r); w.Code != 421 {
		t.Errorf("asked without a name: %d", w.Code)
	}
}

// RFC 9110, section 14.1.2: bytes are counted from 0, the last one is included, a
// suffix counts from the end; section 15.5.17: what cannot be had is a 416 with the
// length.
func TestServeRanges(t *testing.T) {
	s := testSite(t)
	for _, c := range []struct {
		field  string
		status int
		text   string
		sent   string
	}{
		{"bytes=0-4", 206, "abcde", "bytes 0-4/26"}, {"bytes=5-", 206, "fghijklmnopqrstuvwxyz",
			"bytes 5-25/26"}, {"bytes=-3", 206, "xyz", "bytes 23-25/26"},
		{"bytes=20-99", 206, "uvwxyz", "bytes 20-25/26"}, {"bytes=-99", 206, string(alphabet),
			"bytes 0-25/26"}, {"bytes=25-25", 206, "z", "bytes 25-25/26"},
		{"bytes=26-", 416, "", "bytes */26"}, {"bytes=99-100", 416, "", "bytes */26"},
		// What is not understood is ignored: section 14.2.
		{"lines=1-2", 200, "", ""}, {"bytes=4-1", 200, "", ""}, {"bytes=x-1", 200, "", ""}, {"bytes", 200, "", ""},
		{"bytes=", 200, "", ""}, {"bytes=-", 200, "", ""}, {"bytes=1", 200, "", ""}, {"bytes=0-1;2-3", 200, "", ""},
		{"bytes=0-99999999999999999999", 200, "", ""}, {"bytes=+1-2", 200, "", ""}, {"bytes=0-0,x", 200, "", ""},
		{"bytes=" + strings.Repeat("0-0,", 17), 200, "", ""},
		// Section 14.1: units are case-insensitive; 5.6.1.2: a list may have empty elements.
		{"Bytes=0-4", 206, "abcde", "bytes 0-4/26"}, {"bytes=, 0-4 ,", 206, "abcde", "bytes 0-4/26"},
	} {
		got := ask(s, "GET", "/alphabet.png", "Range: "+c.field)
		text := body(t, got)
		want := c.text
		if c.status == 200 {
			want = string(alphabet)
		}
		if got.StatusCode != c.status || c.status != 416 && text != want || c.sent != "" &&
			got.Header.Get("Content-Range") != c.sent || got.Header.Get("Accept-Ranges") == "" && c.status != 416 {
			t.Errorf("%s: %d %q, %v", c.field, got.StatusCode, text, got.Header)
		}
	}
}

// RFC 9110, section 14.2: ranges are defined for GET alone, and ignored with HEAD.
func TestServeRangeOfHead(t *testing.T) {
	got := ask(testSite(t), "HEAD", "/alphabet.png", "Range: bytes=0-4")
	if got.StatusCode != 200 || got.Header.Get("Content-Length") != "26" || got.Header.Get("Content-Range") != "" {
		t.Errorf("%d, %v", got.StatusCode, got.Header)
	}
}

// RFC 9110, section 14.6: several parts come as multipart/byteranges, each with its
// own Content-Range.
func TestServeSeveralRanges(t *testing.T) {
	got := ask(testSite(t), "GET", "/alphabet.png", "Range: bytes=0-1,-2")
	kind, parameters, err := mime.ParseMediaType(got.Header.Get("Content-Type"))
	if err != nil || got.StatusCode != 206 || kind != "multipart/byteranges" {
		t.Fatalf("%d, %v", got.StatusCode, got.Header)
	}
	parts := multipart.NewReader(got.Body, parameters["boundary"])
	for _, want := range [][2]string{{"bytes 0-1/26", "ab"}, {"bytes 24-25/26", "yz"}} {
		part, err := parts.NextPart()
		if err != nil {
			t.Fatal(err)
		}
		text, err := io.ReadAll(part)
		if err != nil || part.Header.Get("Content-Range") != want[0] || string(text) != want[1] ||
			part.Header.Get("Content-Type") != "image/png" {
			t.Errorf("a part reads %q, %v, %v", text, part.Header, err)
		}
	}
	if _, err := parts.NextPart(); err != io.EOF {
		t.Errorf("after the last part: %v", err)
	}
}

// RFC 9110, section 13.1.5: a range of what has changed meanwhile is sent whole.
func TestServeIfRange(t *testing.T) {
	s := testSite(t)
	tag := ask(s, "GET", "/alphabet.png").Header.Get("ETag")
	for field, status := range map[string]int{tag: 206, `"another"`: 200, "W/" + tag: 200,
		"Wed, 25 Nov 2026 10:00:00 GMT": 200} {
		if got := ask(s, "GET", "/alphabet.png", "Range: bytes=0-4", "If-Range: "+field); got.StatusCode != status {
			t.Errorf("If-Range %s: %d, want %d", field, got.StatusCode, status)
		}
	}
	// The parts of one coding do not fit those of another: their tags differ.
	plain, gz := ask(s, "GET", "/data/blocks.csv"), ask(s, "GET", "/data/blocks.csv", "Accept-Encoding: gzip")
	whole := body(t, gz)
	first := ask(s, "GET", "/data/blocks.csv", "Accept-Encoding: gzip", "Range: bytes=0-9",
		"If-Range: "+gz.Header.Get("ETag"))
	if text := body(t, first); first.StatusCode != 206 || text != whole[:10] ||
		first.Header.Get("Content-Encoding") != "gzip" || first.Header.Get("Content-Length") != "10" {
		t.Errorf("the first bytes of the coding: %d %q, %v", first.StatusCode, text, first.Header)
	}
	if other := ask(s, "GET", "/data/blocks.csv", "Accept-Encoding: gzip", "Range: bytes=0-9",
		"If-Range: "+plain.Header.Get("ETag")); other.StatusCode != 200 || body(t, other) != whole {
		t.Errorf("a range of another coding: %d", other.StatusCode)
	}
}

func TestServeCompresses(t *testing.T) {
	s := testSite(t)
	for _, c := range []struct {
		target, coding string
		text           []byte
		vary           bool
	}{
		{"/data/blocks.csv", "gzip", long, true}, {"/explorer/soletrial.wasm.gz", "gzip", wasm, true},
		{"/alphabet.png", "", alphabet, false}, {"/shoes/", "", []byte("shoes"), false},
	} {
		got, plain := ask(s, "GET", c.target, "Accept-Encoding: br, gzip"), ask(s, "GET", c.target)
		sent := body(t, got)
		if got.Header.Get("Content-Encoding") != c.coding ||
			(got.Header.Get("Vary") == "Accept-Encoding") != c.vary ||
			(plain.Header.Get("Vary") == "Accept-Encoding") != c.vary {
			t.Errorf("%s: %v", c.target, got.Header)
		}
		if text := body(t, plain); text != string(c.text) || plain.Header.Get("Content-Encoding") != "" ||
			plain.Header.Get("Content-Type") != got.Header.Get("Content-Type") {
			t.Errorf("%s as it is: %.40q, %v", c.target, text, plain.Header)
		}
		if c.coding == "" {
			continue
		}
		r, err := gzip.NewReader(strings.NewReader(sent))
		if err != nil {
			t.Fatalf("%s: %v", c.target, err)
		}
		text, err := io.ReadAll(r)
		if err != nil || !bytes.Equal(text, c.text) { // packed twice, it would still be gzip
			t.Errorf("%s unpacks to %.40q, %v", c.target, text, err)
		}
		if a, b := got.Header.Get("ETag"), plain.Header.Get("ETag"); a == b || !strings.HasPrefix(a, `"`) ||
			!strings.HasPrefix(b, `"`) {
			t.Errorf("%s: tags %s and %s", c.target, a, b)
		}
		if got.ContentLength != int64(len(sent)) {
			t.Errorf("%s: length %d of %d", c.target, got.ContentLength, len(sent))
		}
	}
	if got := ask(s, "GET", "/data/blocks.csv", "Accept-Encoding: identity;q=0"); got.StatusCode != 406 {
		t.Errorf("neither coding is wanted: %d", got.StatusCode)
	}
}

// RFC 9110, section 13.1.2: what the browser has already is not sent again, and
// the answer names what it depends on (section 15.4.5).
func TestServeNotModified(t *testing.T) {
	s := testSite(t)
	for _, coding := range []string{"gzip", "identity"} {
		tag := ask(s, "GET", "/data/blocks.csv", "Accept-Encoding: "+coding).Header.Get("ETag")
		got := ask(s, "GET", "/data/blocks.csv", "Accept-Encoding: "+coding, "If-None-Match: "+tag)
		if got.StatusCode != 304 || body(t, got) != "" || got.Header.Get("ETag") != tag ||
			got.Header.Get("Vary") != "Accept-Encoding" || got.Header.Get("Cache-Control") != "no-cache" {
			t.Errorf("%s: %d, %v", coding, got.StatusCode, got.Header)
		}
	}
	gz := ask(s, "GET", "/data/blocks.csv", "Accept-Encoding: gzip").Header.Get("ETag")
	if got := ask(s, "GET", "/data/blocks.csv", "If-None-Match: "+gz); got.StatusCode != 200 {
		t.Errorf("the tag of another coding: %d", got.StatusCode)
	}
	s.Publish([]site.File{{Path: "data/blocks.csv", Text: append([]byte("new\n"), long...)}})
	got := ask(s, "GET", "/data/blocks.csv", "Accept-Encoding: gzip", "If-None-Match: "+gz)
	if got.StatusCode != 200 || ask(s, "GET", "/").StatusCode != 404 {
		t.Errorf("of the newer site: %d", got.StatusCode)
	}
}

// The first five are the examples of RFC 9110, section 12.5.3.
func TestWantsGzip(t *testing.T) {
	for _, c := range []struct {
		fields        []string
		zipped, plain bool
	}{
		{[]string{"compress, gzip"}, true, true}, {[]string{""}, false, true}, {[]string{"*"}, true, true},
		{[]string{"compress;q=0.5, gzip;q=1.0"}, true, true}, {[]string{"gzip;q=1.0, identity; q=0.5, *;q=0"}, true,
			true},
		{nil, false, true}, {[]string{"GZIP"}, true, true}, {[]string{"x-gzip"}, true,
			true}, {[]string{"br", "gzip"}, true, true},
		{[]string{"gzip;q=0"}, false, true}, {[]string{"gzip;q=0.000, identity"}, false,
			true}, {[]string{"gzip;q=0.2, identity;q=0.8"}, false, true},
		{[]string{"gzip;q=0.001"}, true, true}, {[]string{"*;q=0"}, false, false}, {[]string{"identity;q=0"}, false,
			false}, {[]string{"gzip, identity;q=0"}, true, false},
		{[]string{"gzip;q=2"}, false, true}, {[]string{"gzip;q=0.1234"}, false, true}, {[]string{"gzip;q=-1"},
			false, true}, {[]string{"gzip;level=9"}, false, true}, {[]string{",,;q=1,"}, false, true},
	} {
		if zipped, plain := wantsGzip(c.fields); zipped != c.zipped || plain != c.plain {
			t.Errorf("%q: gzip %v, plain %v", c.fields, zipped, plain)
		}
	}
}
