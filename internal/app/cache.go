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
	if v, ok := c.kept(key); ok {
		return v, nil
	}
	v, err := build()
	if err != nil {
		return v, err
	}
	c.keep(key, v)
	return v, nil
}

// kept returns the kept value; ok is false when there is none.
func (c *cache[K, V]) kept(key K) (v V, ok bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	v, ok = c.items[key]
	return v, ok
}

func (c *cache[K, V]) keep(key K, v V) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if len(c.items) >= c.most {
		clear(c.items)
	}
	c.items[key] = v
}
