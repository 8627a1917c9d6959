package psplib

import (
	"bufio"
	"fmt"
	"io"
	"path"
	"strconv"
	"strings"

	"bareframe/internal/fault"
	"bareframe/internal/levelling/project"
)

// maxLine and maxInstance bound what is read of one instance, in bytes.
const (
	maxLine     = 1 << 16
	maxInstance = 1 << 22
)

// Read reads one instance; the end of name says its form. It returns
// fault.Invalid "instance-invalid" with the line at fault, and whatever
// project.Validate refuses.
func Read(name string, from io.Reader) (*project.Project, error) {
	lines := bufio.NewScanner(io.LimitReader(from, maxInstance))
	lines.Buffer(nil, maxLine)
	r := &reader{name: name, lines: lines}
	var p *project.Project
	switch path.Ext(name) {
	case ".sm":
		p = r.singleMode()
	case ".sch":
		p = r.timeLags()
	default:
		return nil, fault.New(fault.Invalid, "instance-invalid", "%s is neither .sm nor .sch.", name)
	}
	if r.err == nil {
		r.err = lines.Err()
	}
	if r.err != nil {
		return nil, r.err
	}
	return p, p.Validate()
}

type reader struct {
	name  string
	lines *bufio.Scanner
	at    int
	err   error
}

func (r *reader) fail(format string, args ...any) {
	if r.err == nil {
		r.err = fault.New(fault.Invalid, "instance-invalid", "%s, line %d: %s", r.name, r.at, fmt.Sprintf(format, args...))
	}
}

// line moves to the next line; false at the end and after a failure.
func (r *reader) line() bool {
	if r.err != nil || !r.lines.Scan() {
		return false
	}
	r.at++
	return true
}

// numbers reads the next line as whole numbers, at least least of them; a lag
// stands in brackets.
func (r *reader) numbers(least int) []int32 {
	if !r.line() {
		r.fail("the instance ends too early")
		return make([]int32, least)
	}
	var out []int32
	for _, word := range strings.Fields(r.lines.Text()) {
		n, err := strconv.ParseInt(strings.Trim(word, "[]"), 10, 32)
		if err != nil || n > 1<<20 || n < -1<<20 {
			r.fail("%q is not a whole number within a million", word)
		}
		out = append(out, int32(n))
	}
	if len(out) < least {
		r.fail("%d numbers where there should be at least %d", len(out), least)
		return make([]int32, least)
	}
	return out
}

// seek moves behind the line that begins with head, and skip lines further.
func (r *reader) seek(head string, skip int) string {
	for r.line() {
		if text := r.lines.Text(); strings.HasPrefix(text, head) {
			for range skip {
				r.line()
			}
			return text
		}
	}
	r.fail("there is no line that begins with %q", head)
	return ""
}

func (r *reader) singleMode() *project.Project {
	head := r.seek("jobs", 0)
	n, err := strconv.Atoi(strings.TrimSpace(head[strings.LastIndex(head, ":")+1:]))
	if err != nil || n < 1 || n > project.MaxActivities {
		r.fail("the number of jobs cannot be read or is out of bounds")
		return nil
	}
	behind := make([][]int32, n)
	r.seek("PRECEDENCE RELATIONS", 1)
	for i := range behind {
		row := r.numbers(3)
		if int(row[0]) != i+1 || row[1] > 1 || int(row[2]) != len(row)-3 {
			r.fail("job %d with one mode and its successors should stand here", i+1)
			return nil
		}
		behind[i] = row[3:]
	}
	p := &project.Project{}
	r.seek("REQUESTS/DURATIONS", 2)
	for i := range n {
		row := r.numbers(3)
		if int(row[0]) != i+1 {
			r.fail("job %d should stand here", i+1)
			return nil
		}
		p.Durations = append(p.Durations, row[2])
		p.Needs = append(p.Needs, row[3:])
	}
	r.seek("RESOURCEAVAILABILITIES", 1)
	p.Capacities = r.numbers(1)
	for i, to := range behind {
		for _, j := range to {
			p.Arcs = append(p.Arcs, p.After(int32(i), j-1))
		}
	}
	return p
}

func (r *reader) timeLags() *project.Project {
	head := r.numbers(2)
	n := int(head[0]) + 2
	if n < 2 || n > project.MaxActivities || head[1] < 0 {
		r.fail("the number of activities or resources is out of bounds")
		return nil
	}
	p := &project.Project{}
	for i := range n {
		row := r.numbers(3)
		count := int(row[2])
		if int(row[0]) != i || count < 0 || len(row) != 3+2*count {
			r.fail("activity %d with its successors and a lag for each should stand here", i)
			return nil
		}
		for x := range count {
			p.Arcs = append(p.Arcs, project.Arc{From: int32(i), To: row[3+x], Lag: row[3+count+x]})
		}
	}
	for i := range n {
		row := r.numbers(3)
		if int(row[0]) != i {
			r.fail("activity %d should stand here", i)
			return nil
		}
		p.Durations = append(p.Durations, row[2])
		p.Needs = append(p.Needs, row[3:])
	}
	p.Capacities = r.numbers(int(head[1]))
	return p
}
