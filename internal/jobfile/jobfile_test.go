package jobfile

import (
	"bytes"
	"encoding/json"
	"os"
	"slices"
	"strings"
	"testing"

	"bareframe/internal/fault"
)

// small is a file made by hand in testdata. Its sum was made by Python's json and
// hashlib (json.dumps with sort_keys, separators "," and ":", ensure_ascii=False),
// which for its ASCII names and whole numbers is the form of RFC 8785.
func small(t testing.TB) []byte {
	t.Helper()
	raw, err := os.ReadFile("../../testdata/jobfile/small.json")
	if err != nil {
		t.Fatal(err)
	}
	return raw
}

// sent is a file as it is sent, with nothing chosen.
func sent(file []byte) []byte {
	return slices.Concat([]byte(`{"file":`), file, []byte(`}`))
}

// resummed is a file whose sum fits what it became.
func resummed(t testing.TB, file []byte) []byte {
	t.Helper()
	root, err := parse(file)
	if err != nil {
		t.Fatalf("%v\n%s", err, file)
	}
	content, _ := root.member("content")
	was, _ := root.member("sha256")
	return bytes.Replace(file, []byte(was.text), []byte(content.sum()), 1)
}

// The sorting of RFC 8785, 3.2.3, with its own sample, given from memory; published
// conformance files of the scheme have the same names in the same order.
func TestNamesAreSortedAsRFC8785Has(t *testing.T) {
	n := node{kind: '{'}
	for _, m := range [][2]string{{"\u20ac", "Euro Sign"}, {"\r", "Carriage Return"}, {"\ufb33", "Hebrew Letter Dalet With Dagesh"}, {"1", "One"},
		{"\U0001f600", "Emoji: Grinning Face"}, {"\u0080", "Control"}, {"\u00f6", "Latin Small Letter O With Diaeresis"}} {
		n.members = append(n.members, member{m[0], node{kind: 's', text: m[1]}})
	}
	var out strings.Builder
	n.canonical(&out)
	want := `{"\r":"Carriage Return","1":"One","` + "\u0080" + `":"Control","` + "\u00f6" + `":"Latin Small Letter O With Diaeresis","` + "\u20ac" + `":"Euro Sign","` + "\U0001f600" + `":"Emoji: Grinning Face","` + "\ufb33" + `":"Hebrew Letter Dalet With Dagesh"}`
	if out.String() != want {
		t.Errorf("got  %q\nwant %q", out.String(), want)
	}
}

// The string member of the sample of RFC 8785, 3.2.2, given from memory.
func TestStringsAreWrittenAsRFC8785Has(t *testing.T) {
	var out strings.Builder
	quoted(&out, "\u20ac$\u000f\nA'B\"\\\\\"/")
	if want := `"` + "\u20ac" + `$\u000f\nA'B\"\\\\\"/"`; out.String() != want {
		t.Errorf("got %s, want %s", out.String(), want)
	}
}

func TestAFileMadeElsewhereIsReadAndWrittenTheSame(t *testing.T) {
	request, err := Read(sent(small(t)))
	if err != nil {
		t.Fatal(err)
	}
	raw, err := Write(request.File.Content)
	if err != nil {
		t.Fatal(err)
	}
	var ours, theirs any
	if json.Unmarshal(raw, &ours) != nil || json.Unmarshal(small(t), &theirs) != nil {
		t.Fatal("not JSON")
	}
	a, _ := json.Marshal(ours)
	b, _ := json.Marshal(theirs)
	if !bytes.Equal(a, b) {
		t.Errorf("written again it is\n%s\nand was\n%s", a, b)
	}
	var compact bytes.Buffer
	if err := json.Compact(&compact, small(t)); err != nil {
		t.Fatal(err)
	}
	if _, err := Read(sent(compact.Bytes())); err != nil {
		t.Errorf("laid out anew it is refused: %v", err)
	}
}

// Version 1 had nothing of the floor; the sum is of the content alone.
func TestAFileOfTheFirstVersionIsRead(t *testing.T) {
	old := bytes.Replace(small(t), []byte(`"version": 3`), []byte(`"version": 1`), 1)
	request, err := Read(sent(old))
	if err != nil {
		t.Fatal(err)
	}
	if got := request.File.Content.Estimate.Tasks[0]; got.LongestBreak != "" || got.Interruptible || len(got.Helpers) != 0 {
		t.Errorf("got %+v, want nothing of the floor", got)
	}
}

