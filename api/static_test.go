package api

import (
	"bytes"
	"compress/gzip"
	"io"
	"io/fs"
	"net/http"
	"net/http/httptest"
	"os"
	"path"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/andybalholm/brotli"
	"github.com/gin-gonic/gin"
)

// frontFiles are the frontend's own files of a kind by name.
func frontFiles(t testing.TB, ext string) map[string]string {
	t.Helper()
	out := map[string]string{}
	files := os.DirFS("../frontend")
	err := fs.WalkDir(files, ".", func(name string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() || path.Ext(name) != ext || strings.HasPrefix(name, "tests/") {
			return err
		}
		body, err := fs.ReadFile(files, name)
		out[name] = string(body)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

var (
	comments = regexp.MustCompile(`(?s)/\*\*.*?\*/|(?m:^[ \t]*//[^\n]*$)`)
	imported = regexp.MustCompile(`\bimport\s*(?:([\w$*{},\s]+?)\s*from\s*)?["'](\.{1,2}/[^"']+)["']`)
	loaded   = regexp.MustCompile(`\bimport\(\s*["']([^"']+)["']\s*\)`)
	exported = regexp.MustCompile(`\bexport\s+(default\b)?\s*(?:async\s+)?(?:function|class|const|let)?\s*([\w$]*)`)
	listed   = regexp.MustCompile(`\bexport\s*\{([^}]*)\}`)
)

// border lists what a module takes from others and gives to them, in words that
// do not depend on how it is written.
func border(text string) []string {
	var out []string
	for _, m := range imported.FindAllStringSubmatch(text, -1) {
		names := strings.FieldsFunc(strings.Join(strings.Fields(m[1]), " "), func(r rune) bool { return strings.ContainsRune("{},", r) })
		for i := range names {
			names[i] = strings.TrimSpace(names[i])
		}
		names = slices.DeleteFunc(names, func(n string) bool { return n == "" })
		slices.Sort(names)
		out = append(out, "imports "+strings.Join(names, ", ")+" from "+m[2])
	}
	for _, m := range loaded.FindAllStringSubmatch(text, -1) {
		out = append(out, "loads "+m[1])
	}
	for _, m := range exported.FindAllStringSubmatch(text, -1) {
		name := m[2]
		if m[1] != "" {
			name = m[1] // under what name it stands inside is its own affair
		}
		out = append(out, "exports "+name)
	}
	for _, m := range listed.FindAllStringSubmatch(text, -1) {
		out = append(out, "exports "+strings.Join(strings.Fields(m[1]), " "))
	}
	slices.Sort(out)
	return out
}

// What is stripped from a module is nothing that another module, or the browser,
// takes from it.
func TestAStrippedModuleTakesAndGivesTheSame(t *testing.T) {
	scripts := frontFiles(t, ".js")
	imports := 0
	for name, source := range scripts {
		stripped := string(strip(".js", []byte(source)))
		want, got := border(comments.ReplaceAllString(source, "")), border(stripped)
		imports += len(want)
		if !slices.Equal(got, want) {
			t.Errorf("%s stripped\n got %q\nwant %q", name, got, want)
		}
		if len(stripped) >= len(source) || strings.Contains(stripped, "@ts-check") || strings.Contains(stripped, "@typedef") {
			t.Errorf("%s: %d bytes of %d are left, the types among them", name, len(stripped), len(source))
		}
		if again := string(strip(".js", []byte(source))); again != stripped {
			t.Errorf("%s: stripped twice it is not the same", name)
		}
	}
	if len(scripts) < 50 || imports < 200 {
		t.Errorf("%d scripts with %d imports and exports: the frontend was not read", len(scripts), imports)
	}
}

// Rows from the language itself (ECMA-262): where taking out a line end or a
// comment would change what is meant.
func TestStrippingChangesNoMeaning(t *testing.T) {
	for _, row := range []struct{ name, ext, in, want string }{
		{"a comment goes", ".js", "// why\nlet n = 1; /** @type {number} */\nuse(n);", "let n=1;use(n)"},
		{"text in a template stays as it is (13.2.8)", ".js", "use(html`<p>  two  // no comment\n  ${n}  </p>`);", "use(html`<p>  two  // no comment\n  ${n}  </p>`)"},
		{"a slash in a string is no comment", ".js", `use("https://x.example/ /* no */");`, `use("https://x.example/ /* no */")`},
		{"a line that ends in return returns nothing (12.10)", ".js", "function f() {\n  return\n  1;\n}\nuse(f);", "function f(){return;1}use(f)"},
		{"a default that calls itself keeps its name (16.2.3)", ".js", "export default function again(n) { return n ? again(n - 1) : 0; }", "export default function again(e){return e?again(e-1):0}"},
		{"exported names stay, local ones get short", ".js", "export const longName = (other) => other + longName.length;", "export const longName=e=>e+longName.length"},
		{"what is no script is served as written", ".js", "let = = 1; // broken", "let = = 1; // broken"},
		{"a style loses comments and spaces", ".css", "/* why */\na:hover {\n  color: var( --ink );\n}\n", "a:hover{color:var( --ink )}"},
		{"anything else stays", ".svg", "<svg>  <!-- why --> </svg>", "<svg>  <!-- why --> </svg>"},
	} {
		if got := string(strip(row.ext, []byte(row.in))); got != row.want {
			t.Errorf("%s: %q became %q, want %q", row.name, row.in, got, row.want)
		}
	}
}

// staticFront serves two versions of a small frontend.
func staticFront(script string) (*static, func(method, path string, header ...string) *httptest.ResponseRecorder) {
	gin.SetMode(gin.ReleaseMode)
	long := strings.Repeat("export function wordsThatRepeat() {\n  return document.title; // said\n}\n", 40)
	s := newStatic(fstest.MapFS{
		"index.html":   {Data: []byte("<!doctype html><!-- kept --><title>front</title>")},
		"lib/app.js":   {Data: []byte(script + strings.ReplaceAll(long, "wordsThatRepeat", "other"))},
		"app.css":      {Data: []byte("/* why */ a { color: red; }")},
		"lib/api.d.ts": {Data: []byte("export type A = 1;")},
	}, []byte("openapi: 3.1.0\n"))
	engine := gin.New()
	engine.NoRoute(s.serve)
	return s, func(method, path string, header ...string) *httptest.ResponseRecorder {
		r := httptest.NewRequest(method, path, nil)
		for i := 0; i < len(header); i += 2 {
			r.Header.Set(header[i], header[i+1])
		}
		w := httptest.NewRecorder()
		engine.ServeHTTP(w, r)
		return w
	}
}

func TestAFileKeepsItsTagFromTheFirstAnswerOn(t *testing.T) {
	s, ask := staticFront("let first = 1;\n")
	want := string(s.file("lib/app.js").body)
	tag := ask("GET", "/lib/app.js").Header().Get("ETag")
	if !regexp.MustCompile(`^W/"[0-9a-f]{24}"$`).MatchString(tag) {
		t.Fatalf("the tag is %q, want a weak one: it stands for every coding of the body", tag)
	}
	decoded := map[string]func(io.Reader) io.Reader{
		"":     func(r io.Reader) io.Reader { return r },
		"gzip": func(r io.Reader) io.Reader { z, err := gzip.NewReader(r); must(t, err); return z },
		"br":   func(r io.Reader) io.Reader { return brotli.NewReader(r) },
	}
	for _, row := range []struct{ when, accepts, coding string }{
		{"before it is pressed", "identity", ""}, {"before it is pressed", "gzip, br", "gzip"},
		{"pressed", "identity", ""}, {"pressed", "gzip", "gzip"}, {"pressed", "gzip, br", "br"}, {"pressed", "gzip, br;q=0", "gzip"},
	} {
		if row.when == "pressed" {
			s.press()
		}
		w := ask("GET", "/lib/app.js", "Accept-Encoding", row.accepts)
		h := w.Header()
		if h.Get("ETag") != tag || h.Get("Content-Encoding") != row.coding || h.Get("Vary") != "Accept-Encoding" || h.Get("Content-Type") != "text/javascript; charset=utf-8" {
			t.Errorf("%s, for %q: got %v, want %s coded %q", row.when, row.accepts, h, tag, row.coding)
		}
		body, err := io.ReadAll(decoded[h.Get("Content-Encoding")](w.Body))
		if must(t, err); string(body) != want {
			t.Errorf("%s, for %q: another body", row.when, row.accepts)
		}
	}
	for given, status := range map[string]int{tag: 304, strings.TrimPrefix(tag, "W/"): 304, `"old", ` + tag: 304, "*": 304, `"old"`: 200, "": 200} {
		w := ask("GET", "/lib/app.js", "If-None-Match", given)
		if w.Code != status || w.Header().Get("ETag") != tag || (status == 304) != (w.Body.Len() == 0) {
			t.Errorf("for a browser that has %q: %d with %d bytes, want %d", given, w.Code, w.Body.Len(), status)
		}
	}
	_, other := staticFront("let first = 2;\n")
	if got := other("GET", "/lib/app.js").Header().Get("ETag"); got == tag {
		t.Error("another content has the same tag")
	}
	_, commented := staticFront("let first = 1; // said anew\n")
	if got := commented("GET", "/lib/app.js").Header().Get("ETag"); got != tag {
		t.Error("a comment alone makes browsers load the file again")
	}
}

func TestWhatIsServedAndHow(t *testing.T) {
	_, ask := staticFront("")
	for _, row := range []struct {
		path, kind, body string
		status           int
	}{
		{"/app.css", "text/css; charset=utf-8", "a{color:red}", 200},
		{"/", "text/html; charset=utf-8", "<!doctype html><!-- kept --><title>front</title>", 200},
		{"/shop/jobs/new", "text/html; charset=utf-8", "<!doctype html><!-- kept --><title>front</title>", 200},
		{"/openapi.yaml", "application/yaml", "openapi: 3.1.0\n", 200},
		{"/lib/api.d.ts", "text/plain; charset=utf-8", "There is no such file.\n", 404},
		{"/lib/none.js", "text/plain; charset=utf-8", "There is no such file.\n", 404},
		{"/lib/../../go.mod", "text/plain; charset=utf-8", "There is no such file.\n", 404},
	} {
		w := ask("GET", row.path)
		if w.Code != row.status || w.Header().Get("Content-Type") != row.kind || w.Body.String() != row.body {
			t.Errorf("%s: %d %s %q, want %d %s %q", row.path, w.Code, w.Header().Get("Content-Type"), w.Body, row.status, row.kind, row.body)
		}
	}
	if w := ask("POST", "/app.css"); w.Code != http.StatusMethodNotAllowed {
		t.Errorf("a POST on a file: %d", w.Code)
	}
}

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// BenchmarkFirstAnswers is every script and style asked for once after a start:
// stripped, hashed and quickly compressed. A screen needs some thirty of them.
func BenchmarkFirstAnswers(b *testing.B) {
	scripts, styles := frontFiles(b, ".js"), frontFiles(b, ".css")
	var sent bytes.Buffer
	for b.Loop() {
		s := newStatic(os.DirFS("../frontend"), nil)
		sent.Reset()
		for _, files := range []map[string]string{scripts, styles} {
			for name := range files {
				f := s.file(name)
				sent.Write(f.gzip)
			}
		}
	}
	n := len(scripts) + len(styles)
	b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N*n), "us/file")
	b.ReportMetric(float64(sent.Len()), "bytes-gzip")
}
