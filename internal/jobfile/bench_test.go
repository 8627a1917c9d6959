package jobfile

import (
	"bytes"
	"encoding/json"
	"testing"
)

// BenchmarkRead reads the file of testdata; BenchmarkBare beside it only has it
// decoded by the standard library, with no question asked.
func BenchmarkRead(b *testing.B) {
	raw := sent(small(b))
	b.SetBytes(int64(len(raw)))
	for b.Loop() {
		if _, err := Read(raw); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkBare(b *testing.B) {
	raw := sent(small(b))
	b.SetBytes(int64(len(raw)))
	for b.Loop() {
		var out Request
		if err := json.NewDecoder(bytes.NewReader(raw)).Decode(&out); err != nil {
			b.Fatal(err)
		}
	}
}
