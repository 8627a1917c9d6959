package api

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"io"
	"io/fs"
	"net/http"
	"path"
	"strings"
	"sync"

	"github.com/andybalholm/brotli"
	"github.com/gin-gonic/gin"
)

// static serves the embedded frontend. Files are stripped, hashed and compressed
// once and kept.
type static struct {
	files    fs.FS
	contract []byte
	plain    bool // scripts and styles are served as they are written
	mu       sync.Mutex
	kept     map[string]*staticFile
	joining  chan struct{} // closed when the joined files stand, or cannot; nil when nothing is joined
	pressed  []string      // what is pressed once files are joined
}

type staticFile struct {
	body []byte
	gzip []byte // nil when it would not be smaller
	br   []byte
	etag string // weak, since it stands for the body in every coding (RFC 9110, 8.8.1)
	kind string
	// forGood tells browsers to keep the file: another content has another name.
	forGood bool
}

func newStatic(files fs.FS, contract []byte) *static {
	return &static{files: files, contract: contract, kept: map[string]*staticFile{}}
}

var kinds = map[string]string{
	".js": "text/javascript; charset=utf-8", ".css": "text/css; charset=utf-8", ".html": "text/html; charset=utf-8",
	".svg": "image/svg+xml", ".webmanifest": "application/manifest+json", ".yaml": "application/yaml", ".png": "image/png",
}

// serve answers a file, or the front page for an address of the frontend's own
// routes. There are no directory listings.
func (s *static) serve(c *gin.Context) {
	if c.Request.Method != http.MethodGet && c.Request.Method != http.MethodHead {
		c.AbortWithStatus(http.StatusMethodNotAllowed)
		return
	}
	name := strings.TrimPrefix(path.Clean(c.Request.URL.Path), "/")
	if s.joining != nil && (strings.HasPrefix(name, joinedFolder) || name == "sw.js") {
		select { // nobody who waits for a page waits here, but who kept a page from before the start
		case <-s.joining:
		case <-c.Request.Context().Done():
		}
	}
	file := s.file(name)
	if file == nil && path.Ext(name) == "" {
		file = s.file("index.html")
	}
	if file == nil {
		c.Data(http.StatusNotFound, "text/plain; charset=utf-8", []byte("There is no such file.\n"))
		return
	}
	h := c.Writer.Header()
	h.Set("ETag", file.etag)
	h.Set("Cache-Control", "no-cache")
	if file.forGood {
		h.Set("Cache-Control", "public, max-age=31536000, immutable") // RFC 8246
	}
	h.Set("Vary", "Accept-Encoding")
	if file.held(c.GetHeader("If-None-Match")) {
		c.Status(http.StatusNotModified)
		c.Writer.WriteHeaderNow()
		return
	}
	body, encoding := file.encoded(c.GetHeader("Accept-Encoding"))
	if encoding != "" {
		h.Set("Content-Encoding", encoding)
	}
	c.Data(http.StatusOK, file.kind, body)
}

// held reports whether a browser that names these tags has the file as it is:
// the weak comparison of RFC 9110, 8.8.3.2 and 13.1.2.
func (f *staticFile) held(tags string) bool {
	for tag := range strings.SplitSeq(tags, ",") {
		if tag = strings.TrimSpace(tag); tag == "*" || strings.TrimPrefix(tag, "W/") == strings.TrimPrefix(f.etag, "W/") {
			return true
		}
	}
	return false
}

// encoded picks the smallest form that the browser takes.
func (f *staticFile) encoded(accepted string) (body []byte, encoding string) {
	takes := func(name string) bool {
		for part := range strings.SplitSeq(accepted, ",") {
			coding, weight, _ := strings.Cut(strings.TrimSpace(part), ";")
			if coding == name && strings.TrimSpace(weight) != "q=0" {
				return true
			}
		}
		return false
	}
	switch {
	case f.br != nil && takes("br"):
		return f.br, "br"
	case f.gzip != nil && takes("gzip"):
		return f.gzip, "gzip"
	}
	return f.body, ""
}

// file returns a file in the forms it has by now; the first to ask for one gets
// the quick compression, the best follows from press.
func (s *static) file(name string) *staticFile {
	s.mu.Lock()
	f := s.kept[name]
	s.mu.Unlock()
	if f != nil {
		return f
	}
	body, err := s.read(name)
	if err != nil {
		return nil // not kept: names that do not exist are without number
	}
	if !s.plain {
		body = strip(path.Ext(name), body)
	}
	f = s.form(name, body)
	s.mu.Lock()
	defer s.mu.Unlock()
	if there := s.kept[name]; there != nil {
		return there // joined meanwhile
	}
	s.kept[name] = f
	return f
}

// form is a file hashed and quickly compressed.
func (s *static) form(name string, body []byte) *staticFile {
	sum := sha256.Sum256(body)
	f := &staticFile{body: body, etag: `W/"` + hex.EncodeToString(sum[:12]) + `"`, kind: kinds[path.Ext(name)]}
	quick := quicks.Get().(*gzip.Writer)
	defer quicks.Put(quick)
	f.gzip = smaller(body, func(w io.Writer) io.WriteCloser { quick.Reset(w); return quick })
	return f
}

// quicks are compressors at rest. One has 800 KB of tables, made for every file
// they were a hundred megabytes at each start.
var quicks = sync.Pool{New: func() any { return gzip.NewWriter(io.Discard) }}

func (s *static) keep(name string, f *staticFile) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.kept[name] = f
}

// pressWindow is the base 2 logarithm of how far back, in bytes, the best
// compression looks (RFC 7932, 9.1). 256 KiB is beyond every file of the
// frontend, and the tables take 3 MB; they took 33 with the window that is usual.
const pressWindow = 18

// press compresses every file as well as can be, or what pages name once they are
// joined, one after the other, so that no visitor waits for it. It returns when all
// are done.
func (s *static) press() {
	press := brotli.NewWriterOptions(io.Discard, brotli.WriterOptions{Quality: brotli.BestCompression, LGWin: pressWindow})
	names := s.pressed
	if names == nil {
		_ = fs.WalkDir(s.files, ".", func(name string, entry fs.DirEntry, err error) error {
			if err == nil && !entry.IsDir() { // what cannot be read is not served either
				names = append(names, name)
			}
			return nil
		})
	}
	for _, name := range names {
		if f := s.file(name); f != nil {
			best := *f
			best.br = smaller(f.body, func(w io.Writer) io.WriteCloser { press.Reset(w); return press })
			s.keep(name, &best)
		}
	}
}

// smaller returns body compressed, or nil when that does not pay.
func smaller(body []byte, compressor func(io.Writer) io.WriteCloser) []byte {
	var out bytes.Buffer
	w := compressor(&out)
	if _, err := w.Write(body); err != nil || w.Close() != nil || out.Len() >= len(body) {
		return nil
	}
	return out.Bytes()
}

func (s *static) read(name string) ([]byte, error) {
	if name == "openapi.yaml" {
		return s.contract, nil
	}
	if kinds[path.Ext(name)] == "" {
		return nil, fs.ErrNotExist
	}
	return fs.ReadFile(s.files, name)
}
