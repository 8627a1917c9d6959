package api_test

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"

	"bareframe/internal/domain"
	"bareframe/internal/testkit"
)

// jobFileOf takes a job out as a file.
func jobFileOf(t testing.TB, w *testkit.World, boss *testkit.Person, job string) string {
	t.Helper()
	f, err := w.App.ExportJob(t.Context(), boss.Actor, job, false)
	if err != nil {
		t.Fatalf("taking out job %s: %v", job, err)
	}
	return string(f.Body)
}

// jobFileBody is a file with what was chosen for it, as it is sent.
func jobFileBody(file string, chosen ...string) string {
	return `{` + strings.Join(append(chosen, `"file":`+file), ",") + `}`
}

// carried is what of a file must be the same after a journey: all but where it
// comes from and its sum.
func carried(t testing.TB, file string) map[string]any {
	t.Helper()
	var f struct {
		Content map[string]any `json:"content"`
	}
	if err := json.Unmarshal([]byte(file), &f); err != nil {
		t.Fatal(err)
	}
	delete(f.Content, "source")
	return f.Content
}

// alter changes a file by value and gives it the sum of what it became. Its sums
// are Go's own: maps marshal with sorted names, which are ASCII here.
func alter(t testing.TB, file string, change func(content map[string]any)) string {
	t.Helper()
	d := json.NewDecoder(strings.NewReader(file))
	d.UseNumber()
	var f map[string]any
	if err := d.Decode(&f); err != nil {
		t.Fatal(err)
	}
	content := f["content"].(map[string]any)
	change(content)
	var canonical strings.Builder
	e := json.NewEncoder(&canonical)
	e.SetEscapeHTML(false)
	if err := e.Encode(content); err != nil {
		t.Fatal(err)
	}
	sum := sha256.Sum256([]byte(strings.TrimSuffix(canonical.String(), "\n")))
	f["sha256"] = hex.EncodeToString(sum[:])
	out, err := json.Marshal(f)
	if err != nil {
		t.Fatal(err)
	}
	return string(out)
}

func fileRow(content map[string]any, list string, i int) map[string]any {
	return content["estimate"].(map[string]any)[list].([]any)[i].(map[string]any)
}

// A job goes to another shop and comes out of it as it went in, at the same price
// and, on the same calendar, with the same finish.
func TestAJobFileTravelsWhole(t *testing.T) {
	w := withOptionsIn(t, func(w *testkit.World) { discounted(t, w) })
	w.Uncover(t)
	whole := seedJob(t, w)
	for name, job := range map[string]string{"with options and findings": w.Job, "the seeds' whole frame": whole, "another": w.OtherJob} {
		file := jobFileOf(t, w, w.Owner, job)
		preview := w.Rival.Do(t, "POST", "/api/jobs/import/preview", jobFileBody(file)).Want(t, 200)
		here := w.Owner.Do(t, "GET", "/api/jobs/"+job, nil).Want(t, 200)
		if preview.Text("/settled") != "true" || preview.Text("/total") != here.Text("/price/total") || preview.Text("/source/total") != here.Text("/price/total") {
			t.Errorf("%s: the preview says %s here and %s there, the job page %s", name, preview.Text("/total"), preview.Text("/source/total"), here.Text("/price/total"))
		}
		there := w.Rival.Do(t, "POST", "/api/jobs/import", jobFileBody(file, `"client_id":"`+w.RivalClient.ID+`"`)).Want(t, 201)
		for _, at := range []string{"/price/total", "/price/net", "/price/tax", "/price/cost", "/price/margin", "/schedule/finish", "/job/vehicle", "/job/title"} {
			if got, want := there.Text(at), here.Text(at); got != want || want == "" {
				t.Errorf("%s: %s is %s there and %s here", name, at, got, want)
			}
		}
		if got := there.Text("/job/number"); got == here.Text("/job/number") && got == "" {
			t.Errorf("%s: number %s", name, got)
		}
		again := jobFileOf(t, w, w.Rival, there.Text("/job/id"))
		if was, is := carried(t, file), carried(t, again); !reflect.DeepEqual(was, is) {
			t.Errorf("%s: it went in as\n%s\nand came out as\n%s", name, file, again)
		}
		for _, secret := range []string{w.Owner.ID, w.ClientOf.ID, "Mirel Dance", "Jory Haldane", "Ilse Varga", job, w.ShopA} {
			if strings.Contains(file, secret) {
				t.Errorf("%s: the file holds %q", name, secret)
			}
		}
	}
	if n := w.TrailLength(t, w.ShopB); n < 3 {
		t.Errorf("the trail of the receiving shop has %d entries", n)
	}
}

