package api

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"io/fs"
	"mime"
	"net/http"
	"path"
	"strings"
	"sync"

	"github.com/gin-gonic/gin"
)

// static serves the embedded frontend. Files are hashed and compressed when
// first asked for and kept.
type static struct {
	files    fs.FS
	contract []byte
	mu       sync.Mutex
	kept     map[string]*staticFile
}

type staticFile struct {
	body, zipped []byte
	etag         string
	kind         string
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
	h.Set("Vary", "Accept-Encoding")
	if c.GetHeader("If-None-Match") == file.etag {
		c.Status(http.StatusNotModified)
		c.Writer.WriteHeaderNow()
		return
	}
	body := file.body
	if file.zipped != nil && strings.Contains(c.GetHeader("Accept-Encoding"), "gzip") {
		h.Set("Content-Encoding", "gzip")
		body = file.zipped
	}
	c.Data(http.StatusOK, file.kind, body)
}

func (s *static) file(name string) *staticFile {
	s.mu.Lock()
	defer s.mu.Unlock()
	if f, ok := s.kept[name]; ok {
		return f
	}
	body, err := s.read(name)
	if err != nil {
		return nil // not kept: names that do not exist are without number
	}
	sum := sha256.Sum256(body)
	f := &staticFile{body: body, etag: `"` + hex.EncodeToString(sum[:12]) + `"`, kind: kinds[path.Ext(name)]}
	if f.kind == "" {
		f.kind = mime.TypeByExtension(path.Ext(name))
	}
	var zipped bytes.Buffer
	z, _ := gzip.NewWriterLevel(&zipped, gzip.BestCompression) // the level is a constant that exists
	if _, err := z.Write(body); err == nil && z.Close() == nil && zipped.Len() < len(body) {
		f.zipped = zipped.Bytes()
	}
	s.kept[name] = f
	return f
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