// Each row changes the file by one replacement; code and pointer are what the
// reader must be told.
func TestFilesThatAreRefused(t *testing.T) {
	for name, c := range map[string]struct {
		old, new, code, pointer string
		keep                    bool // the old sum
	}{
		"damaged":                   {`"Walk round"`, `"Walk around"`, "job-file-changed", "/file/sha256", true},
		"another format":            {`"bareframe-job-file"`, `"something-else"`, "job-file-format", "/file/format", false},
		"a version from the future": {`"version": 3`, `"version": 4`, "job-file-version", "/file/version", false},
		"a version as text":         {`"version": 3`, `"version": "1"`, "job-file-version", "/file/version", false},
		"a field nobody knows":      {`"serial":`, `"colour": "red", "serial":`, "job-file-invalid", "/file/content/job/vehicle/colour", false},
		"a field in other letters":  {`"serial":`, `"Serial":`, "job-file-invalid", "/file/content/job/vehicle/Serial", false},
		"a field that is missing":   {`"serial": "T67-01482",`, ``, "job-file-invalid", "/file/content/job/vehicle/serial", false},
		"money as a number":         {`"unit_cost": "250"`, `"unit_cost": 250`, "job-file-invalid", "/file/content/estimate/lines/1/unit_cost", false},
		"hours with an exponent":    {`"likely": "5"`, `"likely": "5e3"`, "job-file-invalid", "/file/content/estimate/tasks/2/hours/likely", false},
		"a quantity below zero":     {`"quantity": "3.3333"`, `"quantity": "-3"`, "job-file-invalid", "/file/content/estimate/lines/0/quantity", false},
		"a phase not there":         {`"phase": "p1",`, `"phase": "p9",`, "job-file-invalid", "/file/content/estimate/tasks/0/phase", false},
		"a link to nowhere":         {`"to": "A30"`, `"to": "Z99"`, "job-file-invalid", "/file/content/estimate/links/0/to", false},
		"an allowance not there":    {`"allowance": "l2"`, `"allowance": "l7"`, "job-file-invalid", "/file/content/estimate/tasks/2/allowance", false},
		"a line's task not there":   {`"task": "B10"`, `"task": "B11"`, "job-file-invalid", "/file/content/estimate/lines/0/task", false},
		"a line's option": {`"option": "o1",
     "price_item"`, `"option": "o8",
     "price_item"`, "job-file-invalid", "/file/content/estimate/lines/0/option", false},
		"a zone not there":    {`"zone": "left-rail"`, `"zone": "right-rail"`, "job-file-invalid", "/file/content/frame/observations/0/zone", false},
		"a code twice":        {`"code": "A30"`, `"code": "A10"`, "job-file-invalid", "/file/content/estimate/tasks/1/code", false},
		"a day that is none":  {`"2027-01-11"`, `"2027-02-30"`, "job-file-invalid", "/file/content/job/not_before", false},
		"a long title":        {`"Walk round"`, `"` + strings.Repeat("x", 161) + `"`, "job-file-invalid", "/file/content/estimate/tasks/0/name", false},
		"a year out of reach": {`"year": 1967`, `"year": 19670`, "job-file-invalid", "/file/content/job/vehicle/year", false},
		"text for a list":     {`"cautions": []`, `"cautions": ""`, "job-file-invalid", "/file/content/estimate/tasks/0/cautions", false},
	} {
		if !bytes.Contains(small(t), []byte(c.old)) {
			t.Errorf("%s: the file has no %s", name, c.old)
			continue
		}
		file := bytes.Replace(small(t), []byte(c.old), []byte(c.new), 1)
		if !c.keep {
			file = resummed(t, file)
		}
		_, err := Read(sent(file))
		e := fault.As(err)
		if e == nil || e.Code != c.code || !slices.ContainsFunc(e.Fields, func(f fault.Field) bool { return f.Pointer == c.pointer }) {
			t.Errorf("%s: got %v, want %s at %s", name, err, c.code, c.pointer)
		}
	}
}

