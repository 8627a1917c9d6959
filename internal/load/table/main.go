package main

import (
	"bufio"
	"fmt"
	"io"
	"os"
	"strconv"
	"strings"
	"text/tabwriter"

	"bareframe/internal/load"
)

// figures are the measured values by benchmark and unit, one a run.
type figures map[string]map[string][]float64

// read takes the lines "BenchmarkName-2  N  value unit  value unit ...".
func read(r io.Reader) (figures, error) {
	all := figures{}
	lines := bufio.NewScanner(r)
	lines.Buffer(nil, 1<<20)
	for lines.Scan() {
		words := strings.Fields(lines.Text())
		if len(words) < 4 || !strings.HasPrefix(words[0], "Benchmark") {
			continue
		}
		name, _, _ := strings.Cut(strings.TrimPrefix(words[0], "Benchmark"), "-")
		if all[name] == nil {
			all[name] = map[string][]float64{}
		}
		for i := 2; i+1 < len(words); i += 2 {
			v, err := strconv.ParseFloat(words[i], 64)
			if err != nil {
				return nil, fmt.Errorf("%s: %w", lines.Text(), err)
			}
			all[name][words[i+1]] = append(all[name][words[i+1]], v)
		}
	}
	return all, lines.Err()
}

// of returns the median of a figure; ok is false when it was not measured.
func (f figures) of(name, unit string) (v float64, ok bool) {
	values := f[name][unit]
	return load.Median(values), len(values) > 0
}

// figure names a value and the factor that brings it to the unit shown.
type figure struct {
	name, unit string
	times      float64
	shown      string
}

// row is a line of the table. A budget is an upper bound, or with atLeast a
// lower one; 0 is none. beside may be empty.
type row struct {
	what    string
	budget  float64
	atLeast bool
	got     figure
	beside  figure
	than    string // what the figure beside is
}

const links = 300_000 // of the network's benchmark

func ms(name, unit string) figure { return figure{name, unit, 1, "ms"} }

var rows = []row{
	{"CPM, 100,000 tasks and 300,000 links", 150, false, figure{"CPM100k", "ns/op", 1e-6, "ms"}, figure{"MemoryWalk", "ns/op", 1e-6, "ms"}, "one walk over the same input"},
	{"  memory for each link", 200, false, figure{"CPM100k", "B/op", 1.0 / links, "B"}, figure{"MemoryWalk", "B/op", 1.0 / links, "B"}, "the results alone"},
	{"price a quote of 500 lines", 2, false, ms("Price500Lines", "ms/quote"), ms("Price500Lines", "ms-plain-sum"), "the same decimals in a plain loop"},
	{"take off a frame of 40 zones", 1, false, ms("WholeJobTakeoff", "ms/job"), ms("WholeJobTakeoff", "ms-results"), "writing the results down"},
	{"take off a frame and apply its 74 rules", 2, false, figure{"TakenOffAndRuled", "ns/op", 1e-6, "ms"}, figure{"TakenOff", "ns/op", 1e-6, "ms"}, "the takeoff alone"},
	{"takeoff of a job with its derivation", 20, false, figure{"TakeoffHandler", "ns/op", 1e-6, "ms"}, figure{"JobPageHandler", "ns/op", 1e-6, "ms"}, "the demo's job page, the same way"},
	{"judged points of a job", 50, false, figure{"PointsHandler", "ns/op", 1e-6, "ms"}, figure{"JobPageHandler", "ns/op", 1e-6, "ms"}, "the demo's job page, the same way"},
	{"effect of a change order, 200 tasks", 50, false, figure{"OrderEffect", "ns/op", 1e-6, "ms"}, figure{"JobPageHandler", "ns/op", 1e-6, "ms"}, "the demo's job page, the same way"},
	{"  on a planned floor, asked for the first time", 0, false, ms("OrderEffectOnFloor/1_jobs_of_200_tasks", "first-ms"), figure{"OrderEffectOnFloor/1_jobs_of_200_tasks", "ns/op", 1e-6, "ms"}, "asked again"},
	{"a technician's day", 0, false, figure{"TodayHandler", "ns/op", 1e-6, "ms"}, figure{"JobPageHandler", "ns/op", 1e-6, "ms"}, "the demo's job page, the same way"},
	{"floor of 1,500 tasks, first plan", 200, false, figure{"Shop/1500_tasks,_1_schedules", "ns/op", 1e-6, "ms"}, figure{"Shop/150_tasks,_1_schedules", "ns/op", 1e-6, "ms"}, "a tenth of the tasks"},
	{"  memory that it asks for", 200, false, figure{"Shop/1500_tasks,_1_schedules", "B/op", 1e-6, "MB"}, figure{"Shop/150_tasks,_1_schedules", "B/op", 1e-6, "MB"}, "a tenth of the tasks"},
	{"  3,000 schedules, promises that cannot be kept", 0, false, figure{"BusyShop/1500_tasks,_3000_schedules", "ns/op", 1e-6, "ms"}, figure{"BusyShop/1500_tasks,_1_schedules", "ns/op", 1e-6, "ms"}, "its first plan"},
	{"  what-if: one more welder, 100 schedules", 2000, false, figure{"WhatIf/1500_tasks,_100_schedules", "ns/op", 1e-6, "ms"}, figure{"WhatIf/1500_tasks,_1_schedules", "ns/op", 1e-6, "ms"}, "its first plan"},
	{"5,000 schedules of 120 activities, one core", 500, false, figure{"Schedules5000", "ns/op", 1e-6, "ms"}, figure{}, ""},
	{"PDF of a quote of 200 lines", 150, false, figure{"QuotePDF200", "ns/op", 1e-6, "ms"}, figure{"QuoteHTML200", "ns/op", 1e-6, "ms"}, "the same document as HTML"},
	{"job page at 100/s, half within", 0, false, ms("JobPage", "p50-ms"), ms("JobPage", "bare-p50-ms"), "bare gin, same size and load"},
	{"  99 of 100 within", 25, false, ms("JobPage", "p99-ms"), ms("JobPage", "bare-p99-ms"), "bare gin, same size and load"},
	{"  processor time of the server", 0, false, ms("JobPage", "cpu-ms"), ms("JobPage", "bare-cpu-ms"), "bare gin, same size and load"},
	{"  SQL statements, job of 300 tasks", 0, false, figure{"Statements", "page-300-tasks", 1, ""}, figure{"Statements", "page-75-tasks", 1, ""}, "job of 75 tasks"},
	{"hours entries, durable, 16 at once", 500, true, figure{"HoursEntry", "entries/s", 1, "/s"}, figure{"HoursEntry", "bare-inserts/s", 1, "/s"}, "bare SQLite inserts, one at a time"},
	{"  at 100/s, half within", 0, false, ms("HoursEntry", "p50-ms"), figure{}, ""},
	{"  at 100/s, 99 of 100 within", 50, false, ms("HoursEntry", "p99-ms"), ms("HoursEntry", "bare-p99-ms"), "bare SQLite insert"},
	{"  processor time of the server", 0, false, ms("HoursEntry", "cpu-ms"), figure{}, ""},
	{"  SQL statements", 0, false, figure{"Statements", "hours-entry", 1, ""}, figure{}, ""},
	{"others wait to write, a quote on 1,500 tasks", 0, false, ms("WriterHeld", "quote-ms"), ms("WriterHeld", "order-approved-ms"), "agreeing to an order"},
	{"  an order is sent", 0, false, ms("WriterHeld", "order-sent-ms"), ms("WriterHeld", "order-approved-ms"), "agreeing to an order"},
	{"cold start to first answer, demo loaded", 300, false, ms("ColdStart", "ms"), ms("ColdStart", "bare-ms"), "a bare gin process"},
	{"  very first start, which plays the demo", 0, false, ms("ColdStart", "first-ms"), figure{}, ""},
	{"memory, 200 jobs of 75 tasks, all opened", 150, false, figure{"Memory", "MiB", 1, "MiB"}, figure{"Memory", "at-start-MiB", 1, "MiB"}, "the same process before"},
}