// The same shop reads its own file as a further job.
func TestAJobFileIsReadByItsOwnShop(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtClock)
	w.Uncover(t)
	w.Set("body", jobFileBody(jobFileOf(t, w, w.Owner, w.Job), `"client_id":"`+w.ClientOf.ID+`"`))
	first := w.Owner.Do(t, "POST", "/api/jobs/import", w.Var("body"), testkit.Key("read-it-once")).Want(t, 201)
	if first.Text("/job/state") != "surveyed" || first.Text("/job/id") == w.Job || first.Text("/job/template_name") != "" && first.Text("/quotes/0/id") != "" {
		t.Errorf("the new job: %s", first.Body)
	}
	again := w.Owner.Do(t, "POST", "/api/jobs/import", w.Var("body"), testkit.Key("read-it-once")).Want(t, 201)
	if again.Text("/job/id") != first.Text("/job/id") {
		t.Errorf("a retry made another job: %s and %s", first.Text("/job/id"), again.Text("/job/id"))
	}
	w.Owner.Do(t, "POST", "/api/jobs/import", w.Var("body")+" ", testkit.Key("read-it-once")).WantProblem(t, 409, "idempotency-key-reused")
	frame := w.Owner.Do(t, "GET", "/api/jobs/"+first.Text("/job/id")+"/frame", nil).Want(t, 200)
	if !strings.Contains(string(frame.Body), "Finding 1: ") || !strings.Contains(string(frame.Body), "Job file of Lower Mill Restorations") {
		t.Errorf("what was found is not on the new frame: %s", frame.Body)
	}
	named := w.Owner.Do(t, "GET", w.Fill("/api/jobs/{job}/file?client_name=true"), nil).Want(t, 200)
	if !strings.Contains(string(named.Body), `"client_name": "Mirel Dance"`) {
		t.Error("the client is not named where that was asked for")
	}
}

