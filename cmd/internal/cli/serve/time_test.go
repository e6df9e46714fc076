package serve

import (
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"sync/atomic"
	"testing"
	"time"

	"soletrial/pipeline/site"
)

// slowReaders is how many connections ask for something large and read nothing of it.
const slowReaders = 300

// connections counts those that a server had, and those that are open.
type connections struct{ all, open atomic.Int64 }

// listen serves a site with a large file until the test ends, and returns its address and
// counts its connections.
func listen(t *testing.T, piece time.Duration) (address string, counts *connections) {
	t.Helper()
	s := NewServer(nil)
	s.pieceTime = piece
	s.Publish([]site.File{{Path: "index.html", Text: []byte("<title>home</title>")},
		{Path: "large.png", Text: make([]byte, 32<<20)}})
	server := httptest.NewUnstartedServer(s)
	server.Config = s.HTTP()
	counts = &connections{}
	server.Config.ConnState = func(_ net.Conn, state http.ConnState) {
		switch state {
		case http.StateNew:
			counts.all.Add(1)
			counts.open.Add(1)
		case http.StateClosed:
			counts.open.Add(-1)
		}
	}
	server.Start()
	t.Cleanup(server.Close)
	return server.Listener.Addr().String(), counts
}

// readNothing opens connections that ask for something large and read nothing of it.
func readNothing(t *testing.T, address string, many int) {
	t.Helper()
	for range many {
		c, err := net.Dial("tcp", address)
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { c.Close() })
		c.(*net.TCPConn).SetReadBuffer(64 << 10) // else the system reads megabytes of it
		if _, err := io.WriteString(c, "GET /large.png HTTP/1.1\r\nHost: localhost\r\n\r\n"); err != nil {
			t.Fatal(err)
		}
	}
}

// Those who read nothing take nobody else's turn. They are kept for far longer than anybody
// else waits, so that a turn that is taken is seen on any machine.
func TestServeSlowReaders(t *testing.T) {
	address, counts := listen(t, time.Hour)
	readNothing(t, address, slowReaders)
	client := &http.Client{Timeout: time.Minute}
	for range 50 {
		got, err := client.Get("http://" + address + "/")
		if err != nil {
			t.Fatal(err)
		}
		if text := body(t, got); got.StatusCode != 200 || text != "<title>home</title>" {
			t.Fatalf("%d %q", got.StatusCode, text)
		}
		got.Body.Close()
	}
	if n := counts.open.Load(); n < slowReaders {
		t.Errorf("%d connections are open while %d read nothing", n, slowReaders)
	}
}

// Those who read nothing are let go after a while.
func TestServeLetsGo(t *testing.T) {
	address, counts := listen(t, 100*time.Millisecond)
	const few = 20
	readNothing(t, address, few)
	for end := time.Now().Add(time.Minute); counts.all.Load() < few || counts.open.Load() > 0; {
		time.Sleep(20 * time.Millisecond)
		if time.Now().After(end) {
			t.Fatalf("%d connections are still open", counts.open.Load())
		}
	}
}

// A reader that is slow but reads gets everything, however long that takes.
func TestServeSteadyReader(t *testing.T) {
	address, _ := listen(t, 2*time.Second)
	c, err := net.Dial("tcp", address)
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	c.(*net.TCPConn).SetReadBuffer(64 << 10)
	if _, err := io.WriteString(c, "GET /large.png HTTP/1.0\r\nHost: localhost\r\n\r\n"); err != nil {
		t.Fatal(err)
	}
	total, piece := 0, make([]byte, 1<<20)
	for began := time.Now(); ; time.Sleep(100 * time.Millisecond) { // 32 MB in 3.2 s
		n, err := io.ReadFull(c, piece)
		if total += n; err != nil {
			if total < 32<<20 || time.Since(began) < 3*time.Second {
				t.Errorf("%d bytes in %v, %v", total, time.Since(began), err)
			}
			return
		}
	}
}

// A connection that sends nothing, or its request too slowly, is closed; so is one that
// stays without a next request.
func TestServeTimes(t *testing.T) {
	s := NewServer(nil).HTTP()
	for what, is := range map[string]time.Duration{"read": s.ReadTimeout, "idle": s.IdleTimeout,
		"write": s.WriteTimeout} {
		if is <= 0 || is > time.Minute {
			t.Errorf("%s: %v", what, is)
		}
	}
}

// What a page says of itself in its head is said in the header too, with what only a
// header can say (Content Security Policy Level 3, section 3.3: frame-ancestors is ignored
// in a meta element).
func TestServePolicy(t *testing.T) {
	s := NewServer(nil)
	s.Publish([]site.File{
		{Path: "index.html", Text: []byte(`<meta http-equiv="Content-Security-Policy" content="default-src ` +
			`&#39;none&#39;; img-src &#39;self&#39;">`)},
		{Path: "bare.html", Text: []byte("bare")}, {Path: "figure.svg", Text: []byte("<svg/>")},
		{Path: "worker.js", Text: []byte("0")}, {Path: "blocks.csv", Text: []byte("a\n")},
	})
	for path, want := range map[string]string{
		"/":           "default-src 'none'; img-src 'self'; frame-ancestors 'none'",
		"/bare.html":  "frame-ancestors 'none'",
		"/figure.svg": "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'",
		"/worker.js":  "", "/blocks.csv": "",
	} {
		if got := ask(s, "GET", path).Header.Get("Content-Security-Policy"); got != want {
			t.Errorf("%s: %q, want %q", path, got, want)
		}
	}
}
