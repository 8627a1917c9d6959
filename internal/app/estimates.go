package app

import (
	"time"

	"bareframe/internal/domain"
	"bareframe/internal/pricing"
)

// Bounds of what is kept by a job's version. Of a job of 75 tasks an estimate
// takes some 100 KB, a price 60 and a baseline 15.
const (
	mostEstimates = 64
	mostBaselines = 64
	mostPrices    = 32
)

// bothEstimates is the whole estimate of a job, as its owner edits it, and what of
// it is in force: without the options that are not taken. Where there are no
// options they are the same.
type bothEstimates struct{ whole, inForce domain.Estimate }

// estimatesOf loads the estimates of jobs, those of versions that were read
// before from memory: reading and decoding its rows is most of what a job page
// costs. Every change of an estimate moves its job's version. Estimates from
// here are shared and not written to.
func (a *App) estimatesOf(r Reader, jobs []domain.Job) (map[domain.ID]bothEstimates, error) {
	return a.estimatesRead(r, jobs, true)
}

// estimatesRead is estimatesOf; without keep, what was not in memory before is not
// kept there.
func (a *App) estimatesRead(r Reader, jobs []domain.Job, keep bool) (map[domain.ID]bothEstimates, error) {
	return byVersion(r, jobs, a.estimates, keep, func(ids []domain.ID) (map[domain.ID]bothEstimates, error) {
		read, err := r.Estimates(ids)
		out := make(map[domain.ID]bothEstimates, len(read))
		for id, e := range read {
			out[id] = bothEstimates{e, e.InForce()}
		}
		return out, err
	})
}

// awaited adds to estimates what their tasks wait for: nothing is ordered before a
// job is sold. It moves without the job's version, so it is not kept.
func awaited(r Reader, jobs []domain.Job, estimates map[domain.ID]bothEstimates) error {
	var sold []domain.ID
	for _, j := range jobs {
		if j.Sold() {
			sold = append(sold, j.ID)
		}
	}
	days, err := r.Expected(sold)
	for id, expected := range days {
		e := estimates[id]
		estimates[id] = bothEstimates{e.whole.Awaiting(expected), e.inForce.Awaiting(expected)}
	}
	return err
}

// baselinesOf loads what was sold of each task, by task. It changes only with a
// decision, which moves the job's version, and is shared and not written to.
func (a *App) baselinesOf(r Reader, jobs []domain.Job) (map[domain.ID]map[domain.ID]domain.Baseline, error) {
	return byVersion(r, jobs, a.baselines, true, func(ids []domain.ID) (map[domain.ID]map[domain.ID]domain.Baseline, error) {
		rows, err := r.Baselines(ids)
		out := make(map[domain.ID]map[domain.ID]domain.Baseline, len(rows))
		for job, list := range rows {
			out[job] = make(map[domain.ID]domain.Baseline, len(list))
			for _, b := range list {
				out[job][b.TaskID] = b
			}
		}
		return out, err
	})
}

// byVersion returns what was read before for the version of each job, and reads
// the others in one go. A use case that writes reads its own rows instead,
// because the version it has moved stands only once it is committed.
func byVersion[V any](r Reader, jobs []domain.Job, kept *cache[versionKey, V], keep bool, read func(ids []domain.ID) (map[domain.ID]V, error)) (map[domain.ID]V, error) {
	_, writes := r.(Tx)
	out := make(map[domain.ID]V, len(jobs))
	var missing []domain.ID
	for _, j := range jobs {
		if v, ok := kept.kept(versionKey{j.ID, j.Version}); ok && !writes {
			out[j.ID] = v
		} else {
			missing = append(missing, j.ID)
		}
	}
	if len(missing) == 0 {
		return out, nil
	}
	fresh, err := read(missing)
	if err != nil {
		return nil, err
	}
	for _, j := range jobs {
		if v, ok := fresh[j.ID]; ok {
			out[j.ID] = v
			if keep && !writes {
				kept.keep(versionKey{j.ID, j.Version}, v)
			}
		}
	}
	return out, nil
}

// priceKey names all that a price follows from: the job's version, which moves
// with its estimate and its accepted quote, and the shop's settings and rates.
type priceKey struct {
	job              versionKey
	shop, shopPrices int
	day              domain.Day // rates begin on a day
}

// priced is a price with its lines found by name. It is shared and not written to.
type priced struct {
	result pricing.Result
	line   map[string]int
}

// pricedOf prices an estimate, one that was priced before from memory. writes is
// as in byVersion.
func (a *App) pricedOf(writes bool, now time.Time, shop domain.Shop, job domain.Job, basis domain.PriceBasis, e domain.Estimate) (priced, error) {
	build := func() (p priced, err error) {
		if p.result, err = priceOf(job.Currency, basis, e); err != nil {
			return p, err
		}
		p.line = make(map[string]int, len(p.result.Lines))
		for i, l := range p.result.Lines {
			p.line[l.ID] = i
		}
		return p, nil
	}
	if writes {
		return build()
	}
	return a.prices.get(priceKey{versionKey{job.ID, job.Version}, shop.Version, shop.PriceBookVersion, domain.DayOf(now, shop.Zone())}, build)
}