// These are refused by their bytes, before anything is made of them.
func TestHostileBytesAreRefused(t *testing.T) {
	file := small(t)
	swap := func(old, new string) []byte { return sent(bytes.Replace(file, []byte(old), []byte(new), 1)) }
	wide := []byte{0xff, 0xfe}
	for _, b := range sent(file) {
		wide = append(wide, b, 0)
	}
	for name, c := range map[string]struct {
		raw  []byte
		code string
	}{
		"nothing":                   {nil, "job-file-json"},
		"not JSON":                  {[]byte("PK\x03\x04 a workbook"), "job-file-json"},
		"cut off":                   {sent(file)[:len(file)/2], "job-file-json"},
		"text behind":               {append(sent(file), []byte(` {}`)...), "job-file-json"},
		"null":                      {[]byte(`null`), "job-file-invalid"},
		"a list":                    {[]byte(`[]`), "job-file-format"},
		"a number":                  {[]byte(`17`), "job-file-format"},
		"UTF-16":                    {wide, "job-file-encoding"},
		"a byte order mark":         {append([]byte{0xef, 0xbb, 0xbf}, sent(file)...), "job-file-encoding"},
		"Latin-1":                   {swap("Walk round", "Walk r\xf6und"), "job-file-encoding"},
		"a NUL byte":                {swap("Walk round", "Walk\x00round"), "job-file-encoding"},
		"an escaped NUL":            {swap("Walk round", `Walk\u0000round`), "job-file-invalid"},
		"half a surrogate":          {swap("Walk round", `Walk\ud83dround`), "job-file-invalid"},
		"an escape sequence":        {swap("Walk round", `Walk\u001b[31mround`), "job-file-invalid"},
		"a number of a billion":     {swap(`"lead_days": 0`, `"lead_days": 1e9`), "job-file-invalid"},
		"a number that fills space": {swap(`"lead_days": 0`, `"lead_days": 1`+strings.Repeat("0", 5000)), "job-file-invalid"},
		"a fraction":                {swap(`"crew": 1`, `"crew": 1.0`), "job-file-invalid"},
		"minus nothing":             {swap(`"lead_days": 0`, `"lead_days": -0`), "job-file-invalid"},
		"a name twice":              {swap(`"title":`, `"title": "Another", "title":`), "job-file-invalid"},
		"a choice twice":            {slices.Concat([]byte(`{"client_id":"a","client_id":"b","file":`), file, []byte(`}`)), "job-file-invalid"},
		"deep lists":                {[]byte(`{"file":` + strings.Repeat("[", 9000) + strings.Repeat("]", 9000) + `}`), "job-file-invalid"},
		"deeper than a reader goes": {[]byte(strings.Repeat(`{"a":`, 200_000) + "1" + strings.Repeat("}", 200_000)), "job-file-json"},
		"many values":               {[]byte(`{"file":[` + strings.Repeat("0,", maxValues) + `0]}`), "job-file-size"},
		"large":                     {bytes.Repeat([]byte(" "), MaxBytes+1), "job-file-size"},
		"null for a field":          {swap(`"serial": "T67-01482"`, `"serial": null`), "job-file-invalid"},
		"mapping to a list":         {slices.Concat([]byte(`{"mapping":{"skills":[]},"file":`), file, []byte(`}`)), "job-file-invalid"},
		"a long unknown name":       {slices.Concat([]byte(`{"`+strings.Repeat("x", 100_000)+`":1,"file":`), file, []byte(`}`)), "job-file-invalid"},
	} {
		_, err := Read(c.raw)
		e := fault.As(err)
		if e == nil || e.Code != c.code {
			t.Errorf("%s: got %v, want %s", name, err, c.code)
			continue
		}
		for _, f := range e.Fields {
			if len(f.Pointer) > 300 {
				t.Errorf("%s: a pointer of %d bytes", name, len(f.Pointer))
			}
		}
	}
}

// More rows than there can be are refused by their number alone.
func TestListsAreBounded(t *testing.T) {
	link := `{"from":"A10","to":"A30","type":"FS","lag_hours":"0","lag_kind":"working"},`
	file := bytes.Replace(small(t), []byte(`"links": [`), []byte(`"links": [`+strings.Repeat(link, 5000)), 1)
	_, err := Read(sent(resummed(t, file)))
	if e := fault.As(err); e == nil || len(e.Fields) != 1 || e.Fields[0].Pointer != "/file/content/estimate/links" {
		t.Errorf("5002 links: got %v", err)
	}
}

func FuzzRead(f *testing.F) {
	f.Add(sent(small(f)))
	f.Add([]byte(`{"file":{"format":"bareframe-job-file","version":2,"content":{}}}`))
	f.Fuzz(func(t *testing.T, raw []byte) {
		request, err := Read(raw)
		if err != nil {
			if fault.As(err) == nil {
				t.Fatalf("a refusal without a kind: %v", err)
			}
			return
		}
		again, err := Write(request.File.Content)
		if err != nil {
			t.Fatalf("what was read cannot be written: %v", err)
		}
		if _, err := Read(sent(again)); err != nil {
			t.Fatalf("what was written cannot be read: %v", err)
		}
	})
}
