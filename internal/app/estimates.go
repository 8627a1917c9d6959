package app

import "bareframe/internal/domain"

// mostEstimates bounds the estimates that are kept; one of 75 tasks takes some
// 100 KB.
const mostEstimates = 64

// estimatesOf loads the estimates of jobs, those of versions that were read
// before from memory: reading and decoding its rows is most of what a job page
// costs. Every change of an estimate moves its job's version. A use case that
// writes reads its own rows instead, because the version it has moved stands
// only once it is committed. Estimates from here are shared and not written to.
func (a *App) estimatesOf(r Reader, jobs []domain.Job) (map[domain.ID]domain.Estimate, error) {
	_, writes := r.(Tx)
	out := make(map[domain.ID]domain.Estimate, len(jobs))
	var missing []domain.ID
	for _, j := range jobs {
		if e, ok := a.estimates.kept(versionKey{j.ID, j.Version}); ok && !writes {
			out[j.ID] = e
		} else {
			missing = append(missing, j.ID)
		}
	}
	if len(missing) == 0 {
		return out, nil
	}
	read, err := r.Estimates(missing)
	if err != nil {
		return nil, err
	}
	for _, j := range jobs {
		if e, ok := read[j.ID]; ok {
			out[j.ID] = e
			if !writes {
				a.estimates.keep(versionKey{j.ID, j.Version}, e)
			}
		}
	}
	return out, nil
}
