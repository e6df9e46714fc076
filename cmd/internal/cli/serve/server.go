// Package serve answers HTTP requests from a site in memory: to this machine's own
// names only, with entity tags, ranges and the gzip coding as RFC 9110 has them. Call
// [NewServer] and [Server.Publish], and let [Server.HTTP] listen.
package serve

import (
	"bytes"
	"net"
	"net/http"
	"os"
	"slices"
	"strconv"
	"strings"
	"sync/atomic"
	"time"

	"soletrial/pipeline/site"
)

// Server answers requests from the site that was published last. It holds the site in
// memory, so that no page comes from one state and its figures from another.
type Server struct {
	names     []string // by which this machine may be asked, besides its numbers
	pieceTime time.Duration
	current   atomic.Pointer[siteFiles]
}

// NewServer is a server without a site, which has to be published before the first
// request. It answers to this machine's numbers and own name, and to names.
func NewServer(names []string) *Server { return &Server{names: names, pieceTime: pieceTime} }

// Publish makes another site the current one, for every request from now on.
func (s *Server) Publish(files []site.File) {
	site := newSite(files)
	s.current.Store(&site)
}

// ServeHTTP implements [http.Handler].
func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	head := w.Header()
	head.Set("X-Content-Type-Options", "nosniff")
	head.Set("Cross-Origin-Resource-Policy", "same-origin")
	head.Set("Cache-Control", "no-cache") // asked again each time, answered by 304
	switch {
	case !s.isThisMachine(r.Host):
		http.Error(w, "this server does not answer to the name "+strconv.QuoteToASCII(r.Host)+
			": use its IP address, or start serve with --name",
			http.StatusMisdirectedRequest)
	case r.Method != http.MethodGet && r.Method != http.MethodHead:
		head.Set("Allow", "GET, HEAD")
		http.Error(w, "only GET and HEAD", http.StatusMethodNotAllowed)
	default:
		s.answer(w, withSoundRange(r))
	}
}

// isThisMachine reports whether a request's Host names this machine. A page elsewhere may
// have its own name point here (DNS rebinding) and would then read what this
// machine serves to nobody else; a number cannot be pointed anywhere.
func (s *Server) isThisMachine(host string) bool {
	name := host
	if alone, _, err := net.SplitHostPort(host); err == nil {
		name = alone
	}
	name = strings.ToLower(strings.TrimSuffix(strings.Trim(name, "[]"), "."))
	if net.ParseIP(name) != nil || name == "localhost" {
		return true
	}
	own, err := os.Hostname()
	own = strings.ToLower(own)
	return name != "" && (err == nil && own != "" && (name == own || name == own+".local") ||
		slices.ContainsFunc(s.names, func(n string) bool { return strings.EqualFold(n, name) }))
}

// answer sends a file, or says that there is none. A folder is its index page, and
// a folder without its slash is sent there.
func (s *Server) answer(w http.ResponseWriter, r *http.Request) {
	current := *s.current.Load()
	path := strings.TrimPrefix(r.URL.Path, "/")
	if path == "" || strings.HasSuffix(path, "/") {
		path += "index.html"
	}
	file, found := current[path]
	if _, folder := current[path+"/index.html"]; !found && folder {
		w.Header().Set("Location", relativeName(r.URL.EscapedPath())+"/")
		w.WriteHeader(http.StatusPermanentRedirect)
		return
	}
	if !found {
		http.Error(w, "there is no such page here", http.StatusNotFound)
		return
	}
	s.send(w, r, file)
}

// relativeName is the last part of a path: redirected relative to where it was
// asked, a request cannot be sent to another host.
func relativeName(path string) string { return "./" + path[strings.LastIndexByte(path, '/')+1:] }

// send sends a file in the coding that is wanted; ranges, conditions and HEAD are
// the standard library's.
func (s *Server) send(w http.ResponseWriter, r *http.Request, f *file) {
	zipped, plain := false, true
	if f.compressible() {
		w.Header().Add("Vary", "Accept-Encoding")
		zipped, plain = wantsGzip(r.Header.Values("Accept-Encoding"))
	}
	if !zipped && !plain {
		http.Error(w, "sent as it is or by gzip only", http.StatusNotAcceptable)
		return
	}
	body, err := f.encoded(zipped)
	if err != nil {
		http.Error(w, "this file is damaged: build the program again", http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", f.kind)
	w.Header().Set("ETag", body.tag)
	if policy := f.policy(); policy != "" {
		w.Header().Set("Content-Security-Policy", policy)
	}
	if zipped {
		w.Header().Set("Content-Encoding", "gzip")
		if r.Header.Get("Range") == "" {
			w.Header().Set("Content-Length", strconv.Itoa(len(body.text))) // a coding keeps the library from saying so
		}
	}
	http.ServeContent(w, r, "", time.Time{},
		paced{bytes.NewReader(body.text), http.NewResponseController(w), s.pieceTime})
}
