package load

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"time"
)

// Root finds the module's folder from the working folder upward.
func Root() (string, error) {
	dir, err := os.Getwd()
	for ; err == nil; dir = filepath.Dir(dir) {
		if _, missing := os.Stat(filepath.Join(dir, "go.mod")); missing == nil {
			return dir, nil
		}
		if dir == filepath.Dir(dir) {
			return "", errors.New("load: no go.mod above the working folder")
		}
	}
	return "", err
}

// Build builds the binary as a user gets it, without a C compiler, and returns
// where it is.
func Build(ctx context.Context, dir string) (string, error) {
	root, err := Root()
	if err != nil {
		return "", err
	}
	binary := filepath.Join(dir, "bareframe")
	build := exec.CommandContext(ctx, "go", "build", "-tags", "nomsgpack", "-o", binary, ".")
	build.Dir = root
	build.Env = append(os.Environ(), "CGO_ENABLED=0")
	if out, err := build.CombinedOutput(); err != nil {
		return "", fmt.Errorf("building: %w\n%s", err, out)
	}
	return binary, nil
}

// Serve says how to start a process.
type Serve struct {
	Binary   string
	Wrapped  []string // a command that runs the binary given after it; empty for none
	Args     []string // after "serve --addr 127.0.0.1:0"
	Env      []string // beside the environment
	LogLevel string   // empty is error
}

// Process is one running server.
type Process struct {
	URL   string
	Began time.Time // when it was started
	cmd   *exec.Cmd
	log   *text
	ended chan struct{}
	err   error // valid once ended is closed
}

// startingWithin bounds how long a start may take.
const startingWithin = 60 * time.Second

// Start starts a server and returns once it has said where it listens. The
// process is killed when ctx ends.
func (s Serve) Start(ctx context.Context) (*Process, error) {
	level := s.LogLevel
	if level == "" {
		level = "error"
	}
	words := append(append([]string{}, s.Wrapped...), s.Binary, "serve", "--addr", "127.0.0.1:0", "--log-level", level)
	words = append(words, s.Args...)
	p := &Process{cmd: exec.CommandContext(ctx, words[0], words[1:]...), log: &text{}, ended: make(chan struct{})}
	p.cmd.Env = append(append(os.Environ(), "DATABASE_URL="), s.Env...)
	p.cmd.Stderr = p.log
	out, err := p.cmd.StdoutPipe()
	if err != nil {
		return nil, err
	}
	p.Began = time.Now()
	if err := p.cmd.Start(); err != nil {
		return nil, err
	}
	found := make(chan string, 1)
	go p.watch(out, found)
	select {
	case p.URL = <-found:
		return p, nil
	case <-p.ended:
		return nil, fmt.Errorf("the server ended at its start: %w\n%s", p.err, p.log)
	case <-time.After(startingWithin):
		_ = p.Kill()
		return nil, fmt.Errorf("the server did not say where it listens within %v\n%s", startingWithin, p.log)
	}
}

func (p *Process) watch(out io.Reader, found chan<- string) {
	for lines := bufio.NewScanner(out); lines.Scan(); {
		if _, address, ok := strings.Cut(lines.Text(), " serves "); ok {
			found <- address
		}
	}
	p.err = p.cmd.Wait()
	close(p.ended)
}

// Kill ends the process at once, as a power cut would end it, and waits until
// it is gone.
func (p *Process) Kill() error {
	if err := p.cmd.Process.Kill(); err != nil && !errors.Is(err, os.ErrProcessDone) {
		return err
	}
	<-p.ended
	return nil
}

// Terminate asks the process to stop and does not wait.
func (p *Process) Terminate() error { return p.cmd.Process.Signal(syscall.SIGTERM) }

// Wait waits until the process has ended and returns its exit code, -1 when a
// signal ended it.
func (p *Process) Wait(within time.Duration) (int, error) {
	select {
	case <-p.ended:
		return p.cmd.ProcessState.ExitCode(), nil
	case <-time.After(within):
		return 0, fmt.Errorf("the server still runs after %v", within)
	}
}

// Stop stops the process gracefully and fails unless it ends with exit code 0.
func (p *Process) Stop() error {
	if err := p.Terminate(); err != nil {
		return err
	}
	code, err := p.Wait(30 * time.Second)
	if err != nil {
		return errors.Join(err, p.Kill())
	}
	if code != 0 {
		return fmt.Errorf("the server ended with exit code %d\n%s", code, p.log)
	}
	return nil
}

// PID returns the identity of the process.
func (p *Process) PID() int { return p.cmd.Process.Pid }

// Log returns what the process logged so far.
func (p *Process) Log() string { return p.log.String() }

// Memory returns what the process has in main memory now and what it had at
// most, in bytes (VmRSS and VmHWM of proc(5)). It works on Linux only.
func (p *Process) Memory() (now, most int64, err error) {
	status, err := os.ReadFile("/proc/" + strconv.Itoa(p.PID()) + "/status")
	if err != nil {
		return 0, 0, err
	}
	for line := range strings.Lines(string(status)) {
		name, value, _ := strings.Cut(line, ":")
		fields := strings.Fields(value)
		if len(fields) == 0 {
			continue
		}
		kib, _ := strconv.ParseInt(fields[0], 10, 64)
		switch name {
		case "VmRSS":
			now = kib << 10
		case "VmHWM":
			most = kib << 10
		}
	}
	if now == 0 || most == 0 {
		return 0, 0, errors.New("load: the system does not say how much memory the process has")
	}
	return now, most, nil
}

// Processor returns the processor time that the process has used so far. Other
// load on the machine moves it less than it moves how long an answer takes. It
// works on Linux only, in steps of a hundredth of a second (utime and stime of
// proc(5), in clock ticks of which Linux has 100 a second).
func (p *Process) Processor() (time.Duration, error) {
	stat, err := os.ReadFile("/proc/" + strconv.Itoa(p.PID()) + "/stat")
	if err != nil {
		return 0, err
	}
	_, after, _ := strings.Cut(string(stat), ") ") // the name before it may hold spaces
	fields := strings.Fields(after)
	if len(fields) < 13 {
		return 0, errors.New("load: the system does not say how much processor time the process used")
	}
	var ticks int64
	for _, field := range fields[11:13] { // the 14th and 15th of the file
		n, err := strconv.ParseInt(field, 10, 64)
		if err != nil {
			return 0, err
		}
		ticks += n
	}
	return time.Duration(ticks) * 10 * time.Millisecond, nil
}

// text is written by the process's pipe and read by the test.
type text struct {
	mu  sync.Mutex
	buf bytes.Buffer
}

func (t *text) Write(p []byte) (int, error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	return t.buf.Write(p)
}

func (t *text) String() string {
	t.mu.Lock()
	defer t.mu.Unlock()
	return t.buf.String()
}