// What the receiving shop does not know is named, chosen, and then worked with.
func TestUnknownSkillsAndStationsAreMapped(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtEnquiry)
	file := alter(t, jobFileOf(t, w, w.Owner, w.Job), func(k map[string]any) {
		for i := range k["estimate"].(map[string]any)["tasks"].([]any) {
			task := fileRow(k, "tasks", i)
			if task["skill"] == "welder" {
				task["skill"] = "steel_fixer"
			}
			if task["station"] == "frame_stand" {
				task["station"] = "jig"
			}
		}
		k["skills"] = []any{map[string]any{"key": "steel_fixer", "name": "Steel fixer"}}
	})
	client := `"client_id":"` + w.RivalClient.ID + `"`
	preview := w.Rival.Do(t, "POST", "/api/jobs/import/preview", jobFileBody(file)).Want(t, 200)
	unknown := func(a *testkit.Answer, list string) (out []string) {
		for i := range a.Len("/" + list) {
			if at := "/" + list + "/" + strconv.Itoa(i); a.Text(at+"/settled") == "false" {
				out = append(out, a.Text(at+"/key")+" "+a.Text(at+"/name")+" "+a.Text(at+"/uses"))
			}
		}
		return out
	}
	if got := append(unknown(preview, "skills"), unknown(preview, "stations")...); !slices.Equal(got, []string{"steel_fixer Steel fixer 2", "jig  1"}) || preview.Text("/total") != "" || preview.Text("/settled") != "false" {
		t.Errorf("to be mapped: %q, total %q", got, preview.Text("/total"))
	}
	count := w.Rival.Do(t, "GET", "/api/jobs?limit=200", nil).Want(t, 200).Len("/items")
	trail := w.TrailLength(t, w.ShopB)
	w.Rival.Do(t, "POST", "/api/jobs/import", jobFileBody(file, client)).WantProblem(t, 422, "job-file-unmapped").WantField(t, "/mapping/skills/steel_fixer").WantField(t, "/mapping/stations/jig")
	w.Rival.Do(t, "POST", "/api/jobs/import", jobFileBody(file, client, `"mapping":{"skills":{"steel_fixer":"wizard"},"stations":{"jig":""}}`)).WantProblem(t, 422, "job-file-unmapped").WantField(t, "/mapping/skills/steel_fixer")
	w.Rival.Do(t, "POST", "/api/jobs/import", jobFileBody(file, client, `"mapping":{"skills":{"steel_fixer":"welder","plumber":"welder"},"stations":{"jig":""}}`)).WantProblem(t, 422, "job-file-unmapped").WantField(t, "/mapping/skills/plumber")
	w.Rival.Do(t, "POST", "/api/jobs/import", jobFileBody(file, `"client_id":"`+w.ClientOf.ID+`"`, `"mapping":{"skills":{"steel_fixer":"welder"},"stations":{"jig":""}}`)).WantProblem(t, 422, "client-not-found").WantField(t, "/client_id")
	if n := w.Rival.Do(t, "GET", "/api/jobs?limit=200", nil).Want(t, 200).Len("/items"); n != count || w.TrailLength(t, w.ShopB) != trail {
		t.Errorf("refusals left something: %d jobs were %d", n, count)
	}
	mapping := `"mapping":{"skills":{"steel_fixer":"welder"},"stations":{"jig":"frame_stand"}}`
	if p := w.Rival.Do(t, "POST", "/api/jobs/import/preview", jobFileBody(file, mapping)).Want(t, 200); p.Text("/total") == "" || p.Text("/skills/1/becomes")+p.Text("/skills/2/becomes") == "" {
		t.Errorf("the preview of the mapping: %s", p.Body)
	}
	made := w.Rival.Do(t, "POST", "/api/jobs/import", jobFileBody(file, client, mapping)).Want(t, 201)
	here := w.Owner.Do(t, "GET", w.Fill("/api/jobs/{job}"), nil).Want(t, 200)
	if made.Text("/price/total") != here.Text("/price/total") {
		t.Errorf("mapped to the same skill it comes to %s, and came to %s", made.Text("/price/total"), here.Text("/price/total"))
	}
}