// unbuilt are budgets whose engines are not there yet.
var unbuilt = []string{"risk, 10,000 runs of 200 tasks"}

func main() {
	all, err := read(os.Stdin)
	if err != nil {
		fmt.Fprintln(os.Stderr, "table:", err)
		os.Exit(1)
	}
	if missing := write(os.Stdout, all); missing > 0 {
		fmt.Fprintf(os.Stderr, "table: %d rows were not measured\n", missing)
		os.Exit(1)
	}
}

// write prints the table and returns how many rows lack a figure.
func write(out io.Writer, all figures) (missing int) {
	w := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, "what\tbudget\tmeasured\t\tbeside\tratio\tbeside is")
	for _, r := range rows {
		got, ok := all.of(r.got.name, r.got.unit)
		if !ok {
			missing++
			fmt.Fprintf(w, "%s\t%s\tnot measured\t\t\t\t\n", r.what, r.bound())
			continue
		}
		got *= r.got.times
		fmt.Fprintf(w, "%s\t%s\t%s\t%s\t%s\n", r.what, r.bound(), shown(got, r.got.shown), r.verdict(got), r.besides(all, got))
	}
	for _, what := range unbuilt {
		fmt.Fprintf(w, "%s\t\tnot built yet\t\t\t\t\n", what)
	}
	_ = w.Flush()
	return missing
}

func (r row) bound() string {
	switch {
	case r.budget == 0:
		return ""
	case r.atLeast:
		return "≥ " + shown(r.budget, r.got.shown)
	}
	return "< " + shown(r.budget, r.got.shown)
}

func (r row) verdict(got float64) string {
	switch {
	case r.budget == 0:
		return ""
	case r.atLeast && got >= r.budget, !r.atLeast && got < r.budget:
		return "met"
	}
	return "MISSED"
}

func (r row) besides(all figures, got float64) string {
	v, ok := all.of(r.beside.name, r.beside.unit)
	if !ok || v == 0 {
		return "\t\t"
	}
	v *= r.beside.times
	return fmt.Sprintf("%s\t%.2f\t%s", shown(v, r.beside.shown), got/v, r.than)
}

// shown writes a value with three digits that mean something.
func shown(v float64, unit string) string {
	places := 0
	switch {
	case v != float64(int(v)) && v < 1:
		places = 3
	case v != float64(int(v)) && v < 10:
		places = 2
	case v != float64(int(v)) && v < 100:
		places = 1
	}
	return strings.TrimSpace(strconv.FormatFloat(v, 'f', places, 64) + " " + unit)
}
