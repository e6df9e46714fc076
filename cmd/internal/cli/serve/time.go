package serve

import (
	"bytes"
	"net/http"
	"time"
)

const (
	// headTime is how long a browser may take to send a request.
	headTime = 10 * time.Second
	// idleTime is how long a connection without a request stays open.
	idleTime = time.Minute
	// pieceTime is how long a browser may take to read the next piece of an answer, about
	// 32 KiB: a slow line is served to the end, one that reads no more is closed.
	pieceTime = 30 * time.Second
)

// HTTP is the server with times after which it gives up on a connection.
func (s *Server) HTTP() *http.Server {
	return &http.Server{Handler: s, ReadTimeout: headTime, IdleTimeout: idleTime, WriteTimeout: s.pieceTime}
}

// paced is the content of an answer. Each time that more of it is wanted, what came before
// has been taken, and the time for the next piece begins.
type paced struct {
	*bytes.Reader
	control *http.ResponseController
	time    time.Duration
}

// Read implements [io.Reader].
func (p paced) Read(b []byte) (int, error) {
	p.control.SetWriteDeadline(time.Now().Add(p.time)) // one that has none, as in tests, needs none
	return p.Reader.Read(b)
}
