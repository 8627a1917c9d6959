package house

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// withoutFloat are the packages in which money or sold time is reckoned.
var withoutFloat = []string{"internal/money", "internal/pricing", "internal/pricing/localrules", "internal/repair", "internal/billing", "internal/points", "internal/coating", "internal/domain", "internal/app"}

// readsClock are calls that ask the machine what time it is or wait for it.
var readsClock = []string{"Now", "Since", "Until", "Sleep", "After", "AfterFunc", "Tick", "NewTimer", "NewTicker"}

// makesFloat are conversions to and from binary floating point.
var makesFloat = []string{"NewFromFloat", "NewFromFloat32", "NewFromFloatWithExponent", "InexactFloat64", "Float64", "Float32", "ParseFloat", "FormatFloat"}

func TestEnginesReadNoClock(t *testing.T) {
	for _, p := range among(t, engines) {
		for _, complaint := range inSource(t, p, clockReading) {
			t.Error(complaint)
		}
	}
}

// The use cases and the nouns take the time from outside too, so that tests can
// fix it.
func TestUseCasesTakeTheTimeFromOutside(t *testing.T) {
	for _, p := range among(t, []string{"internal/app", "internal/domain", "internal/policy", "internal/paper", "internal/demo"}) {
		for _, complaint := range inSource(t, p, clockReading) {
			t.Error(complaint)
		}
	}
}

func TestNoFloatWhereMoneyIsReckoned(t *testing.T) {
	for _, p := range among(t, withoutFloat) {
		for _, complaint := range inSource(t, p, floating) {
			t.Error(complaint)
		}
	}
}

func TestNoPackageIsCalledAfterNothing(t *testing.T) {
	nothing := []string{"utils", "util", "common", "helpers", "helper", "manager", "managers", "models", "model", "misc", "shared", "base"}
	for _, p := range module(t) {
		for part := range strings.SplitSeq(p.path, "/") {
			if slices.Contains(nothing, part) || slices.Contains(nothing, p.Name) {
				t.Errorf("package %s is called after nothing; name it after what it computes.", p.ImportPath)
			}
		}
	}
}

func TestEveryPackageSaysWhatItIsFor(t *testing.T) {
	for _, p := range module(t) {
		if len(p.GoFiles) == 0 {
			continue // tests only
		}
		if p.Doc == "" {
			t.Errorf("package %s has no package comment.", p.ImportPath)
		}
		if p.Name != "main" && !slices.Contains(p.GoFiles, "doc.go") {
			t.Errorf("package %s has no doc.go.", p.ImportPath)
		}
	}
}

// among returns the packages of a list that there are, at least one.
func among(t *testing.T, paths []string) []pkg {
	t.Helper()
	var out []pkg
	for _, path := range paths {
		if p, ok := module(t)[path]; ok {
			out = append(out, p)
		}
	}
	if len(out) == 0 {
		t.Fatalf("there is none of the packages %v", paths)
	}
	return out
}

// inSource walks the files of a package, tests left out, and says in sentences
// what a rule has against them.
func inSource(t *testing.T, p pkg, rule func(n ast.Node) string) []string {
	t.Helper()
	var out []string
	for _, name := range p.GoFiles {
		files := token.NewFileSet()
		file, err := parser.ParseFile(files, filepath.Join(p.Dir, name), nil, parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, against(files, file, path.Join(p.path, name), rule)...)
	}
	return out
}

func against(files *token.FileSet, file *ast.File, name string, rule func(n ast.Node) string) []string {
	var out []string
	ast.Inspect(file, func(n ast.Node) bool {
		if n != nil {
			if what := rule(n); what != "" {
				out = append(out, fmt.Sprintf("%s, line %d: %s", name, files.Position(n.Pos()).Line, what))
			}
		}
		return true
	})
	return out
}

func clockReading(n ast.Node) string {
	s, ok := n.(*ast.SelectorExpr)
	if !ok {
		return ""
	}
	if from, ok := s.X.(*ast.Ident); ok && from.Name == "time" && slices.Contains(readsClock, s.Sel.Name) {
		return "time." + s.Sel.Name + " reads the clock; take the instant as an argument."
	}
	return ""
}

func floating(n ast.Node) string {
	switch n := n.(type) {
	case *ast.Ident:
		if n.Name == "float64" || n.Name == "float32" {
			return n.Name + " is binary; money and sold hours are decimals."
		}
	case *ast.BasicLit:
		if n.Kind == token.FLOAT {
			return "the literal " + n.Value + " is binary; write a decimal."
		}
	case *ast.SelectorExpr:
		if slices.Contains(makesFloat, n.Sel.Name) {
			return n.Sel.Name + " goes through binary floating point."
		}
	case *ast.ImportSpec:
		if n.Path.Value == `"math"` {
			return "package math reckons in binary floating point."
		}
	}
	return ""
}

// The rules on sources can fail.
func TestAWrongSourceIsSeen(t *testing.T) {
	const source = `package x
import "math"
var a float64 = 0.5
var b = time.Now()
var c = decimal.NewFromFloat(a)
var d = time.Minute
`
	files := token.NewFileSet()
	file, err := parser.ParseFile(files, "x.go", source, 0)
	if err != nil {
		t.Fatal(err)
	}
	if got := against(files, file, "x.go", clockReading); len(got) != 1 || !strings.Contains(got[0], "line 4: time.Now") {
		t.Errorf("clock: %q", got)
	}
	got := strings.Join(against(files, file, "x.go", floating), "\n")
	for _, want := range []string{"line 2", "line 3: float64", "line 3: the literal 0.5", "line 5: NewFromFloat"} {
		if !strings.Contains(got, want) {
			t.Errorf("floats: want %q in\n%s", want, got)
		}
	}
}