// Every row breaks one thing; all is refused, by pointer, and nothing is written.
func TestJobFilesThatAreRefused(t *testing.T) {
	w := withOptions(t)
	file := jobFileOf(t, w, w.Owner, w.Job)
	count := w.Rival.Do(t, "GET", "/api/jobs?limit=200", nil).Want(t, 200).Len("/items")
	trail := w.TrailLength(t, w.ShopB)
	for name, c := range map[string]struct {
		change  func(k map[string]any)
		code    string
		pointer string
	}{
		"another currency": {func(k map[string]any) { k["job"].(map[string]any)["currency"] = "USD" }, "job-file-currency", "/file/content/job/currency"},
		"a circle": {func(k map[string]any) {
			e := k["estimate"].(map[string]any)
			e["links"] = append(e["links"].([]any), map[string]any{"from": "C40", "to": "A10", "type": "FS", "lag_hours": "0", "lag_kind": "working"})
		}, "network-cycle", "/file/content/estimate/links/14"},
		"a task that waits for itself": {func(k map[string]any) { fileRow(k, "links", 0)["to"] = fileRow(k, "links", 0)["from"] }, "job-file-invalid", "/file/content/estimate/links/0/to"},
		"a link type nobody knows":     {func(k map[string]any) { fileRow(k, "links", 0)["type"] = "XX" }, "job-file-invalid", "/file/content/estimate/links/0/type"},
		"a lag of years":               {func(k map[string]any) { fileRow(k, "links", 0)["lag_hours"] = "99999" }, "job-file-invalid", "/file/content/estimate/links/0/lag_hours"},
		"more hours than there are":    {func(k map[string]any) { fileRow(k, "tasks", 0)["hours"].(map[string]any)["high"] = "99999" }, "job-file-invalid", "/file/content/estimate/tasks/0/hours"},
		"hours the wrong way round":    {func(k map[string]any) { fileRow(k, "tasks", 0)["hours"].(map[string]any)["low"] = "9" }, "job-file-invalid", "/file/content/estimate/tasks/0/hours/low"},
		"a kind of task nobody knows":  {func(k map[string]any) { fileRow(k, "tasks", 0)["kind"] = "magic" }, "job-file-invalid", "/file/content/estimate/tasks/0/kind"},
		"a strip gate that is none":    {func(k map[string]any) { fileRow(k, "tasks", 0)["strip_gate"] = true }, "job-file-invalid", "/file/content/estimate/tasks/0/strip_gate"},
		"labour as a line":             {func(k map[string]any) { fileRow(k, "lines", 0)["kind"] = "labour" }, "job-file-invalid", "/file/content/estimate/lines/0/kind"},
		"a unit nobody knows":          {func(k map[string]any) { fileRow(k, "lines", 0)["unit"] = "furlong" }, "job-file-invalid", "/file/content/estimate/lines/0/unit"},
		"a line in another phase":      {func(k map[string]any) { fileRow(k, "lines", 1)["task"] = "A10"; fileRow(k, "lines", 1)["phase"] = "p3" }, "job-file-invalid", "/file/content/estimate/lines/1/task"},
		"an allowance that is a fee":   {func(k map[string]any) { fileRow(k, "tasks", 4)["allowance"] = "l1" }, "job-file-invalid", "/file/content/estimate/tasks/4/allowance"},
		"two of one choice":            {func(k map[string]any) { fileRow(k, "options", 1)["taken"] = true }, "job-file-invalid", "/file/content/estimate/options/1"},
		"a zone nobody can build": {func(k map[string]any) {
			k["frame"].(map[string]any)["zones"].([]any)[0].(map[string]any)["kind"] = "wing"
		}, "job-file-invalid", "/file/content/frame/zones/0/kind"},
		"seen tomorrow's year": {func(k map[string]any) {
			zone := k["frame"].(map[string]any)["zones"].([]any)[0].(map[string]any)["code"]
			k["frame"].(map[string]any)["observations"] = []any{map[string]any{"zone": zone, "moment": "arrival", "condition": "c", "length_mm": 0, "width_mm": 0, "note": "", "seen_at": "2031-01-01T00:00:00Z"}}
		}, "job-file-invalid", "/file/content/frame/observations/0/seen_at"},
		"a vehicle without its choice": {func(k map[string]any) {
			k["job"].(map[string]any)["vehicle"].(map[string]any)["options"] = map[string]any{}
		}, "job-file-invalid", "/file/content/job/vehicle/options/crossmember"},
		"a repair list that is none": {func(k map[string]any) {
			k["job"].(map[string]any)["template"].(map[string]any)["repairs"] = map[string]any{"note": "x", "cautions": map[string]any{}, "repairs": []any{map[string]any{"code": "Not A Code"}}}
		}, "", "/file/content/job/template/repairs/repairs/0/work"},
		"a finish past all calendars": {func(k map[string]any) { fileRow(k, "tasks", 0)["not_before"] = "2189-12-31" }, "", ""},
	} {
		broken := jobFileBody(alter(t, file, c.change), `"client_id":"`+w.RivalClient.ID+`"`)
		for _, path := range []string{"/api/jobs/import", "/api/jobs/import/preview"} {
			a := w.Rival.Do(t, "POST", path, broken)
			if a.Status != 422 || c.code != "" && a.Code() != c.code {
				t.Errorf("%s, %s: got %d %s, want 422 %s\n%s", name, path, a.Status, a.Code(), c.code, a.Body)
			}
			if c.pointer != "" {
				a.WantField(t, c.pointer)
			}
		}
	}
	w.Rival.Do(t, "POST", "/api/jobs/import", jobFileBody(file, `"client_id":"`+w.RivalClient.ID+`"`)+"x").WantProblem(t, 422, "job-file-json")
	w.Rival.Do(t, "POST", "/api/jobs/import", strings.Repeat(" ", 9<<20)).WantProblem(t, 413, "job-file-size")
	if n := w.Rival.Do(t, "GET", "/api/jobs?limit=200", nil).Want(t, 200).Len("/items"); n != count || w.TrailLength(t, w.ShopB) != trail {
		t.Errorf("refusals left something: %d jobs were %d", n, count)
	}
}

