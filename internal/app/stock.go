package app

import (
	"github.com/shopspring/decimal"

	"bareframe/internal/domain"
)

// stock is what jobs took of each other's remainders, as far as it stands.
type stock []domain.StockMove

// stockOf reads what stands.
func stockOf(r Reader) (stock, error) {
	all, err := r.StockMoves()
	if err != nil {
		return nil, err
	}
	out := stock{}
	for _, m := range all {
		if !m.Void() {
			out = append(out, m)
		}
	}
	return out, nil
}

// taken is what a job takes of a material from others.
func (s stock) taken(jobID domain.ID, material string) decimal.Decimal {
	return s.sum(func(m domain.StockMove) bool { return m.ToJobID == jobID && m.Material == material })
}

// given is what others take from a job.
func (s stock) given(jobID domain.ID, material string) decimal.Decimal {
	return s.sum(func(m domain.StockMove) bool { return m.FromJobID == jobID && m.Material == material })
}

func (s stock) sum(which func(domain.StockMove) bool) decimal.Decimal {
	sum := decimal.Zero
	for _, m := range s {
		if which(m) {
			sum = sum.Add(m.Quantity)
		}
	}
	return sum
}

// less is a need after what the job takes from others.
func (s stock) less(jobID domain.ID, material string, need decimal.Decimal) decimal.Decimal {
	return decimal.Max(decimal.Zero, need.Sub(s.taken(jobID, material)))
}
