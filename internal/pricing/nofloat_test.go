package pricing

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// floats lists where a file uses binary floating point: its types, its literals,
// or a call that goes through it.
func floats(set *token.FileSet, file *ast.File) []string {
	forbidden := map[string]bool{"ParseFloat": true, "FormatFloat": true, "AppendFloat": true,
		"NewFromFloat": true, "NewFromFloat32": true, "NewFromFloatWithExponent": true,
		"Float64": true, "Float32": true, "InexactFloat64": true, "Float": true, "SetFloat64": true, "NewFloat": true}
	var found []string
	ast.Inspect(file, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.Ident:
			switch n.Name {
			case "float32", "float64", "complex64", "complex128":
				found = append(found, set.Position(n.Pos()).String()+": "+n.Name)
			}
		case *ast.BasicLit:
			if n.Kind == token.FLOAT || n.Kind == token.IMAG {
				found = append(found, set.Position(n.Pos()).String()+": literal "+n.Value)
			}
		case *ast.SelectorExpr:
			if forbidden[n.Sel.Name] {
				found = append(found, set.Position(n.Pos()).String()+": "+n.Sel.Name)
			}
		case *ast.ImportSpec:
			if n.Path.Value == `"math"` {
				found = append(found, set.Position(n.Pos()).String()+": package math")
			}
		}
		return true
	})
	return found
}

// No float occurs on the money path. The package billing joins when it exists.
func TestMoneyPathHoldsNoFloat(t *testing.T) {
	for _, pkg := range []string{"money", "measure", "pricing", "billing"} {
		dir := filepath.Join("..", pkg)
		if _, err := os.Stat(dir); os.IsNotExist(err) && pkg == "billing" {
			continue
		}
		files, err := filepath.Glob(filepath.Join(dir, "*.go"))
		if err != nil || len(files) == 0 {
			t.Fatalf("no files in %s: %v", dir, err)
		}
		for _, name := range files {
			if strings.HasSuffix(name, "_test.go") {
				continue
			}
			set := token.NewFileSet()
			file, err := parser.ParseFile(set, name, nil, 0)
			if err != nil {
				t.Fatal(err)
			}
			for _, f := range floats(set, file) {
				t.Error(f)
			}
		}
	}
}

func TestFloatsAreFound(t *testing.T) {
	source := `package p
import ("math"; "strconv"; "github.com/shopspring/decimal")
var a float64
var b = 1.5
func f() { strconv.ParseFloat("1", 64); decimal.NewFromFloat(1); math.Round(2) }`
	set := token.NewFileSet()
	file, err := parser.ParseFile(set, "p.go", source, 0)
	if err != nil {
		t.Fatal(err)
	}
	if found := floats(set, file); len(found) != 5 {
		t.Fatalf("found %v, want package math, float64, 1.5, ParseFloat and NewFromFloat", found)
	}
}
