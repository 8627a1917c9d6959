package app

import "sync"

// cache keeps values that follow wholly from their key, so that an entry can
// never be stale. When full it starts afresh.
type cache[K comparable, V any] struct {
	mu    sync.Mutex
	most  int
	items map[K]V
}

func newCache[K comparable, V any](most int) *cache[K, V] {
	return &cache[K, V]{most: most, items: map[K]V{}}
}

// get returns the kept value or makes it. Two callers may make it at once; both
// get an equal one.
func (c *cache[K, V]) get(key K, build func() (V, error)) (V, error) {
	c.mu.Lock()
	v, ok := c.items[key]
	c.mu.Unlock()
	if ok {
		return v, nil
	}
	v, err := build()
	if err != nil {
		return v, err
	}
	c.mu.Lock()
	if len(c.items) >= c.most {
		clear(c.items)
	}
	c.items[key] = v
	c.mu.Unlock()
	return v, nil
}
