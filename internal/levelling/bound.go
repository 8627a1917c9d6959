package levelling

import (
	"math"

	"bareframe/internal/levelling/search"
)

// bound gives a cost that no plan is below: what each job needs were it alone, and
// on top of it what the one skill or station that is shortest adds for all.
func (s *shop) bound() search.Cost {
	b := s.costLow
	for i := range s.tasks {
		if t := &s.tasks[i]; s.blockOf[i] >= 0 && s.aloneEnd[i] > t.finishBy {
			b[0] += int64(s.aloneEnd[i] - t.finishBy)
		}
	}
	late, finish := int64(0), int64(0)
	for _, v := range s.supplies() {
		late = max(late, s.shortage(&v, func(j *jobOf) int32 { return j.promise }))
		finish = max(finish, s.shortage(&v, func(*jobOf) int32 { return s.now }))
	}
	b[0] += late
	b[1] += finish
	return b
}

// rounds is how often the shares of shortage are bettered; any shares give a bound.
const rounds = 40

// shortage gives by how much the sum over the jobs of weight × minutes after a date
// must be more than if every job were alone, because all want the same supply.
//
// A job is finished no earlier than alone, and no earlier than the tail after its
// last work on the supply. That work ends no earlier than its mean minute and the
// half of what it takes at the full rate. So for every share λ of a job between 0
// and 1
//
//	max(0, finish - date) >= (1-λ) × alone + λ × (mid + work / 2 rate + tail - date)
//
// and of the weighted sum of all, sweep finds the least. The shares are raised by
// subgradients (Held, Wolfe and Crowder, "Validation of subgradient optimization",
// Mathematical Programming 6, 1974). O(rounds) sweeps.
func (s *shop) shortage(v *supply, date func(*jobOf) int32) int64 {
	n := len(v.demands)
	share, more := make([]float64, n), make([]float64, n)
	w := sweeper{v: v, value: make([]float64, n), mid: make([]float64, n)}
	for k, d := range v.demands {
		if date(&s.jobs[d.job]) < never {
			share[k] = 1
		}
	}
	best := 0.0
	for round := range rounds {
		for k, d := range v.demands {
			w.value[k] = share[k] * float64(s.jobs[d.job].weight) / d.work
		}
		w.sweep()
		gain, most := 0.0, 0.0
		for k, d := range v.demands {
			job := &s.jobs[d.job]
			from := date(job)
			if more[k] = 0; from >= never {
				continue
			}
			alone := max(0, float64(s.jobLow[d.job]-from))
			end := w.mid[k] + d.work/float64(2*v.most) + float64(d.tail-from)
			if share[k] == 0 {
				end = float64(d.from+d.tail-from) + d.work/float64(v.most)
			}
			more[k] = float64(job.weight) * (end - alone)
			gain += share[k] * more[k]
			most = max(most, math.Abs(more[k]))
		}
		best = max(best, gain)
		if most == 0 {
			break
		}
		step := math.Pow(0.9, float64(round)) / most
		for k := range share {
			if date(&s.jobs[v.demands[k].job]) < never {
				share[k] = min(1, max(0, share[k]+step*more[k]))
			}
		}
	}
	return int64(math.Ceil(best - 1e-6*(1+best)))
}
