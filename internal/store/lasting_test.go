package store

import (
	"fmt"
	"reflect"
	"strings"
	"testing"
)

type twoNames struct {
	First  string `json:"first"`
	Second string `json:"second"`
}

// Whatever was read before, a text gives what encoding/json gives for it, in the
// type asked for and from either driver's form of text.
func TestLastingReadsWhatTheTextSays(t *testing.T) {
	text := `{"first":"a","second":"b"}`
	for range 2 {
		var names lasting[twoNames]
		var loose lasting[map[string]string]
		var raw lasting[twoNames]
		for _, err := range []error{names.Scan(text), loose.Scan(text), raw.Scan([]byte(`{"first":"a","second":"c"}`))} {
			if err != nil {
				t.Fatal(err)
			}
		}
		if names.v != (twoNames{"a", "b"}) || raw.v != (twoNames{"a", "c"}) || !reflect.DeepEqual(loose.v, map[string]string{"first": "a", "second": "b"}) {
			t.Errorf("got %+v, %+v, %v", names.v, raw.v, loose.v)
		}
	}
	for _, src := range []any{`{"first":`, nil, 5} {
		var names lasting[twoNames]
		if err := names.Scan(src); err == nil {
			t.Errorf("scanning %v: no error, got %+v", src, names.v)
		}
	}
}

func TestKeptTextsAreBounded(t *testing.T) {
	kept := keptTexts{values: map[textKey]any{}}
	kind := reflect.TypeFor[string]()
	held := func() (n int) {
		for k := range kept.values {
			n += len(k.text)
		}
		return n
	}
	for i := range 1000 {
		text := fmt.Sprint(i) + strings.Repeat("x", 1000+i*100)
		kept.keep(textKey{kind, text}, i)
		if n := held(); n > mostText || n != kept.bytes {
			t.Fatalf("after %d texts %d bytes are held, %d counted; at most %d", i+1, n, kept.bytes, mostText)
		}
		if v, ok := kept.get(textKey{kind, text}); ok && v != i || !ok && len(text) <= mostText/4 {
			t.Fatalf("text %d of %d bytes: got %v, %v", i, len(text), v, ok)
		}
	}
}
