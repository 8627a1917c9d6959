// Command table reads what "go test -bench" printed, takes the median of each
// figure over the runs, and prints each budget beside what was measured and
// beside something measured in the same run. tools/bench.sh calls it.
//
// It passes no judgement by its exit code: budgets are read by people, on a
// machine whose load stands above the table. It ends with 1 only when a
// benchmark that a row needs is missing or failed.
package main
