package house

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// mayImport is the layout: what of this module each package may import
// directly. A package that is not here has no place yet.
var mayImport = map[string][]string{
	"":                  {"internal/command"},
	"api":               {"internal/app", "internal/domain", "internal/policy", "internal/paper", "internal/calendar", "internal/network", "internal/levelling", "internal/pricing", "internal/pricing/localrules", "internal/repair", "internal/method", "internal/takeoff", "internal/billing", "internal/points", "internal/money", "internal/measure", "internal/fault"},
	"internal/command":  {"api", "internal/app", "internal/psplib", "internal/levelling/project", "internal/levelling/search", "internal/mail", "internal/demo", "internal/store", "internal/password", "internal/domain", "internal/photo", "internal/fault"},
	"internal/demo":     {"internal/app", "internal/domain", "internal/calendar", "internal/pricing", "internal/pricing/localrules", "internal/photo", "internal/points", "internal/repair", "internal/takeoff", "internal/method", "internal/fault"},
	"internal/store":    {"internal/app", "internal/domain", "internal/calendar", "internal/network", "internal/points", "internal/pricing", "internal/money", "internal/measure", "internal/fault"},
	"internal/app":      {"internal/domain", "internal/wording", "internal/policy", "internal/paper", "internal/tabular", "internal/icalendar", "internal/jobfile", "internal/calendar", "internal/network", "internal/health", "internal/levelling", "internal/pricing", "internal/pricing/localrules", "internal/repair", "internal/method", "internal/billing", "internal/points", "internal/coating", "internal/takeoff", "internal/money", "internal/measure", "internal/photo", "internal/fault"},
	"internal/paper":    {"internal/domain", "internal/wording", "internal/billing", "internal/money", "internal/fault"},
	"internal/policy":   {"internal/domain", "internal/fault"},
	"internal/domain":   {"internal/wording", "internal/calendar", "internal/network", "internal/pricing", "internal/pricing/localrules", "internal/repair", "internal/method", "internal/takeoff", "internal/billing", "internal/points", "internal/money", "internal/measure", "internal/fault"},
	"internal/password": {"internal/fault"},
	"internal/photo":    {"internal/fault"},
	"internal/network":  {"internal/calendar", "internal/fault"},
	"internal/pricing":  {"internal/money", "internal/measure", "internal/fault"},
	"internal/calendar": {"internal/fault"},
	"internal/measure":  {"internal/money", "internal/fault"},
	"internal/money":    {"internal/fault"},
	"internal/fault":    {},
	"internal/house":    {},
	"internal/mail":     {"internal/app", "internal/fault"},

	"internal/levelling":          {"internal/levelling/search", "internal/network", "internal/calendar", "internal/fault"},
	"internal/levelling/search":   {},
	"internal/psplib":             {"internal/levelling/project", "internal/fault"},
	"internal/levelling/project":  {"internal/levelling/search", "internal/fault"},
	"internal/pricing/localrules": {"internal/money", "internal/fault"},
	"internal/health":             {"internal/network", "internal/calendar", "internal/fault"},
	"internal/wording":            {},
	"internal/repair":             {"internal/money", "internal/measure", "internal/fault"},
	"internal/method":             {"internal/money", "internal/measure", "internal/fault"},
	"internal/tabular":            {"internal/money", "internal/fault"},
	"internal/icalendar":          {},
	"internal/jobfile":            {"internal/fault"},
	"internal/billing":            {"internal/money", "internal/fault"},
	"internal/points":             {"internal/money", "internal/fault"},
	"internal/coating":            {"internal/money", "internal/measure", "internal/fault"},
	// The one engine that imports another besides those on the network: how a litre
	// of paint is worked out must be said once.
	"internal/takeoff": {"internal/coating", "internal/money", "internal/measure", "internal/fault"},
}

// beside are packages that stand beside the product, with what lies under them:
// checks of the seeds, a real server under load and under the axe, what tests
// share. They may import what they like, and nothing of the product may import
// them, because the layout above does not name them.
var beside = []string{"tools", "seeds", "internal/testkit", "internal/crash", "internal/load"}

func setApart(path string) bool {
	return slices.ContainsFunc(beside, func(b string) bool { return path == b || strings.HasPrefix(path, b+"/") })
}

var engines = []string{"internal/money", "internal/measure", "internal/calendar", "internal/network", "internal/health", "internal/pricing", "internal/pricing/localrules", "internal/repair", "internal/method", "internal/billing", "internal/points", "internal/coating", "internal/takeoff", "internal/wording", "internal/levelling", "internal/levelling/search", "internal/levelling/project"}

// outOfReach are what nothing under the use cases may know, itself or through
// another package of the module.
var outOfReach = []string{"github.com/gin-gonic/gin", "gorm.io/gorm", "net/http", "database/sql"}

