package main

import (
	"strings"
	"testing"
)

const output = `goos: linux
BenchmarkCPM100k-2   	 10	 100000000 ns/op	 0.5 ns/link	 30000000 B/op	 7 allocs/op
BenchmarkCPM100k-2   	 10	 160000000 ns/op	 0.5 ns/link	 30000000 B/op	 7 allocs/op
BenchmarkCPM100k-2   	 10	 180000000 ns/op	 0.5 ns/link	 30000000 B/op	 7 allocs/op
BenchmarkMemoryWalk  	 10	 4000000 ns/op	 30000000 B/op
BenchmarkHoursEntry-8	 1	 5 ns/op	 640 entries/s	 320 bare-inserts/s
PASS
`

func TestTable(t *testing.T) {
	all, err := read(strings.NewReader(output))
	if err != nil {
		t.Fatal(err)
	}
	var out strings.Builder
	missing := write(&out, all)
	if missing != len(rows)-3 {
		t.Errorf("%d rows lack a figure, want %d", missing, len(rows)-3)
	}
	for _, want := range [][]string{ // the words of a line, in order
		{"CPM, 100,000 tasks and 300,000 links", "< 150 ms", "160 ms", "MISSED", "4 ms", "40.00"},
		{"memory for each link", "< 200 B", "100 B", "met", "1.00"},
		{"hours entries", "≥ 500 /s", "640 /s", "met", "320 /s", "2.00"},
		{"job page", "not measured"},
		{"risk", "not built yet"},
	} {
		if !hasLine(out.String(), want) {
			t.Errorf("no line with %q in\n%s", want, out.String())
		}
	}
}

func hasLine(text string, words []string) bool {
lines:
	for line := range strings.Lines(text) {
		for _, w := range words {
			_, after, ok := strings.Cut(line, w)
			if !ok {
				continue lines
			}
			line = after
		}
		return true
	}
	return false
}

func TestUnreadableFigure(t *testing.T) {
	if _, err := read(strings.NewReader("BenchmarkX-2 10 many ns/op\n")); err == nil {
		t.Error("a figure that is no number was read")
	}
}
