package photo

import (
	"bytes"
	"context"
	"image"
	"image/jpeg"
	"runtime"
	"runtime/debug"
	"runtime/metrics"
	"sync"
	"testing"
	"time"
)

// cameraLike draws a picture with as much detail as a camera's, 4 megabytes for
// 12 megapixels.
func cameraLike(width, height int) *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, width, height))
	seed := uint32(1)
	for i := range img.Pix {
		seed = seed*1664525 + 1013904223
		x, y := i/4%width, i/4/width
		img.Pix[i] = byte(90 + 60*(x/97%2) + 40*(y/53%2) + int(seed>>28))
	}
	return img
}

// BenchmarkTwelveMegapixels reports beside the time the most memory that the
// process held from the system during the run, less what it held before.
func BenchmarkTwelveMegapixels(b *testing.B) {
	upload := asJPEG(b, cameraLike(4000, 3000))
	for _, together := range []int{1, 6} {
		b.Run(map[int]string{1: "one", 6: "six at once"}[together], func(b *testing.B) {
			debug.FreeOSMemory()
			before := held()
			peak := watch(b)
			b.SetBytes(int64(len(upload)))
			for b.Loop() {
				var wg sync.WaitGroup
				for range together {
					wg.Go(func() {
						if _, err := Sanitise(context.Background(), bytes.NewReader(upload), Limits{}); err != nil {
							b.Error(err)
						}
					})
				}
				wg.Wait()
			}
			b.ReportMetric(float64(peak()-before)/(1<<20), "peak-MiB")
			b.ReportMetric(float64(b.Elapsed().Milliseconds())/float64(b.N*together), "ms/photo")
		})
	}
}

// held is the memory that the runtime has and has not handed back.
func held() uint64 {
	s := []metrics.Sample{{Name: "/memory/classes/total:bytes"}, {Name: "/memory/classes/heap/released:bytes"}}
	metrics.Read(s)
	return s[0].Value.Uint64() - s[1].Value.Uint64()
}

// watch samples held until the function it returns is called.
func watch(b *testing.B) func() uint64 {
	stop, most := make(chan struct{}), make(chan uint64)
	go func() {
		var peak uint64
		for {
			select {
			case <-stop:
				most <- peak
				return
			case <-time.After(time.Millisecond):
				peak = max(peak, held())
			}
		}
	}()
	b.Cleanup(runtime.GC)
	return func() uint64 { close(stop); return <-most }
}

// BenchmarkDrawn reports beside the time how many times longer drawing takes
// than writing the same picture as a JPEG, measured in the same run.
func BenchmarkDrawn(b *testing.B) {
	m := Motif{Seed: 4, Rust: 0.7, Pits: 0.5, Holes: 3}
	img, err := jpeg.Decode(bytes.NewReader(Drawn(m)))
	if err != nil {
		b.Fatal(err)
	}
	var writing time.Duration
	for b.Loop() {
		Drawn(m)
		b.StopTimer()
		start := time.Now()
		if _, err := encode(img, 85); err != nil {
			b.Fatal(err)
		}
		writing += time.Since(start)
		b.StartTimer()
	}
	b.ReportMetric(float64(b.Elapsed())/float64(writing), "x-writing")
}
