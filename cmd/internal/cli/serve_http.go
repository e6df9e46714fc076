package cli

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

// siteServer answers requests from the site that was put last.
type siteServer struct {
	names   []string // by which this machine may be asked, besides its numbers
	current atomic.Pointer[heldSite]
}

// put makes another site the current one, for every request from now on.
func (s *siteServer) put(files []site.File) {
	held := holdSite(files)
	s.current.Store(&held)
}

// ServeHTTP implements [http.Handler].
func (s *siteServer) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	head := w.Header()
	head.Set("X-Content-Type-Options", "nosniff")
	head.Set("Cross-Origin-Resource-Policy", "same-origin")
	head.Set("Cache-Control", "no-cache") // asked again each time, answered by 304
	switch {
	case !s.meant(r.Host):
		http.Error(w, "this server is not "+strconv.QuoteToASCII(r.Host)+": ask it by number, or start serve with --name", http.StatusMisdirectedRequest)
	case r.Method != http.MethodGet && r.Method != http.MethodHead:
		head.Set("Allow", "GET, HEAD")
		http.Error(w, "only GET and HEAD", http.StatusMethodNotAllowed)
	default:
		s.answer(w, r)
	}
}

// meant reports whether a request's Host names this machine. A page elsewhere may
// have its own name point here (DNS rebinding) and would then read what this
// machine serves to nobody else; a number cannot be pointed anywhere.
func (s *siteServer) meant(host string) bool {
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
	return name != "" && (err == nil && own != "" && (name == own || name == own+".local") || slices.ContainsFunc(s.names, func(n string) bool { return strings.EqualFold(n, name) }))
}

// answer sends a file, or says that there is none. A folder is its index page, and
// a folder without its slash is sent there.
func (s *siteServer) answer(w http.ResponseWriter, r *http.Request) {
	held := *s.current.Load()
	path := strings.TrimPrefix(r.URL.Path, "/")
	if path == "" || strings.HasSuffix(path, "/") {
		path += "index.html"
	}
	file, found := held[path]
	if _, folder := held[path+"/index.html"]; !found && folder {
		w.Header().Set("Location", lastOf(r.URL.EscapedPath())+"/")
		w.WriteHeader(http.StatusPermanentRedirect)
		return
	}
	if !found {
		http.Error(w, "there is no such page here", http.StatusNotFound)
		return
	}
	s.send(w, r, file)
}

// lastOf returns the last part of a path: redirected relative to where it was
// asked, a request cannot be sent to another host.
func lastOf(path string) string { return "./" + path[strings.LastIndexByte(path, '/')+1:] }

// send sends a file in the coding that is wanted; ranges, conditions and HEAD are
// the standard library's.
func (s *siteServer) send(w http.ResponseWriter, r *http.Request, f *heldFile) {
	zipped, plain := false, true
	if f.packs() {
		w.Header().Add("Vary", "Accept-Encoding")
		zipped, plain = wantsGzip(r.Header.Values("Accept-Encoding"))
	}
	if !zipped && !plain {
		http.Error(w, "sent as it is or by gzip only", http.StatusNotAcceptable)
		return
	}
	version, err := f.in(zipped)
	if err != nil {
		http.Error(w, "this file is damaged: build the program again", http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", f.kind)
	w.Header().Set("ETag", version.tag)
	if zipped {
		w.Header().Set("Content-Encoding", "gzip")
		if r.Header.Get("Range") == "" {
			w.Header().Set("Content-Length", strconv.Itoa(len(version.text))) // a coding keeps the library from saying so
		}
	}
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(version.text))
}
