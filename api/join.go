package api

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"path"
	"regexp"
	"slices"
	"strings"

	esbuild "github.com/evanw/esbuild/pkg/api"
)

// joined is the frontend in few files. Names carry a hash of the content, so
// that a browser may keep a file for good.
type joined struct {
	files map[string][]byte   // by name without a leading slash
	needs map[string][]string // by group, what it loads, itself first
}

// joinedFolder holds the joined files, and nothing else.
const joinedFolder = "joined/"

// groupOf names the joined file that a module comes in when it is loaded on
// demand: what one sitting needs comes together, what a first screen does not need
// comes later. "" leaves a module to itself.
func groupOf(name string) string {
	switch name {
	case "views/access/sign-in.js", "components/bf-toast.js":
		return firstGroup
	case "lib/frames.js":
		return "bench-found"
	}
	rest, ok := strings.CutPrefix(name, "views/")
	if !ok {
		return ""
	}
	face, view, _ := strings.Cut(strings.TrimSuffix(rest, ".js"), "/")
	switch {
	case face == "bench" && (view == "found" || view == "report"):
		return "bench-found"
	case face == "client" && view != "cars" && view != "stands":
		return "client-papers"
	case face == "shop":
		return shopGroup(view)
	}
	return face
}

// shopGroup is the group of a view of the owner's face: where a day begins, the
// floor, one job and what it is to be, its schedule, its papers, templates, and what
// is set up once.
func shopGroup(view string) string {
	switch view {
	case "jobs", "new-job":
		return "shop"
	case "floor":
		return view // technicians open it too
	case "job", "job-survey", "job-takeoff", "job-estimate", "moved-prices":
		return "shop-job"
	case "job-schedule":
		return "shop-schedule"
	}
	switch {
	case strings.HasPrefix(view, "job-") || view == "order":
		return "shop-papers"
	case strings.HasPrefix(view, "template"):
		return "shop-template"
	}
	return "shop-desk"
}

var (
	onDemand = regexp.MustCompile(`\bimport\("(\.{1,2}/[^"]+\.js)"\)`)
	atOnce   = regexp.MustCompile(`(?m)^(?:import|export)\s(?:[^;()]*?\sfrom\s)?"(\.{1,2}/[^"]+\.js)"`)
)

// firstGroup is the group of the front page's script.
const firstGroup = "app"

// front is the frontend's modules: their text, and for each group what it gives to
// who loads it and what it shares with others.
type front struct {
	text   map[string]string
	gives  map[string][]string
	shares map[string][]string
}

// readFront reads the modules and puts them in groups.
func readFront(files fs.FS) (*front, error) {
	f := &front{text: map[string]string{}, gives: map[string][]string{firstGroup: {"lib/app.js"}}, shares: map[string][]string{}}
	err := fs.WalkDir(files, ".", func(name string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() || path.Ext(name) != ".js" {
			return err
		}
		body, err := fs.ReadFile(files, name)
		f.text[name] = string(body)
		return err
	})
	for name := range f.text {
		for _, to := range f.named(onDemand, name) {
			if g := groupOf(to); g != "" && !slices.Contains(f.gives[g], to) {
				f.gives[g] = append(f.gives[g], to)
			}
		}
	}
	for _, members := range f.gives {
		slices.Sort(members)
	}
	f.share()
	return f, err
}

// named lists what a module names in one of the two ways to import.
func (f *front) named(way *regexp.Regexp, name string) []string {
	var out []string
	for _, m := range way.FindAllStringSubmatch(f.text[name], -1) {
		out = append(out, path.Join(path.Dir(name), m[1]))
	}
	return out
}

// reach adds a module and all that it imports.
func (f *front) reach(name string, found map[string]bool) {
	if found[name] {
		return
	}
	found[name] = true
	for _, to := range f.named(atOnce, name) {
		f.reach(to, found)
	}
}

// layers are who loads together what they share, the widest first; what is shared
// goes to the last that holds all who need it. esbuild makes
// one file for each set of entries that reach a module; so that it makes few, an
// entry of a layer reaches all of the layer.
var layers = [][]string{
	{"access", "app", "bench", "bench-found", "client", "client-papers", "floor", "shop", "shop-desk", "shop-job", "shop-papers", "shop-schedule", "shop-template"},
	{"floor", "shop", "shop-desk", "shop-job", "shop-papers", "shop-schedule", "shop-template"},
	{"bench-found", "client-papers", "shop-job", "shop-papers", "shop-schedule", "shop-template"},
	{"access", "floor", "shop-desk", "shop-papers", "shop-schedule"},
	{"shop-desk", "shop-job", "shop-papers", "shop-schedule", "shop-template"},
	{"shop-job", "shop-papers", "shop-schedule"},
	{"bench", "bench-found"},
}

