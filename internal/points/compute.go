package points

import "context"

// Compute says what the car would lose as found, what each option buys alone and
// with what it requires, and the best set within the budget. A context that ends
// stops the search, not the rest. An input that does not hold together is a
// fault.Invalid "points-input" with pointers into Input, or "points-circle" with
// the circle as evidence.
func Compute(ctx context.Context, in Input) (Result, error) {
	j, err := read(in)
	if err != nil {
		return Result{}, err
	}
	out := Result{Currency: j.currency, Sheet: in.Sheet.Key, Options: []OptionResult{}}
	out.Items, out.Unmatched = j.found()
	for _, f := range out.Items {
		j.before = append(j.before, f.Before)
		out.Maximum, out.AsFound = out.Maximum.plus(f.Maximum), out.AsFound.plus(f.Deduction)
	}
	for i := range j.options {
		out.Options = append(out.Options, j.alone(i))
	}
	for _, done := range j.sets {
		items, _ := j.after(done)
		out.Sets = append(out.Sets, SetResult{*j.selection(done), items})
	}
	out.Best = j.best(ctx)
	if in.Frontier {
		out.Frontier = j.frontier(ctx, out.Best)
	}
	return out, nil
}

// Calculate is Compute without an end from outside.
func Calculate(in Input) (Result, error) { return Compute(context.Background(), in) }
