package testkit

import (
	"io/fs"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"bareframe/internal/demo"
	"bareframe/internal/pricing/localrules"
)

// Root returns the folder of go.mod, from anywhere below it.
func Root(t testing.TB) string {
	t.Helper()
	dir, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return dir
		}
		up := filepath.Dir(dir)
		if up == dir {
			t.Fatal("no go.mod above the working directory")
		}
		dir = up
	}
}

// Seeds returns the seed files.
func Seeds(t testing.TB) fs.FS {
	t.Helper()
	return os.DirFS(filepath.Join(Root(t), "seeds"))
}

// Rules returns the seeds' rule sets on consent.
func Rules(t testing.TB) []localrules.RuleSet {
	t.Helper()
	rules, err := demo.ReadRules(Seeds(t))
	if err != nil {
		t.Fatalf("reading the rules: %v", err)
	}
	return rules
}

var (
	startingOnce sync.Once
	startingKept demo.Starting
	startingErr  error
)

// Starting returns the seeds' price book and templates, read once.
func Starting(t testing.TB) demo.Starting {
	t.Helper()
	files := Seeds(t)
	startingOnce.Do(func() { startingKept, startingErr = demo.ReadStarting(files) })
	if startingErr != nil {
		t.Fatalf("reading the seeds: %v", startingErr)
	}
	return startingKept
}

// Craft returns the seeds' frames and repairs.
func Craft(t testing.TB) demo.Craft {
	t.Helper()
	craft, err := demo.ReadCraft(Seeds(t))
	if err != nil {
		t.Fatalf("reading the seeds: %v", err)
	}
	return craft
}
