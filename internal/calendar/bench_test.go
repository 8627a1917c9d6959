package calendar

import (
	"testing"
	"time"
)

var benchSpec = Spec{TimeZone: "Europe/Berlin", Week: dayShifts, Holidays: "DE",
	Closures: []Closure{{"2026-12-24", "2027-01-03", "winter break"}}}

// Starts and durations are spread over ten years, so that the searches miss the
// processor's caches as they would in a real network.
func BenchmarkAdd(b *testing.B) {
	c := mustNew(b, benchSpec)
	start := day("2026-06-01")
	c.Add(start.AddDate(10, 0, 0), 1)
	b.ReportAllocs()
	b.ResetTimer()
	for i := range b.N {
		c.Add(start.Add(time.Duration(i*7919%5_000_000)*time.Minute), Minutes(1+i%4800))
	}
}

func BenchmarkBetween(b *testing.B) {
	c := mustNew(b, benchSpec)
	start := day("2026-06-01")
	c.Add(start.AddDate(10, 0, 0), 1)
	b.ReportAllocs()
	b.ResetTimer()
	for i := range b.N {
		c.Between(start, start.Add(time.Duration(i*7919%5_000_000)*time.Minute))
	}
}

func BenchmarkAxisAddWorking(b *testing.B) {
	start := day("2026-06-01")
	axis, err := mustNew(b, benchSpec).Axis(start, start.AddDate(10, 0, 0))
	if err != nil {
		b.Fatal(err)
	}
	for _, row := range []struct {
		name string
		d    func(i int) int64
	}{
		{"forward", func(i int) int64 { return int64(1 + i%4800) }},
		{"backward", func(i int) int64 { return -int64(1 + i%4800) }},
	} {
		b.Run(row.name, func(b *testing.B) {
			b.ReportAllocs()
			for i := range b.N {
				axis.AddWorking(int64(i*7919%5_000_000), row.d(i))
			}
		})
	}
}

// BenchmarkNew makes a calendar and lays out the years around its first use.
func BenchmarkNew(b *testing.B) {
	b.ReportAllocs()
	for range b.N {
		mustNew(b, benchSpec).Add(day("2026-06-01"), 1)
	}
}

// BenchmarkNewAtItsWorst is the dearest request that is let through: closures
// and openings as many as may be, over all the years.
func BenchmarkNewAtItsWorst(b *testing.B) {
	spec := Spec{TimeZone: "Europe/Berlin", Week: dayShifts, Holidays: "DE-BY"}
	for i := range maxDays {
		d := day("1970-03-01").AddDate(0, 0, i*83).Format(time.DateOnly)
		spec.Closures = append(spec.Closures, Closure{d, d, ""})
		spec.Openings = append(spec.Openings, Opening{d, shifts, ""})
	}
	for range b.N {
		mustNew(b, spec).Add(day("1970-02-01"), 20_000_000)
	}
}
