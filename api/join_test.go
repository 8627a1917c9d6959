package api

import (
	"io/fs"
	"log/slog"
	"os"
	"path"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"net/http/httptest"

	"github.com/gin-gonic/gin"
)

// joinedFront serves the frontend joined.
func joinedFront(t *testing.T, files fs.FS) (*static, func(path string) *httptest.ResponseRecorder) {
	t.Helper()
	gin.SetMode(gin.ReleaseMode)
	s := newStatic(files, nil)
	s.joining = make(chan struct{})
	s.joinAll(slog.New(slog.DiscardHandler))
	engine := gin.New()
	engine.NoRoute(s.serve)
	return s, func(path string) *httptest.ResponseRecorder {
		w := httptest.NewRecorder()
		engine.ServeHTTP(w, httptest.NewRequest("GET", path, nil))
		return w
	}
}

var (
	joinedName  = regexp.MustCompile(`["(](/joined/[\w.-]+)["?)]`)
	joinedLoads = regexp.MustCompile(`["\x60]\./([\w-]+-[A-Z0-9]{8}\.js)["\x60]`)
	anyImport   = regexp.MustCompile(`(?m)(?:^|[;}])(?:import|export)(?:[\w$*{},\s]*\bfrom)?"([^"]+)"|\bimport\("([^"]+)"\)`)
)

// Everything that the page, the worker and a joined file name is there, joined, and
// may be kept for good; nothing that is not asked for by name is.
func TestEveryJoinedFileIsServed(t *testing.T) {
	s, ask := joinedFront(t, os.DirFS("../frontend"))
	page, worker := ask("/").Body.String(), ask("/sw.js").Body.String()
	todo := []string{}
	for _, m := range joinedName.FindAllStringSubmatch(page+worker, -1) {
		todo = append(todo, m[1])
	}
	seen := map[string]string{}
	for len(todo) > 0 {
		name := todo[0]
		todo = todo[1:]
		if _, ok := seen[name]; ok {
			continue
		}
		w := ask(name)
		seen[name] = w.Body.String()
		if kind := kinds[path.Ext(name)]; w.Code != 200 || w.Header().Get("Content-Type") != kind || w.Header().Get("Cache-Control") != "public, max-age=31536000, immutable" {
			t.Errorf("%s: %d %v, want it as %s, kept for good", name, w.Code, w.Header(), kind)
		}
		for _, m := range anyImport.FindAllStringSubmatch(seen[name], -1) {
			if to := m[1] + m[2]; path.Ext(name) == ".js" && !joinedLoads.MatchString(`"`+to+`"`) {
				t.Errorf("%s imports %s, which is not joined", name, to)
			}
		}
		for _, m := range joinedLoads.FindAllStringSubmatch(seen[name], -1) {
			todo = append(todo, "/"+joinedFolder+m[1])
		}
	}
	for name := range s.kept {
		if _, ok := seen["/"+name]; strings.HasPrefix(name, joinedFolder) && !ok {
			t.Errorf("nothing leads to %s", name)
		}
	}
	if len(seen) < 8 || len(seen) > 24 {
		t.Errorf("%d joined files, want few", len(seen))
	}
	if strings.Contains(page, "/lib/app.js") || strings.Contains(page, "/app.css") || !strings.Contains(page, "/lib/theme.js") {
		t.Errorf("the page names modules that are not joined:\n%s", page)
	}
	for _, name := range []string{"/joined/app-00000000.js", "/joined/none.js", "/joined/x.css"} {
		if w := ask(name); w.Code != 404 || w.Header().Get("Cache-Control") != "" {
			t.Errorf("%s: %d %v, want 404", name, w.Code, w.Header())
		}
	}
	if w := ask("/lib/app.js"); w.Code != 200 || w.Header().Get("Cache-Control") != "no-cache" {
		t.Errorf("a plain module: %d %v", w.Code, w.Header())
	}
}

// The worker keeps what the page names and all that the bench loads at once.
func TestTheWorkerKeepsTheJoinedBench(t *testing.T) {
	_, ask := joinedFront(t, os.DirFS("../frontend"))
	worker := ask("/sw.js").Body.String()
	kept := func(name string) bool {
		return strings.Contains(worker, `"`+name+`"`) || strings.Contains(worker, "`"+name+"`")
	}
	for _, m := range pageFile.FindAllStringSubmatch(ask("/").Body.String(), -1) {
		if path.Ext(m[1]) != "" && !kept(m[1]) {
			t.Errorf("the page names %s, the worker does not keep it", m[1])
		}
	}
	bench := regexp.MustCompile(`/joined/bench-[A-Z0-9]{8}\.js`).FindString(worker)
	if bench == "" {
		t.Fatal("the worker does not keep the bench")
	}
	text := ask(bench).Body.String()
	for _, m := range regexp.MustCompile(`(?:from|import)"\./([^"]+)"`).FindAllStringSubmatch(text, -1) {
		if !kept("/joined/" + m[1]) {
			t.Errorf("the bench imports %s, the worker does not keep it", m[1])
		}
	}
}

// small is a frontend of one script.
func small(script string) fstest.MapFS {
	return fstest.MapFS{
		"index.html": {Data: []byte("<head>\n<link rel=\"stylesheet\" href=\"/a.css\">\n<link rel=\"stylesheet\" href=\"/p.css\" media=\"print\">\n<script type=\"module\" src=\"/lib/app.js\"></script>\n</head>")},
		"lib/app.js": {Data: []byte(script)},
		"a.css":      {Data: []byte("a { color: red }")}, "p.css": {Data: []byte("b { color: red }")},
		"sw.js": {Data: []byte("const shell = [\n  \"/\",\n];\nuse(shell);")},
	}
}

func TestAJoinedNameFollowsItsContent(t *testing.T) {
	name := func(script string) []string {
		_, ask := joinedFront(t, small(script))
		return joinedName.FindAllString(ask("/").Body.String(), -1)
	}
	one, again, other := name("use(1);"), name("use(1); // said"), name("use(2);")
	if len(one) != 2 || !slices.Equal(one, again) {
		t.Errorf("the same content: %q and %q", one, again)
	}
	if one[0] != other[0] || one[1] == other[1] {
		t.Errorf("another script: %q and %q, want the same style and another script", one, other)
	}
}

func TestStylesAreJoinedInTheirOrder(t *testing.T) {
	_, ask := joinedFront(t, small("use(1);"))
	style := regexp.MustCompile(`/joined/style-[A-F0-9]{8}\.css`).FindString(ask("/").Body.String())
	if got, want := ask(style).Body.String(), "a{color:red}@media print{b{color:red}}"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

// What cannot be joined is served as it is written.
func TestWhatCannotBeJoinedIsServedPlain(t *testing.T) {
	for _, script := range []string{"let = = 1;", `import "./none.js";`} {
		files := small(script)
		_, ask := joinedFront(t, files)
		if got, want := ask("/").Body.String(), string(files["index.html"].Data); got != want {
			t.Errorf("%s: got %q, want %q", script, got, want)
		}
		if w := ask("/lib/app.js"); w.Code != 200 {
			t.Errorf("%s: the script is answered with %d", script, w.Code)
		}
	}
}
