package jobfile

import (
	"bytes"
	"encoding/json"
	"fmt"
	"reflect"

	"bareframe/internal/fault"
)

// Read reads a file with what was chosen for it. Refusals are *fault.Error with
// the codes job-file-size, -encoding, -json, -format, -version, -changed and
// -invalid; the last names every fault by pointer. O(bytes).
func Read(raw []byte) (Request, error) {
	var out Request
	root, err := parse(raw)
	if err != nil {
		return out, err
	}
	if err := announced(root); err != nil {
		return out, err
	}
	var c check
	c.value(root, reflect.TypeFor[Request](), "", "")
	if err := c.err(); err != nil {
		return out, err
	}
	if err := json.Unmarshal(raw, &out); err != nil {
		return out, fmt.Errorf("reading a job file that was checked: %w", err)
	}
	c.references(out.File.Content)
	return out, c.err()
}

// announced looks at what the file says it is, before anything else in it: what
// another version holds cannot be judged by this one.
func announced(root node) error {
	file, _ := root.member("file")
	format, _ := file.member("format")
	if format.kind != 's' || format.text != Format {
		return fault.InvalidField("job-file-format", "/file/format", "This is no job file; its format would be %q.", Format)
	}
	version, _ := file.member("version")
	if version.kind != 'n' || !known(version.text) {
		return fault.InvalidField("job-file-version", "/file/version", "This file is written in another version than 1 to %d, which this program reads; if it is a higher one, bring the program up to date.", Version)
	}
	content, ok := file.member("content")
	if sum, _ := file.member("sha256"); ok && sum.kind == 's' && sum.text != content.sum() {
		return fault.InvalidField("job-file-changed", "/file/sha256", "The content is not the one that the sum was made of: the file was damaged or edited. Take it out of its shop again.")
	}
	return nil
}

// references wants keys to be there once, and what refers to them to find them.
func (c *check) references(k Content) {
	const at = "/file/content"
	e := k.Estimate
	phases, options, lines, tasks, zones := names{}, names{}, names{}, names{}, names{}
	for i, p := range e.Phases {
		c.once(phases, p.Key, fmt.Sprintf("%s/estimate/phases/%d/key", at, i))
	}
	for i, o := range e.Options {
		c.once(options, o.Key, fmt.Sprintf("%s/estimate/options/%d/key", at, i))
	}
	for i, l := range e.Lines {
		c.once(lines, l.Key, fmt.Sprintf("%s/estimate/lines/%d/key", at, i))
	}
	for i, t := range e.Tasks {
		c.once(tasks, t.Code, fmt.Sprintf("%s/estimate/tasks/%d/code", at, i))
	}
	for i, z := range k.Frame.Zones {
		c.once(zones, z.Code, fmt.Sprintf("%s/frame/zones/%d/code", at, i))
	}
	for i, o := range k.Frame.Observations {
		c.found(zones, o.Zone, "zone", fmt.Sprintf("%s/frame/observations/%d/zone", at, i))
	}
	for i, t := range e.Tasks {
		row := fmt.Sprintf("%s/estimate/tasks/%d", at, i)
		c.found(phases, t.Phase, "phase", row+"/phase")
		c.foundIf(options, t.Option, "option", row+"/option")
		c.foundIf(lines, t.Allowance, "line", row+"/allowance")
	}
	for i, l := range e.Lines {
		row := fmt.Sprintf("%s/estimate/lines/%d", at, i)
		c.found(phases, l.Phase, "phase", row+"/phase")
		c.foundIf(options, l.Option, "option", row+"/option")
		c.foundIf(tasks, l.Task, "task", row+"/task")
	}
	for i, l := range e.Links {
		row := fmt.Sprintf("%s/estimate/links/%d", at, i)
		c.found(tasks, l.From, "task", row+"/from")
		c.found(tasks, l.To, "task", row+"/to")
	}
	c.named(k.Skills, at+"/skills")
	c.named(k.Stations, at+"/stations")
}

type names map[string]bool

func (c *check) once(seen names, key, at string) {
	if seen[key] {
		c.add(at, "%s is there already.", key)
	}
	seen[key] = true
}

func (c *check) found(there names, key, what, at string) {
	if !there[key] {
		c.add(at, "The file has no %s %q.", what, key)
	}
}

func (c *check) foundIf(there names, key, what, at string) {
	if key != "" {
		c.found(there, key, what, at)
	}
}

func (c *check) named(list []Name, at string) {
	seen := names{}
	for i, n := range list {
		c.once(seen, n.Key, fmt.Sprintf("%s/%d/key", at, i))
	}
}

// Write writes content as a file, and reads it again to make sure that it can be:
// what a shop holds that no file can carry is a fault.Conflict that points to it.
// Equal content gives equal bytes.
func Write(k Content) ([]byte, error) {
	plain, err := encode(k)
	if err != nil {
		return nil, err
	}
	tree, err := parse(plain)
	if err != nil {
		return nil, unwritable(err)
	}
	raw, err := encode(File{Format: Format, Version: Version, SHA256: tree.sum(), Content: k})
	if err != nil {
		return nil, err
	}
	if _, err := Read(append(append([]byte(`{"file":`), raw...), '}')); err != nil {
		return nil, unwritable(err)
	}
	return raw, nil
}

func unwritable(err error) error {
	e := fault.As(err)
	if e == nil {
		return err
	}
	where := ""
	if len(e.Fields) > 0 {
		where = " (" + e.Fields[0].Pointer + ")"
	}
	return fault.New(fault.Conflict, "job-file-unwritable", "This job has something that no job file can carry%s: %s", where, e.Detail).Because(err)
}

func encode(v any) ([]byte, error) {
	var out bytes.Buffer
	e := json.NewEncoder(&out)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	err := e.Encode(v)
	return out.Bytes(), err
}

func known(version string) bool {
	for v := 1; v <= Version; v++ {
		if version == fmt.Sprint(v) {
			return true
		}
	}
	return false
}