// A template's own repair list comes along once, and answers there as it did here.
func TestAJobsOwnRepairListComesAlong(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtEnquiry)
	list, err := json.Marshal(testkit.Starting(t).Templates[0].Repairs)
	if err != nil {
		t.Fatal(err)
	}
	if string(list) == "null" {
		list = []byte(`{"note":"Ours","cautions":{},"repairs":[{"code":"own-way","name":"Our own way","work":"cut_out_and_fabricate","unit":"piece","conditions":["perforated"],"skill":"welder","crew":1,"tax_class":"fabrication_labour","hours":{"low":{"fixed":"1","per_unit":"0"},"likely":{"fixed":"2","per_unit":"0"},"high":{"fixed":"3","per_unit":"0"}},"materials":[],"cautions":[]}]}`)
	}
	file := alter(t, jobFileOf(t, w, w.Owner, w.Job), func(k map[string]any) {
		var own any
		if err := json.Unmarshal(list, &own); err != nil {
			t.Fatal(err)
		}
		k["job"].(map[string]any)["template"].(map[string]any)["repairs"] = own
		own.(map[string]any)["repairs"].([]any)[0].(map[string]any)["crew"] = json.Number("1")
	})
	templates := func() int { return w.Rival.Do(t, "GET", "/api/templates", nil).Want(t, 200).Len("/items") }
	before := templates()
	body := jobFileBody(file, `"client_id":"`+w.RivalClient.ID+`"`)
	if p := w.Rival.Do(t, "POST", "/api/jobs/import/preview", body).Want(t, 200); p.Text("/adds_template") != "true" {
		t.Errorf("the preview does not say that a template comes: %s", p.Body)
	}
	var made []string
	for range 2 {
		made = append(made, w.Rival.Do(t, "POST", "/api/jobs/import", body).Want(t, 201).Text("/job/id"))
	}
	if after := templates(); after != before+1 {
		t.Errorf("%d templates were %d", after, before)
	}
	for _, job := range made {
		page, err := w.App.JobPage(t.Context(), w.Rival.Actor, domain.ID(job))
		if err != nil || page.Job.TemplateName != "Trial frame" {
			t.Errorf("job %s: %v, template %q", job, err, page.Job.TemplateName)
		}
		if again := jobFileOf(t, w, w.Rival, job); !reflect.DeepEqual(fmt.Sprint(carried(t, file)["job"]), fmt.Sprint(carried(t, again)["job"])) {
			t.Errorf("the list came out otherwise:\n%v\n%v", carried(t, file)["job"], carried(t, again)["job"])
		}
	}
}
