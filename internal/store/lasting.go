package store

import (
	"encoding/json"
	"fmt"
	"reflect"
	"sync"
)

// lasting is a structured column that never changes once its row is there, such
// as what a quote offered. What was decoded is kept by its text and shared:
// nobody writes into it. A shop's settings are not kept so, because use cases may
// change what they read of a shop before they store it.
type lasting[T any] struct{ structured[T] }

func asLasting[T any](v T) lasting[T] { return lasting[T]{asJSON(v)} }

// Scan reads the JSON text, if it was not read before.
func (l *lasting[T]) Scan(src any) error {
	text, ok := src.(string)
	if raw, isRaw := src.([]byte); isRaw {
		text, ok = string(raw), true
	}
	if !ok {
		return fmt.Errorf("store: JSON came as %T", src)
	}
	key := textKey{reflect.TypeFor[T](), text}
	if v, known := readBefore.get(key); known {
		l.v = v.(T)
		return nil
	}
	if err := json.Unmarshal([]byte(text), &l.v); err != nil {
		return err
	}
	readBefore.keep(key, l.v)
	return nil
}

// mostText bounds the bytes of JSON whose values are kept; values take about
// three times as much.
const mostText = 512 << 10

var readBefore = keptTexts{values: map[textKey]any{}}

type textKey struct {
	kind reflect.Type
	text string
}

// keptTexts keeps decoded values by their text. When full it starts afresh.
type keptTexts struct {
	mu     sync.Mutex
	bytes  int
	values map[textKey]any
}

func (t *keptTexts) get(key textKey) (any, bool) {
	t.mu.Lock()
	defer t.mu.Unlock()
	v, ok := t.values[key]
	return v, ok
}

func (t *keptTexts) keep(key textKey, v any) {
	if len(key.text) > mostText/4 {
		return // it would push out everything else
	}
	t.mu.Lock()
	defer t.mu.Unlock()
	if _, ok := t.values[key]; ok {
		return // two readers at once
	}
	if t.bytes+len(key.text) > mostText {
		clear(t.values)
		t.bytes = 0
	}
	t.values[key] = v
	t.bytes += len(key.text)
}
