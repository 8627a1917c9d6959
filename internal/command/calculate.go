package command

import (
	"encoding/json"
	"fmt"
	"io"
	"os"

	"bareframe/internal/app"
	"bareframe/internal/fault"
)

// mostInput bounds what is read from a file or standard input.
const mostInput = 64 << 20

type calculate struct {
	Name    string `arg:"" optional:"" help:"pricing, network or calendar."`
	File    string `arg:"" optional:"" help:"A JSON file, or - for standard input."`
	List    bool   `help:"List the calculations."`
	Example bool   `help:"Print an example input of the named calculation."`
}

// Run runs an engine; bad input makes a problem on standard error and exit 1.
func (c calculate) Run(streams Streams) error {
	switch {
	case c.List || c.Name == "":
		for _, k := range app.Calculations() {
			fmt.Fprintf(streams.Out, "%-10s %s\n", k.Name, k.Summary)
		}
		return nil
	case c.Example:
		return c.example(streams.Out)
	case c.File == "":
		return fault.New(fault.Invalid, "file-missing", "Give a JSON file, or - for standard input; --example prints one.")
	}
	input, err := c.read(streams.In)
	if err != nil {
		return err
	}
	result, err := app.Calculate(c.Name, input)
	if err != nil {
		if e := fault.As(err); e != nil {
			return refused(streams.Err, e)
		}
		return err
	}
	return write(streams.Out, result)
}

// read takes the input whole; a published check's file has it under "input".
func (c calculate) read(stdin io.Reader) ([]byte, error) {
	from := stdin
	if c.File != "-" {
		f, err := os.Open(c.File)
		if err != nil {
			return nil, err
		}
		defer f.Close()
		from = f
	}
	raw, err := io.ReadAll(io.LimitReader(from, mostInput))
	if err != nil {
		return nil, err
	}
	var check struct {
		Source json.RawMessage `json:"source"`
		Input  json.RawMessage `json:"input"`
	}
	if json.Unmarshal(raw, &check) == nil && check.Source != nil && check.Input != nil {
		return check.Input, nil
	}
	return raw, nil
}

func (c calculate) example(out io.Writer) error {
	for _, k := range app.Calculations() {
		if k.Name == c.Name {
			return write(out, k.Example)
		}
	}
	return fault.New(fault.NotFound, "calculation-not-found", "There is no calculation %q.", c.Name)
}

func write(out io.Writer, v any) error {
	e := json.NewEncoder(out)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	return e.Encode(v)
}

// problem is the refusal of a calculation, shaped like the API's.
type problem struct {
	Type     string        `json:"type"`
	Detail   string        `json:"detail"`
	Errors   []fault.Field `json:"errors,omitempty"`
	Evidence any           `json:"evidence,omitempty"`
}

func refused(w io.Writer, e *fault.Error) error {
	if err := write(w, problem{"urn:bareframe:problem:" + e.Code, e.Detail, e.Fields, e.Evidence}); err != nil {
		return err
	}
	return errShown
}
