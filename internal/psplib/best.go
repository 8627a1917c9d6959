package psplib

import (
	"encoding/csv"
	"io"
	"strconv"

	"bareframe/internal/fault"
)

// Known is what is published about an instance; below zero: nothing.
type Known struct {
	Bound, Makespan int32
	Status          string // optimal, open, infeasible; empty where the list has none
}

// Best is a list of published results by "set/instance".
type Best map[string]Known

// Of returns what the list says of an instance; a list without sets goes by the name alone.
func (b Best) Of(i Instance) (Known, bool) {
	k, ok := b[i.Set+"/"+i.Name]
	if !ok {
		k, ok = b["/"+i.Name]
	}
	return k, ok
}

// ReadBest reads a list with a head: columns instance, best_known_makespan and
// lower_bound, and where there are, set and status.
func ReadBest(from io.Reader) (Best, error) {
	rows, err := csv.NewReader(from).ReadAll()
	if err != nil || len(rows) == 0 {
		return nil, fault.New(fault.Invalid, "best-invalid", "The list of best known results cannot be read as comma-separated values with a head.")
	}
	at := map[string]int{}
	for k, name := range rows[0] {
		at[name] = k
	}
	for _, name := range []string{"instance", "best_known_makespan", "lower_bound"} {
		if _, ok := at[name]; !ok {
			return nil, fault.New(fault.Invalid, "best-invalid", "The list of best known results has no column %q.", name)
		}
	}
	text := func(row []string, name string) string {
		if k, ok := at[name]; ok {
			return row[k]
		}
		return ""
	}
	number := func(row []string, name string) int32 {
		if n, err := strconv.Atoi(text(row, name)); err == nil {
			return int32(n)
		}
		return -1
	}
	out := Best{}
	for _, row := range rows[1:] {
		out[text(row, "set")+"/"+text(row, "instance")] = Known{number(row, "lower_bound"), number(row, "best_known_makespan"), text(row, "status")}
	}
	return out, nil
}
