package points

import (
	"math/rand/v2"
	"slices"
	"testing"
	"time"
)

// BenchmarkBest60 looks for the best of 60 options in ten inputs of each family
// at each of three budgets, and reports the median and the worst time of one
// search, with its proof, and the same in processor time. unproved counts those
// that came to the limit of nodes first.
func BenchmarkBest60(b *testing.B) {
	for _, f := range families {
		b.Run(f.name, func(b *testing.B) {
			var times, processing []time.Duration
			nodes, unproved := 0, 0
			for b.Loop() {
				times, processing, nodes, unproved = times[:0], processing[:0], 0, 0
				for seed := range uint64(10) {
					for _, budget := range []int{15, 35, 60} {
						in := f.made(rand.New(rand.NewPCG(seed, 60)), 60, budget)
						start, before := time.Now(), processor()
						got, err := Calculate(in)
						if err != nil {
							b.Fatal(err)
						}
						times, processing = append(times, time.Since(start)), append(processing, processor()-before)
						if got.Best.Status == Stopped {
							unproved++
						}
						nodes = max(nodes, got.Best.Nodes)
					}
				}
			}
			report(b, times, "")
			report(b, processing, "-processor")
			b.ReportMetric(float64(nodes), "worst-nodes")
			b.ReportMetric(float64(unproved), "unproved")
			b.ReportMetric(0, "ns/op")
		})
	}
}

func report(b *testing.B, times []time.Duration, kind string) {
	slices.Sort(times)
	b.ReportMetric(float64(times[len(times)/2].Microseconds())/1000, "median-ms"+kind)
	b.ReportMetric(float64(times[len(times)-1].Microseconds())/1000, "worst-ms"+kind)
}
