package command

import (
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"

	"bareframe/internal/testkit/figures"
)

var engines = []string{"pricing", "network", "calendar", "localrules", "repair", "method", "stop-now", "watch", "coating", "takeoff", "points", "health"}

func TestCalculateListsAndExplainsItself(t *testing.T) {
	for _, args := range [][]string{{"calculate", "--list"}, {"calculate"}} {
		r := invoke(t, "", args...)
		r.want(t, strings.Join(args, " "), 0, "", "")
		for _, name := range engines {
			if !strings.Contains(r.out, name+" ") {
				t.Errorf("%v does not list %s:\n%s", args, name, r.out)
			}
		}
	}
	for _, name := range engines {
		example := invoke(t, "", "calculate", name, "--example")
		example.want(t, "the example of "+name, 0, "{", "")
		result := invoke(t, example.out, "calculate", name, "-")
		result.want(t, "the example of "+name+" piped back", 0, "{", "")
		file := filepath.Join(t.TempDir(), "example.json")
		if err := os.WriteFile(file, []byte(example.out), 0o600); err != nil {
			t.Fatal(err)
		}
		if again := invoke(t, "", "calculate", name, file); again.out != result.out || again.code != 0 {
			t.Errorf("%s: a file and a pipe give different answers", name)
		}
	}
}

func TestBadInputIsAProblem(t *testing.T) {
	for _, r := range []struct {
		name, engine, input, problem string
		pointer                      string
	}{
		{"no JSON", "pricing", "{", "input-not-readable", ""},
		{"nothing", "pricing", "", "input-not-readable", ""},
		{"text after it", "calendar", `{} {}`, "input-not-readable", ""},
		{"an unknown field", "network", `{"surprise": 1}`, "input-not-readable", ""},
		{"a wrong type", "pricing", `{"currency": 7}`, "input-not-readable", "/currency"},
		{"a number where a decimal belongs", "pricing", `{"currency": "EUR", "lines": [{"quantity": 1e3}]}`, "input-not-readable", "/lines"},
		{"an exponent", "pricing", `{"currency":"EUR","tax_basis":"document","tax_rates":[{"class":"fee","percent":"1"}],"lines":[{"id":"1","kind":"fee","description":"x","quantity":"1e3","unit_price":"1","tax_class":"fee"}]}`, "", "/lines/0/quantity"},
		{"not a number", "pricing", `{"currency":"EUR","tax_basis":"document","tax_rates":[{"class":"fee","percent":"1"}],"lines":[{"id":"1","kind":"fee","description":"x","quantity":"NaN","unit_price":"1","tax_class":"fee"}]}`, "", "/lines/0/quantity"},
		{"no such currency", "pricing", `{"currency": "EURO"}`, "", "/currency"},
		{"a circle", "network", `{"start":"2031-03-03T08:00:00Z","tasks":[{"id":"a","minutes":1,"kind":"elapsed"},{"id":"b","minutes":1,"kind":"elapsed"}],"links":[{"from":"a","to":"b","type":"FS","lag_kind":"elapsed"},{"from":"b","to":"a","type":"FS","lag_kind":"elapsed"}]}`, "network-cycle", ""},
		{"an unknown task", "network", `{"start":"2031-03-03T08:00:00Z","tasks":[],"links":[{"from":"a","to":"b","type":"FS","lag_kind":"elapsed"}]}`, "network-invalid", "/links/0/from"},
		{"a year 0", "calendar", `{"calendar":{"time_zone":"UTC","week":{}},"start":"0000-01-01T00:00:00Z","minutes":1,"kind":"elapsed"}`, "", "/start"},
		{"no such calculation", "alchemy", "{}", "calculation-not-found", ""},
	} {
		got := invoke(t, r.input, "calculate", r.engine, "-")
		if got.code != 1 || got.out != "" {
			t.Errorf("%s: exit %d, out %q; want exit 1 and nothing on standard output", r.name, got.code, got.out)
			continue
		}
		p := parsed(t, got.err)
		if kind, _ := p["type"].(string); !strings.HasPrefix(kind, "urn:bareframe:problem:") || r.problem != "" && kind != "urn:bareframe:problem:"+r.problem || p["detail"] == "" {
			t.Errorf("%s: the problem is %v", r.name, p)
		}
		if r.pointer != "" && !strings.Contains(fmt.Sprint(p["errors"]), "pointer:"+r.pointer) {
			t.Errorf("%s: the problem does not name %s: %v", r.name, r.pointer, p["errors"])
		}
	}
	invoke(t, "", "calculate", "pricing").want(t, "no file", 1, "", "file-missing")
	invoke(t, "", "calculate", "pricing", filepath.Join(t.TempDir(), "none.json")).want(t, "a file that is not there", 1, "", "none.json")
	invoke(t, "", "calculate", "alchemy", "--example").want(t, "the example of nothing", 1, "", "calculation-not-found")
}