// share finds what groups share: what the front page or one that it leads to
// needs is everybody's, the rest is loaded by those of its layer.
func (f *front) share() {
	by := map[string][]string{}
	for _, g := range slices.Sorted(maps.Keys(f.gives)) {
		found := map[string]bool{}
		for _, name := range f.gives[g] {
			f.reach(name, found)
		}
		for name := range found {
			by[name] = append(by[name], g)
		}
	}
	for _, name := range slices.Sorted(maps.Keys(by)) {
		if len(by[name]) < 2 {
			continue
		}
		layer := layers[0]
		for _, l := range layers[1:] {
			if !slices.ContainsFunc(by[name], func(g string) bool { return !slices.Contains(l, g) }) {
				layer = l
			}
		}
		for _, g := range layer {
			if f.gives[g] != nil {
				f.shares[g] = append(f.shares[g], name)
			}
		}
	}
}

// group is the text of a group's own module.
func (f *front) group(name string) string {
	var out strings.Builder
	for _, m := range f.shares[name] {
		fmt.Fprintf(&out, "import %q;\n", "./"+m)
	}
	for _, m := range f.gives[name] {
		fmt.Fprintf(&out, "export * as %s from %q;\n", place(m), "./"+m)
	}
	return out.String()
}

// module is the text of a module, in which what is loaded on demand is taken out of its
// group.
func (f *front) module(name string) (string, bool) {
	text, ok := f.text[name]
	return onDemand.ReplaceAllStringFunc(text, func(said string) string {
		to := path.Join(path.Dir(name), onDemand.FindStringSubmatch(said)[1])
		if groupOf(to) == "" {
			return said
		}
		return fmt.Sprintf("import(%q).then((group) => group.%s)", "group:"+groupOf(to), place(to))
	}), ok
}

// place is the part of a group's name for a module in it.
func place(name string) string {
	return strings.NewReplacer("/", "_", "-", "_", ".", "_").Replace(name)
}

// source gives esbuild the groups and the modules of the frontend.
func (f *front) source() esbuild.Plugin {
	return esbuild.Plugin{Name: "frontend", Setup: func(b esbuild.PluginBuild) {
		b.OnResolve(esbuild.OnResolveOptions{Filter: ".*"}, func(a esbuild.OnResolveArgs) (esbuild.OnResolveResult, error) {
			name := a.Path
			if !strings.HasPrefix(name, "group:") {
				name = path.Join(path.Dir(a.Importer), name)
			}
			return esbuild.OnResolveResult{Path: name, Namespace: "front"}, nil
		})
		b.OnLoad(esbuild.OnLoadOptions{Filter: ".*", Namespace: "front"}, func(a esbuild.OnLoadArgs) (esbuild.OnLoadResult, error) {
			if g, ok := strings.CutPrefix(a.Path, "group:"); ok {
				text := f.group(g)
				return esbuild.OnLoadResult{Contents: &text}, nil
			}
			text, ok := f.module(a.Path)
			if !ok {
				return esbuild.OnLoadResult{}, fs.ErrNotExist
			}
			return esbuild.OnLoadResult{Contents: &text}, nil
		})
	}}
}

// meta is what of esbuild's account of its outputs is used here.
type meta struct {
	Outputs map[string]struct {
		EntryPoint string
		Imports    []struct{ Path, Kind string }
	}
}

// join makes the joined files of a frontend: its first script and the groups that
// are loaded on demand.
func join(files fs.FS) (*joined, error) {
	f, err := readFront(files)
	if err != nil {
		return nil, err
	}
	var entries []esbuild.EntryPoint
	for _, g := range slices.Sorted(maps.Keys(f.gives)) {
		entries = append(entries, esbuild.EntryPoint{InputPath: "group:" + g, OutputPath: g})
	}
	made := esbuild.Build(esbuild.BuildOptions{
		EntryPointsAdvanced: entries, Plugins: []esbuild.Plugin{f.source()},
		Bundle: true, Splitting: true, Format: esbuild.FormatESModule, Metafile: true,
		MinifyWhitespace: true, MinifyIdentifiers: true, MinifySyntax: true, LegalComments: esbuild.LegalCommentsNone,
		Charset: esbuild.CharsetUTF8, Target: esbuild.ESNext, AbsWorkingDir: "/", Outdir: "/" + joinedFolder,
		EntryNames: "[name]-[hash]", ChunkNames: "part-[hash]",
	})
	if len(made.Errors) > 0 {
		e := made.Errors[0]
		if e.Location != nil {
			return nil, fmt.Errorf("%s:%d: %s", e.Location.File, e.Location.Line, e.Text)
		}
		return nil, errors.New(e.Text)
	}
	out := &joined{files: map[string][]byte{}, needs: map[string][]string{}}
	for _, f := range made.OutputFiles {
		out.files[strings.TrimPrefix(f.Path, "/")] = f.Contents
	}
	var m meta
	if err := json.Unmarshal([]byte(made.Metafile), &m); err != nil {
		return nil, err
	}
	for name, o := range m.Outputs {
		if g, ok := strings.CutPrefix(o.EntryPoint, "front:group:"); ok {
			out.needs[g] = m.closure(name, nil)
		}
	}
	return out, nil
}

// closure lists a joined file and all that it imports, itself first.
func (m *meta) closure(name string, found []string) []string {
	if slices.Contains(found, name) {
		return found
	}
	found = append(found, name)
	for _, i := range m.Outputs[name].Imports {
		if i.Kind == "import-statement" {
			found = m.closure(i.Path, found)
		}
	}
	return found
}