// noEngine are what an engine may not import: the world outside and luck.
var noEngine = []string{"os", "os/exec", "os/signal", "io/ioutil", "io/fs", "net", "net/http", "database/sql", "log", "log/slog", "syscall", "embed",
	"math/rand", "math/rand/v2", "crypto/rand"}

func TestImportsPointDownOnly(t *testing.T) {
	for _, p := range module(t) {
		for _, complaint := range againstLayout(p) {
			t.Error(complaint)
		}
	}
}

// againstLayout says in sentences which imports of a package do not fit.
func againstLayout(p pkg) []string {
	if setApart(p.path) {
		return nil
	}
	allowed, placed := mayImport[p.path]
	if !placed {
		return []string{fmt.Sprintf("package %s has no place in the layout: add it to mayImport with what it may import.", p.ImportPath)}
	}
	var out []string
	for _, path := range p.own {
		if !slices.Contains(allowed, path) {
			out = append(out, fmt.Sprintf("package %s imports bareframe/%s, which does not lie below it.", p.ImportPath, path))
		}
	}
	return out
}

// The layout itself has no way up: whatever it allows lies lower.
func TestTheLayoutHasNoCircle(t *testing.T) {
	var height func(path string, above []string) int
	height = func(path string, above []string) int {
		if slices.Contains(above, path) {
			t.Fatalf("the layout runs in a circle: %s", strings.Join(append(above, path), " imports "))
		}
		h := 0
		for _, below := range mayImport[path] {
			h = max(h, 1+height(below, append(slices.Clone(above), path)))
		}
		return h
	}
	for path := range mayImport {
		height(path, nil)
	}
	if top, bottom := height("", nil), height("internal/fault", nil); top < 5 || bottom != 0 {
		t.Errorf("the front door is %d floors up and the refusals %d; want at least 5 and 0", top, bottom)
	}
}

func TestTheUseCasesKnowNoHTTPNoSQLNoORM(t *testing.T) {
	all := module(t)
	reached := below(all, "internal/app")
	if len(reached) < 8 {
		t.Fatalf("only %d packages lie under the use cases: the graph was not read", len(reached))
	}
	for _, path := range reached {
		for _, found := range all[path].imports(outOfReach) {
			t.Errorf("package %s imports %s, which nothing under the use cases may know.", all[path].ImportPath, found)
		}
	}
}

func TestTheHTTPSideKnowsNoStore(t *testing.T) {
	if reached := below(module(t), "api"); slices.Contains(reached, "internal/store") {
		t.Errorf("package bareframe/api reaches bareframe/internal/store, by itself or through another package.")
	} else if !slices.Contains(reached, "internal/app") {
		t.Errorf("package bareframe/api does not reach the use cases: the graph was not read")
	}
}

func TestEnginesTouchNothingOutside(t *testing.T) {
	all := module(t)
	for _, path := range engines {
		p, ok := all[path]
		if !ok {
			t.Errorf("there is no engine %s", path)
			continue
		}
		for _, found := range p.imports(noEngine) {
			t.Errorf("package %s imports %s: an engine does no input or output and draws no luck.", p.ImportPath, found)
		}
		for _, up := range []string{"internal/domain", "internal/app", "api", "internal/store"} {
			if slices.Contains(below(all, path), up) {
				t.Errorf("package %s reaches bareframe/%s, which lies above it.", p.ImportPath, up)
			}
		}
	}
}

// The checks above can fail.
func TestAWrongImportIsSeen(t *testing.T) {
	wrong := pkg{ImportPath: "bareframe/internal/pricing", path: "internal/pricing", Imports: []string{"net/http", "strings"}, own: []string{"internal/domain"}}
	if got := againstLayout(wrong); len(got) != 1 || !strings.Contains(got[0], "imports bareframe/internal/domain") {
		t.Errorf("an engine that imports the nouns: %q", got)
	}
	if got := againstLayout(pkg{ImportPath: "bareframe/internal/extra", path: "internal/extra"}); len(got) != 1 || !strings.Contains(got[0], "no place") {
		t.Errorf("a package without a place: %q", got)
	}
	if got := wrong.imports(noEngine); len(got) != 1 || got[0] != "net/http" {
		t.Errorf("an engine that speaks HTTP: %q", got)
	}
	if got := (pkg{Imports: []string{"gorm.io/gorm/clause"}}).imports(outOfReach); len(got) != 1 {
		t.Errorf("a part of the ORM: %q", got)
	}
	if got := againstLayout(pkg{ImportPath: "bareframe/internal/app", path: "internal/app", own: []string{"internal/testkit"}}); len(got) != 1 {
		t.Errorf("a use case that imports what tests share: %q", got)
	}
	all := map[string]pkg{"a": {path: "a", own: []string{"b"}}, "b": {path: "b", own: []string{"c"}}, "c": {path: "c"}, "d": {path: "d"}}
	if got := below(all, "a"); !slices.Equal(got, []string{"a", "b", "c"}) {
		t.Errorf("below a: %q", got)
	}
}
