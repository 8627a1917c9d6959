package load

import (
	"context"
	"slices"
	"sync"
	"time"
)

// mostAbreast bounds the requests of a steady load that wait for an answer at
// once; later ones wait for a place, and their wait counts.
const mostAbreast = 256

// gather collects what several goroutines measured.
type gather struct {
	mu sync.Mutex
	s  Spread
}

func (g *gather) note(took time.Duration, err error) {
	g.mu.Lock()
	defer g.mu.Unlock()
	if err != nil {
		g.s.Failed++
		if g.s.First == nil {
			g.s.First = err
		}
		return
	}
	g.s.Took = append(g.s.Took, took)
}

func (g *gather) spread(start time.Time) Spread {
	g.s.Lasted = time.Since(start)
	slices.Sort(g.s.Took)
	return g.s
}

// Steady starts count requests, perSecond in a second, and times each from the
// instant at which it was due. do gets the number of the request from 0.
func Steady(ctx context.Context, perSecond, count int, do func(ctx context.Context, i int) error) Spread {
	var g gather
	var all sync.WaitGroup
	places := make(chan struct{}, mostAbreast)
	gap := time.Second / time.Duration(perSecond)
	start := time.Now()
	for i := range count {
		due := start.Add(time.Duration(i) * gap)
		if !sleepUntil(ctx, due) {
			break
		}
		places <- struct{}{}
		all.Go(func() {
			defer func() { <-places }()
			err := do(ctx, i)
			g.note(time.Since(due), err)
		})
	}
	all.Wait()
	return g.spread(start)
}

// Greedy lets workers send one request after another for a while, at most most
// each. do gets the worker and the number of its request, both from 0.
func Greedy(ctx context.Context, workers, most int, lasting time.Duration, do func(ctx context.Context, worker, i int) error) Spread {
	var g gather
	var all sync.WaitGroup
	start := time.Now()
	end := start.Add(lasting)
	for w := range workers {
		all.Go(func() {
			for i := 0; i < most && ctx.Err() == nil && time.Now().Before(end); i++ {
				sent := time.Now()
				err := do(ctx, w, i)
				g.note(time.Since(sent), err)
			}
		})
	}
	all.Wait()
	return g.spread(start)
}

func sleepUntil(ctx context.Context, at time.Time) bool {
	wait := time.Until(at)
	if wait <= 0 {
		return ctx.Err() == nil
	}
	t := time.NewTimer(wait)
	defer t.Stop()
	select {
	case <-t.C:
		return true
	case <-ctx.Done():
		return false
	}
}
