package points

import (
	"math/rand/v2"
	"slices"
	"testing"
	"time"
)

// BenchmarkBest60 looks for the best of 60 options in ten inputs of each family
// at each of three budgets, and reports the median and the worst time of one
// search, with its proof.
func BenchmarkBest60(b *testing.B) {
	for _, f := range families {
		b.Run(f.name, func(b *testing.B) {
			var times []time.Duration
			nodes := 0
			for b.Loop() {
				times, nodes = times[:0], 0
				for seed := range uint64(10) {
					for _, budget := range []int{15, 35, 60} {
						in := f.made(rand.New(rand.NewPCG(seed, 60)), 60, budget)
						start := time.Now()
						got, err := Calculate(in)
						if err != nil {
							b.Fatal(err)
						}
						times = append(times, time.Since(start))
						if got.Best.Status == Stopped {
							b.Errorf("%s, seed %d, budget %d: %+v", f.name, seed, budget, got.Best.Words)
						}
						nodes = max(nodes, got.Best.Nodes)
					}
				}
			}
			slices.Sort(times)
			b.ReportMetric(float64(times[len(times)/2].Microseconds())/1000, "median-ms")
			b.ReportMetric(float64(times[len(times)-1].Microseconds())/1000, "worst-ms")
			b.ReportMetric(float64(nodes), "worst-nodes")
		})
	}
}