// Every published and hand-worked check that stands as one input and one answer,
// through the command line. The younger engines keep tables of cases, which
// their own packages run.
func TestTheCommandLineReproducesEveryCheck(t *testing.T) {
	for _, engine := range []string{"pricing", "network", "calendar"} {
		files, err := filepath.Glob("../../testdata/" + engine + "/*.json")
		if err != nil || len(files) < 8 {
			t.Fatalf("%d checks for %s: %v", len(files), engine, err)
		}
		for _, file := range files {
			t.Run(engine+"/"+filepath.Base(file), func(t *testing.T) {
				raw, err := os.ReadFile(file)
				if err != nil {
					t.Fatal(err)
				}
				check := parsed(t, string(raw))
				want, _ := check["want"].(map[string]any)
				r := invoke(t, "", "calculate", engine, file)
				if r.code != 0 {
					t.Fatalf("exit %d: %s", r.code, r.err)
				}
				c := &comparison{t: t}
				if engine == "network" {
					c.network(want, parsed(t, r.out), check["tolerance_minutes"])
				} else {
					c.holds("", want, parsed(t, r.out))
				}
				if c.compared < 2 {
					t.Errorf("only %d values were compared", c.compared)
				}
			})
		}
	}
}

// The checks of films and takeoffs want figures in the units of their sources.
func TestTheCommandLineReproducesEveryFigure(t *testing.T) {
	for engine, least := range map[string]int{"coating": 11, "takeoff": 15} {
		for _, c := range figures.Read(t, "../../testdata/"+engine, least) {
			t.Run(engine+"/"+c.Name, func(t *testing.T) {
				r := invoke(t, "", "calculate", engine, "../../testdata/"+engine+"/"+c.Name)
				if r.code != 0 {
					t.Fatalf("exit %d: %s", r.code, r.err)
				}
				c.HoldJSON(t, []byte(r.out))
			})
		}
	}
}

// comparison counts what it compared.
type comparison struct {
	t        *testing.T
	compared int
}

// holds wants all that want says in got, which may say more.
func (c *comparison) holds(at string, want, got any) {
	c.t.Helper()
	switch want := want.(type) {
	case map[string]any:
		object, _ := got.(map[string]any)
		for key := range want {
			c.holds(at+"/"+key, want[key], object[key])
		}
	case []any:
		list, _ := got.([]any)
		if len(list) != len(want) {
			c.t.Errorf("%s has %d values, want %d", at, len(list), len(want))
			return
		}
		for i := range want {
			c.holds(fmt.Sprint(at, "/", i), want[i], list[i])
		}
	default:
		c.compared++
		if !equal(want, got) {
			c.t.Errorf("%s is %v, want %v", at, got, want)
		}
	}
}

// equal compares instants as instants and all else as it stands.
func equal(want, got any) bool {
	a, err1 := time.Parse(time.RFC3339, fmt.Sprint(want))
	b, err2 := time.Parse(time.RFC3339, fmt.Sprint(got))
	if err1 == nil && err2 == nil {
		return a.Equal(b)
	}
	return reflect.DeepEqual(want, got)
}

// network compares what a check of a network wants, in its own shape: values by
// task, in multiples of a unit, within a tolerance in minutes.
func (c *comparison) network(want, got map[string]any, tolerance any) {
	c.t.Helper()
	slack, _ := tolerance.(float64)
	unit, _ := want["unit_minutes"].(float64)
	within := func(what string, got any, minutes float64) {
		c.t.Helper()
		c.compared++
		if n, ok := got.(float64); !ok || n-minutes > slack || minutes-n > slack {
			c.t.Errorf("%s is %v minutes, want %v", what, got, minutes)
		}
	}
	tasks, critical := map[string]map[string]any{}, []any{}
	for _, row := range got["tasks"].([]any) {
		task := row.(map[string]any)
		tasks[task["id"].(string)] = task
		if task["critical"] == true {
			critical = append(critical, task["id"])
		}
	}
	for field, of := range map[string]string{"duration": "elapsed_minutes", "working_minutes": "working_minutes"} {
		if n, ok := want[field].(float64); ok {
			within(field, got[of], n*unit)
		}
	}
	for field, of := range map[string]string{"total_float": "total_float_minutes", "free_float": "free_float_minutes"} {
		byTask, _ := want[field].(map[string]any)
		for id, n := range byTask {
			within(field+" of "+id, tasks[id][of], n.(float64)*unit)
		}
	}
	for field, of := range map[string][2]string{"early": {"early_start", "early_finish"}, "late": {"late_start", "late_finish"}} {
		byTask, _ := want[field].(map[string]any)
		for id, span := range byTask {
			c.holds(field+" of "+id, span, []any{tasks[id][of[0]], tasks[id][of[1]]})
		}
	}
	for field := range map[string]bool{"resume": true, "reason": true, "state": true} {
		byTask, _ := want[field].(map[string]any)
		for id, v := range byTask {
			c.holds(field+" of "+id, v, tasks[id][field])
		}
	}
	if want["critical"] != nil {
		c.holds("critical", want["critical"], critical)
	}
	for _, field := range []string{"finish", "driving_chain", "out_of_sequence", "shortfalls", "lag_overruns"} {
		if want[field] != nil {
			c.holds(field, want[field], got[field])
		}
	}
}

// The comparison can fail.
func TestADifferenceIsSeen(t *testing.T) {
	for _, r := range []struct{ want, got any }{
		{map[string]any{"a": "1.00"}, map[string]any{"a": "1.0"}},
		{map[string]any{"a": "1"}, map[string]any{}},
		{[]any{"1"}, []any{"1", "2"}},
		{"2031-03-03T08:00:00Z", "2031-03-03T08:00:00+01:00"},
	} {
		quiet := &testing.T{}
		(&comparison{t: quiet}).holds("", r.want, r.got)
		if !quiet.Failed() {
			t.Errorf("%v passes for %v", r.got, r.want)
		}
	}
	if !equal("2031-03-03T08:00:00Z", "2031-03-03T09:00:00+01:00") {
		t.Error("one instant in two zones differs")
	}
}
