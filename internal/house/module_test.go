package house

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"maps"
	"os/exec"
	"slices"
	"strings"
	"sync"
	"testing"
)

// pkg is what the go command knows about a package.
type pkg struct {
	ImportPath string
	Name       string
	Dir        string
	Doc        string
	GoFiles    []string
	Imports    []string

	path string   // within the module; "" is the front door
	own  []string // imports of this module, within it
}

// imports returns which of some packages p imports; a package stands for what
// lies under it when it has a dot, that is, when it is not of the standard
// library.
func (p pkg) imports(unwanted []string) []string {
	var found []string
	for _, i := range p.Imports {
		for _, u := range unwanted {
			if i == u || strings.Contains(u, ".") && strings.HasPrefix(i, u+"/") {
				found = append(found, i)
			}
		}
	}
	return found
}

const moduleName = "bareframe"

// module returns the packages of the module by their path within it.
func module(t *testing.T) map[string]pkg {
	t.Helper()
	all, err := listed()
	if err != nil {
		t.Fatal(err)
	}
	return all
}

var listed = sync.OnceValues(func() (map[string]pkg, error) {
	list := exec.Command("go", "list", "-e", "-json=ImportPath,Name,Dir,Doc,GoFiles,Imports", "./...")
	list.Dir = "../.."
	var complaints bytes.Buffer
	list.Stderr = &complaints
	out, err := list.Output()
	if err != nil {
		return nil, errors.New("go list: " + err.Error() + "\n" + complaints.String())
	}
	all := map[string]pkg{}
	for d := json.NewDecoder(bytes.NewReader(out)); ; {
		var p pkg
		if err := d.Decode(&p); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			return nil, err
		}
		if strings.Contains(p.ImportPath, "/node_modules/") {
			continue // what development tools bring along is not ours
		}
		p.path = inside(p.ImportPath)
		for _, i := range p.Imports {
			if i == moduleName || strings.HasPrefix(i, moduleName+"/") {
				p.own = append(p.own, inside(i))
			}
		}
		all[p.path] = p
	}
	for _, path := range []string{"", "api", "internal/app", "internal/store", "internal/domain"} {
		if _, ok := all[path]; !ok {
			return nil, errors.New("go list does not know the package " + path + " of the module")
		}
	}
	return all, nil
})

func inside(importPath string) string {
	return strings.TrimPrefix(strings.TrimPrefix(importPath, moduleName), "/")
}

// below lists a package and all of the module that it imports, itself or
// through others, sorted.
func below(all map[string]pkg, path string) []string {
	seen := map[string]bool{path: true}
	for queue := []string{path}; len(queue) > 0; queue = queue[1:] {
		for _, next := range all[queue[0]].own {
			if !seen[next] {
				seen[next] = true
				queue = append(queue, next)
			}
		}
	}
	return slices.Sorted(maps.Keys(seen))
}
