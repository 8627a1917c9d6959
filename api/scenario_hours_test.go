package api_test

import (
	"fmt"
	"testing"
	"time"

	"bareframe/internal/testkit"
)

// typed is the body of an entry on a task between two times of the day before.
func typed(task, from, to, rest string) string {
	return fmt.Sprintf(`{"task_id":"{%s}","started_at":"2026-11-24T%s:00Z","finished_at":"2026-11-24T%s:00Z"%s,"done":false}`, task, from, to, rest)
}

const (
	toStart  = "POST /api/bench/clock/start"
	toStop   = "POST /api/bench/clock/stop"
	toSwitch = "POST /api/bench/clock/switch"
	toLog    = "POST /api/bench/hours"
)

func TestTheClockStartsStopsAndSwitches(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtWork)
	later := func(d time.Duration) func() { return func() { w.Clock.Advance(d) } }
	w.Run(t, []testkit.Step{
		{Name: "there is no clock to stop", Who: w.Tech.Client, Do: toStop, Body: `{"done":false}`, Status: 409, Code: "no-clock"},
		{Name: "nor to switch", Who: w.Tech.Client, Do: toSwitch, Body: `{"stop":{"done":false},"start":{"task_id":"{A25}"}}`, Status: 409, Code: "no-clock"},
		{Name: "it starts on a task", Who: w.Tech.Client, Do: toStart, Body: `{"task_id":"{A20}"}`, Status: 201, Want: map[string]any{"/started_at": "2026-11-25T12:00:00Z", "/kind": "work"}, Keep: map[string]string{"first": "/id"}},
		{Name: "a second clock of the same person is refused with the running one", Who: w.Tech.Client, Do: toStart, Body: `{"task_id":"{A25}"}`, Status: 409, Code: "clock-running", Want: map[string]any{"/evidence": testkit.Present}},
		{Name: "another person has a clock of their own", Who: w.Tech2.Client, Do: toStart, Body: `{"task_id":"{A20}"}`, Status: 201},
		{Name: "a running entry cannot be corrected", Who: w.Tech.Client, Do: "POST /api/bench/hours/{first}/correction", Body: `{"void":true,"reason":"Wrong."}`, Status: 409, Code: "clock-running"},
		{Name: "hours typed over the running clock are refused", Who: w.Tech.Client, Do: toLog, Before: later(2 * time.Hour), Status: 409, Code: "hours-overlap",
			Body: `{"task_id":"{A25}","started_at":"2026-11-25T11:30:00Z","finished_at":"2026-11-25T12:30:00Z","done":false}`},
		{Name: "it switches at one instant", Who: w.Tech.Client, Do: toSwitch, Body: `{"stop":{"hours_to_go":"1.25","done":false},"start":{"task_id":"{A25}"}}`, Status: 201,
			Want: map[string]any{"/started_at": "2026-11-25T14:00:00Z", "/task_code": "A25"}, Keep: map[string]string{"second": "/id"}},
		{Name: "a stop before the start is refused", Who: w.Tech.Client, Do: toStop, Body: `{"done":false,"at":"2026-11-25T13:00:00Z"}`, Status: 422, Code: "entry-invalid", Field: "/at"},
		{Name: "a stop in the future is refused", Who: w.Tech.Client, Do: toStop, Body: `{"done":false,"at":"2026-11-25T18:00:00Z"}`, Status: 422, Code: "entry-invalid", Field: "/at"},
		{Name: "a finished task has no hours to go", Who: w.Tech.Client, Do: toStop, Body: `{"done":true,"hours_to_go":"2"}`, Before: later(30 * time.Minute), Status: 422, Code: "entry-invalid", Field: "/hours_to_go"},
		{Name: "it stops done", Who: w.Tech.Client, Do: toStop, Body: `{"done":true,"note":"All off."}`, Status: 201, Want: map[string]any{"/minutes": 30, "/done": true, "/note": "All off."}},
		{Name: "the day shows both and no clock", Who: w.Tech.Client, Do: "GET /api/bench/today", Status: 200, Want: map[string]any{"/minutes_today": 150, "/clock": testkit.Absent, "/entries/0/id": "{second}", "/entries/1/id": "{first}", "/entries/1/hours_to_go": "1.25"}},
	})
	w.TrailLength(t, w.ShopA)
}

func TestTapsWithinOneSecondAreKept(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtWork)
	at := `"at":"2026-11-25T12:00:00Z"` // as a device sends it, with the world's own instant
	w.Run(t, []testkit.Step{
		{Name: "the clock starts", Who: w.Tech.Client, Do: toStart, Body: `{"task_id":"{A20}",` + at + `}`, Status: 201, Keep: map[string]string{"first": "/id"}},
		{Name: "stopped at once it is an entry of one second", Who: w.Tech.Client, Do: toStop, Body: `{"done":false,` + at + `}`, Status: 201,
			Want: map[string]any{"/id": "{first}", "/started_at": "2026-11-25T12:00:00Z", "/finished_at": "2026-11-25T12:00:01Z", "/minutes": 0}},
		{Name: "started again at once it begins where that ended", Who: w.Tech.Client, Do: toStart, Body: `{"task_id":"{A20}",` + at + `}`, Status: 201, Want: map[string]any{"/started_at": "2026-11-25T12:00:01Z"}, Keep: map[string]string{"second": "/id"}},
		{Name: "switched at once the next begins a second later", Who: w.Tech.Client, Do: toSwitch, Body: `{"stop":{"done":false,` + at + `},"start":{"task_id":"{A25}",` + at + `}}`, Status: 201,
			Want: map[string]any{"/task_code": "A25", "/started_at": "2026-11-25T12:00:02Z"}},
		{Name: "a switch without an instant too", Who: w.Tech.Client, Do: toSwitch, Body: `{"stop":{"done":false},"start":{"job_id":"{job}","waiting":"parts"}}`, Status: 201, Want: map[string]any{"/kind": "waiting", "/started_at": "2026-11-25T12:00:03Z"}},
		{Name: "a stop an hour before the start is still refused", Who: w.Tech.Client, Do: toStop, Body: `{"done":false,"at":"2026-11-25T11:00:00Z"}`, Status: 422, Code: "entry-invalid", Field: "/at"},
		{Name: "the clock stops", Who: w.Tech.Client, Do: toStop, Body: `{"done":false}`, Status: 201, Want: map[string]any{"/finished_at": "2026-11-25T12:00:04Z"}},
		{Name: "the day shows them one after the other", Who: w.Tech.Client, Do: "GET /api/bench/today", Status: 200,
			Want: map[string]any{"/clock": testkit.Absent, "/entries/3/id": "{first}", "/entries/2/id": "{second}", "/entries/2/started_at": "2026-11-25T12:00:01Z", "/entries/2/finished_at": "2026-11-25T12:00:02Z"}},
	})
	w.TrailLength(t, w.ShopA)
}

func TestAClockForgottenOvernightIsStoppedWhenTheWorkEnded(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtClock) // running since eleven
	w.Run(t, []testkit.Step{
		{Name: "the next morning a plain stop would make twenty hours", Who: w.Tech.Client, Do: toStop, Body: `{"done":false}`, Before: func() { w.Clock.Advance(19 * time.Hour) }, Status: 422, Code: "entry-invalid", Field: "/at"},
		{Name: "a switch is refused for the same reason, by its own field", Who: w.Tech.Client, Do: toSwitch, Body: `{"stop":{"done":false},"start":{"task_id":"{A25}"}}`, Status: 422, Code: "entry-invalid", Field: "/stop/at"},
		{Name: "the clock still runs", Who: w.Tech.Client, Do: "GET /api/bench/today", Status: 200, Want: map[string]any{"/clock/task_code": "A20"}},
		{Name: "it is stopped at the end of yesterday", Who: w.Tech.Client, Do: toStop, Body: `{"done":false,"at":"2026-11-25T15:30:00Z"}`, Status: 201, Want: map[string]any{"/minutes": 270}},
	})
}

func TestOneRequestSentTwiceCountsOnce(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtWork)
	body := typed("A20", "06:00", "07:30", "")
	w.Run(t, []testkit.Step{
		{Name: "hours are typed in", Who: w.Tech.Client, Do: toLog, Body: body, Key: "typed-in-1", Status: 201, Keep: map[string]string{"kept": "/id"}},
		{Name: "the same request comes again", Who: w.Tech.Client, Do: toLog, Body: body, Key: "typed-in-1", Status: 201, Want: map[string]any{"/id": "{kept}"}},
		{Name: "the same key with other hours is refused", Who: w.Tech.Client, Do: toLog, Body: typed("A20", "06:00", "07:45", ""), Key: "typed-in-1", Status: 409, Code: "idempotency-key-reused"},
		{Name: "the same key for another operation is refused", Who: w.Tech.Client, Do: toStart, Body: `{"task_id":"{A20}"}`, Key: "typed-in-1", Status: 409, Code: "idempotency-key-reused"},
		{Name: "somebody else's key is their own", Who: w.Tech2.Client, Do: toLog, Body: body, Key: "typed-in-1", Status: 201},
		{Name: "no key is refused", Who: w.Tech.Client, Do: toLog, Body: body, Key: "-", Status: 422, Code: "request-invalid", Field: "/header/Idempotency-Key"},
		{Name: "the record has each once", Who: w.Owner.Client, Do: "GET /api/jobs/{job}/hours", Status: 200, Want: map[string]any{"/items/2": testkit.Present, "/items/3": testkit.Absent}},
		{Name: "and the job has 1.5 + 1.5 + 1.5 hours", Who: w.Owner.Client, Do: "GET /api/jobs/{job}", Status: 200, Want: map[string]any{"/progress/worked_hours": "4.50"}},
	})
}

func TestEightRetriesAtOnceCountOnce(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtWork)
	retryAtOnce(t, w)
}

func TestEightRetriesAtOnceCountOnceOnPostgreSQL(t *testing.T) {
	retryAtOnce(t, testkit.NewWorldOnPostgres(t, testkit.AtWork))
}

func retryAtOnce(t *testing.T, w *testkit.World) {
	body := w.Fill(typed("A20", "06:00", "07:30", ""))
	answers := make([]*testkit.Answer, 8)
	together(8, func(i int) { answers[i] = w.Tech.Do(t, "POST", "/api/bench/hours", body, testkit.Key("eight-at-once")) })
	for i, a := range answers {
		if a.Status != 201 || a.Text("/id") != answers[0].Text("/id") {
			t.Errorf("retry %d: got %d %s with id %q, want 201 with %q", i, a.Status, a.Code(), a.Text("/id"), answers[0].Text("/id"))
		}
	}
	if n := w.Tech.Do(t, "GET", "/api/bench/hours", nil).Want(t, 200).Len("/items"); n != 2 {
		t.Errorf("the technician has %d entries, want the earlier one and this one", n)
	}
	got := map[string]int{}
	clocks := make([]*testkit.Answer, 8)
	task := w.Fill(`{"task_id":"{A20}"}`)
	together(8, func(i int) { clocks[i] = w.Tech.Do(t, "POST", "/api/bench/clock/start", task) })
	for _, a := range clocks {
		got[fmt.Sprint(a.Status, " ", a.Code())]++
	}
	if got["201 "] != 1 || got["409 clock-running"] != 7 {
		t.Errorf("eight clocks at once: got %v, want one 201 and seven 409 clock-running", got)
	}
	w.TrailLength(t, w.ShopA)
}

func TestNobodyWorksOnTwoTasksAtOnce(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtWork)
	w.Run(t, []testkit.Step{
		{Name: "an entry from six to eight", Who: w.Tech.Client, Do: toLog, Body: typed("A20", "06:00", "08:00", ""), Status: 201},
		{Name: "one that begins inside it is refused and shows the one that stands", Who: w.Tech.Client, Do: toLog, Body: typed("A25", "07:59", "09:00", ""), Status: 409, Code: "hours-overlap", Want: map[string]any{"/evidence/0/id": testkit.Present, "/evidence/0/started_at": "2026-11-24T06:00:00Z"}},
		{Name: "one that ends inside it is refused", Who: w.Tech.Client, Do: toLog, Body: typed("A25", "05:00", "06:01", ""), Status: 409, Code: "hours-overlap"},
		{Name: "one that lies inside it is refused", Who: w.Tech.Client, Do: toLog, Body: typed("A25", "06:30", "07:00", ""), Status: 409, Code: "hours-overlap"},
		{Name: "one that encloses it is refused", Who: w.Tech.Client, Do: toLog, Body: typed("A25", "05:00", "09:00", ""), Status: 409, Code: "hours-overlap"},
		{Name: "one that touches its end is taken", Who: w.Tech.Client, Do: toLog, Body: typed("A25", "08:00", "09:00", ""), Status: 201},
		{Name: "one that touches its start is taken", Who: w.Tech.Client, Do: toLog, Body: typed("A25", "05:00", "06:00", ""), Status: 201},
		{Name: "waiting shares time no more than work does", Who: w.Tech.Client, Do: toLog, Body: `{"job_id":"{job}","waiting":"parts","started_at":"2026-11-24T06:00:00Z","finished_at":"2026-11-24T06:30:00Z","done":false}`, Status: 409, Code: "hours-overlap"},
		{Name: "another technician may", Who: w.Tech2.Client, Do: toLog, Body: typed("A20", "06:00", "08:00", ""), Status: 201},
		{Name: "a finish before the start is refused", Who: w.Tech.Client, Do: toLog, Body: typed("A20", "11:00", "10:00", ""), Status: 422, Code: "entry-invalid", Field: "/finished_at"},
		{Name: "a finish at the start is refused", Who: w.Tech.Client, Do: toLog, Body: typed("A20", "11:00", "11:00", ""), Status: 422, Code: "entry-invalid", Field: "/finished_at"},
		{Name: "more than sixteen hours are refused", Who: w.Tech.Client, Do: toLog, Body: `{"task_id":"{A20}","started_at":"2026-11-24T12:00:00Z","finished_at":"2026-11-25T04:01:00Z","done":false}`, Status: 422, Code: "entry-invalid", Field: "/finished_at"},
		{Name: "tomorrow is refused", Who: w.Tech.Client, Do: toLog, Body: `{"task_id":"{A20}","started_at":"2026-11-26T06:00:00Z","finished_at":"2026-11-26T07:00:00Z","done":false}`, Status: 422, Code: "entry-invalid", Field: "/started_at"},
	})
}

func TestAnEntryIsCorrectedByAFurtherOne(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtWork)
	correct := func(entry string) string { return "POST /api/bench/hours/{" + entry + "}/correction" }
	w.Run(t, []testkit.Step{
		{Name: "two hours are typed in", Who: w.Tech.Client, Do: toLog, Body: typed("A20", "06:00", "08:00", `,"hours_to_go":"3"`), Status: 201, Keep: map[string]string{"one": "/id"}},
		{Name: "and corrected to an hour", Who: w.Tech.Client, Do: correct("one"), Body: `{"void":false,"finished_at":"2026-11-24T07:00:00Z","reason":"Stopped for a delivery."}`, Status: 201,
			Want: map[string]any{"/corrects": "{one}", "/minutes": 60, "/hours_to_go": "3.00", "/reason": "Stopped for a delivery."}, Keep: map[string]string{"two": "/id"}},
		{Name: "the first cannot be corrected again", Who: w.Tech.Client, Do: correct("one"), Body: `{"void":true,"reason":"Again."}`, Status: 409, Code: "entry-corrected"},
		{Name: "the second moves to another task", Who: w.Tech.Client, Do: correct("two"), Body: `{"void":false,"task_id":"{A25}","reason":"It was the other task."}`, Status: 201, Want: map[string]any{"/task_code": "A25", "/corrects": "{two}"}, Keep: map[string]string{"three": "/id"}},
		{Name: "it cannot move to a task behind a hold", Who: w.Tech.Client, Do: correct("three"), Body: `{"void":false,"task_id":"{B10}","reason":"It was the rail."}`, Status: 409, Code: "hold-not-released"},
		{Name: "nor over another entry", Who: w.Tech.Client, Do: toLog, Body: typed("A20", "09:00", "10:00", ""), Status: 201},
		{Name: "as this shows", Who: w.Tech.Client, Do: correct("three"), Body: `{"void":false,"finished_at":"2026-11-24T09:30:00Z","reason":"Longer."}`, Status: 409, Code: "hours-overlap"},
		{Name: "the owner voids it", Who: w.Owner.Client, Do: correct("three"), Body: `{"void":true,"reason":"Logged on the wrong car."}`, Status: 201, Want: map[string]any{"/void": true, "/minutes": 0}, Keep: map[string]string{"four": "/id"}},
		{Name: "what is void stays void", Who: w.Tech.Client, Do: correct("four"), Body: `{"void":false,"reason":"Back again."}`, Status: 409, Code: "entry-corrected"},
		{Name: "its time is free again", Who: w.Tech.Client, Do: toLog, Body: typed("A25", "06:00", "07:00", ""), Status: 201},
		{Name: "nothing was overwritten", Who: w.Owner.Client, Do: "GET /api/jobs/{job}/hours", Status: 200, Want: map[string]any{"/items/6": testkit.Present, "/items/7": testkit.Absent}},
		{Name: "and the job counts 1.5 + 1 + 1 hours", Who: w.Owner.Client, Do: "GET /api/jobs/{job}", Status: 200, Want: map[string]any{"/progress/worked_hours": "3.50"}},
		{Name: "an unknown entry is not found", Who: w.Tech.Client, Do: "POST /api/bench/hours/0193f000-0000-7000-8000-ffffffffffff/correction", Body: `{"void":true,"reason":"Nothing."}`, Status: 404, Code: "entry-not-found"},
	})
	w.TrailLength(t, w.ShopA)
}

func TestHoursStayInsideTheAgreedScope(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtWork)
	w.Run(t, []testkit.Step{
		{Name: "a task added since acceptance is closed", Who: w.Tech.Client, Do: toStart, Body: `{"task_id":"{X90}"}`, Status: 409, Code: "outside-scope"},
		{Name: "for typed hours too", Who: w.Tech.Client, Do: toLog, Body: typed("X90", "06:00", "07:00", ""), Status: 409, Code: "outside-scope"},
		{Name: "the bench says why", Who: w.Tech.Client, Do: "GET /api/bench/tasks?job={job}", Status: 200},
		{Name: "the owner opens it with a reason", Who: w.Owner.Client, Do: "POST /api/jobs/{job}/tasks/{X90}/open", Body: `{"reason":"Made safe at once."}`, Status: 200},
		{Name: "a task inside the scope needs no opening", Who: w.Owner.Client, Do: "POST /api/jobs/{job}/tasks/{A20}/open", Body: `{"reason":"Made safe at once."}`, Status: 409, Code: "not-outside-scope"},
		{Name: "now hours go on it", Who: w.Tech.Client, Do: toLog, Body: typed("X90", "06:00", "07:00", ""), Status: 201},
		{Name: "and the client reads the reason", Who: w.ClientOf.Client, Do: "GET /api/client/jobs/{job}", Status: 200, Want: map[string]any{"/opened/0/reason": "Made safe at once.", "/opened/0/task": "Outrigger found thin"}},
		{Name: "what stands waiting takes no hours: a cure", Who: w.Tech.Client, Do: toStart, Body: `{"task_id":"{C10}"}`, Status: 409, Code: "nobody-works-here"},
		{Name: "what stands waiting takes no hours: a sublet", Who: w.Tech.Client, Do: toStart, Body: `{"task_id":"{C20}"}`, Status: 409, Code: "nobody-works-here"},
		{Name: "a clock must say on what", Who: w.Tech.Client, Do: toStart, Body: `{}`, Status: 422, Code: "target-missing", Field: "/task_id"},
		{Name: "a task of another job than the one named is refused", Who: w.Tech.Client, Do: toStart, Body: `{"task_id":"{A20}","job_id":"{other_job}"}`, Status: 422, Code: "task-of-another-job", Field: "/task_id"},
		{Name: "a removed phase's unknown task is refused", Who: w.Tech.Client, Do: toStart, Body: `{"task_id":"0193f000-0000-7000-8000-ffffffffffff"}`, Status: 422, Code: "task-not-found", Field: "/task_id"},
	})
}

func TestNothingIsLoggedBeforeAcceptance(t *testing.T) {
	for name, stage := range map[string]testkit.Stage{"at enquiry": testkit.AtEnquiry, "surveyed": testkit.AtSurveyed, "quoted": testkit.AtQuoted} {
		t.Run(name, func(t *testing.T) {
			w := testkit.NewWorld(t, stage)
			w.Run(t, []testkit.Step{
				{Name: "no clock", Who: w.Tech.Client, Do: toStart, Body: `{"task_id":"{A20}"}`, Status: 409, Code: "job-not-in-work"},
				{Name: "no typed hours", Who: w.Tech.Client, Do: toLog, Body: typed("A20", "06:00", "07:00", ""), Status: 409, Code: "job-not-in-work"},
				{Name: "no waiting", Who: w.Tech.Client, Do: toStart, Body: `{"job_id":"{job}","waiting":"parts"}`, Status: 409, Code: "job-not-in-work"},
				{Name: "no release", Who: w.Owner.Client, Do: "POST /api/jobs/{job}/tasks/{A30}/release", Body: `{"reason":"Seen."}`, Status: 409, Code: "job-not-in-work"},
				{Name: "and the bench does not offer it", Who: w.Tech.Client, Do: "GET /api/bench/today", Status: 200, Want: map[string]any{"/next/0": testkit.Absent, "/jobs/0": testkit.Absent}},
			})
		})
	}
}

func TestNothingGoesPastAHoldThatIsNotReleased(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtWork)
	release := "POST /api/jobs/{job}/tasks/{A30}/release"
	w.Run(t, []testkit.Step{
		{Name: "work right behind the hold is closed", Who: w.Tech.Client, Do: toStart, Body: `{"task_id":"{B10}"}`, Status: 409, Code: "hold-not-released"},
		{Name: "work far behind it is closed", Who: w.Tech.Client, Do: toStart, Body: `{"task_id":"{C40}"}`, Status: 409, Code: "hold-not-released"},
		{Name: "work before it is open", Who: w.Tech.Client, Do: toStart, Body: `{"task_id":"{A25}"}`, Status: 201},
		{Name: "and stops", Who: w.Tech.Client, Do: toStop, Body: `{"done":true}`, Before: func() { w.Clock.Advance(time.Hour) }, Status: 201},
		{Name: "a technician cannot release", Who: w.Tech.Client, Do: release, Body: `{"reason":"Looks fine."}`, Status: 403, Code: "not-for-this-role"},
		{Name: "what is no hold is not released", Who: w.Owner.Client, Do: "POST /api/jobs/{job}/tasks/{A20}/release", Body: `{"reason":"Looks fine."}`, Status: 409, Code: "no-hold-point"},
		{Name: "the owner releases with what was seen", Who: w.Owner.Client, Do: release, Body: `{"reason":"Markings photographed."}`, Key: "release-1", Status: 200},
		{Name: "the same request again is answered the same", Who: w.Owner.Client, Do: release, Body: `{"reason":"Markings photographed."}`, Key: "release-1", Status: 200},
		{Name: "a second release is refused", Who: w.Owner.Client, Do: release, Body: `{"reason":"Again."}`, Status: 409, Code: "already-released"},
		{Name: "work behind it is open now", Who: w.Tech.Client, Do: toStart, Body: `{"task_id":"{B10}"}`, Status: 201},
	})
}

func TestWaitingIsKeptWithWhatForAndNeverAsWork(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtWork)
	var steps []testkit.Step
	for i, code := range []string{"parts", "client_decision", "station", "weather"} {
		steps = append(steps, testkit.Step{Name: "a quarter of an hour for " + code, Who: w.Tech.Client, Do: toLog, Status: 201, Want: map[string]any{"/kind": "waiting", "/waiting_code": code, "/minutes": 15, "/task_id": testkit.Absent},
			Body: fmt.Sprintf(`{"job_id":"{job}","waiting":%q,"started_at":"2026-11-24T0%d:00:00Z","finished_at":"2026-11-24T0%d:15:00Z","done":false}`, code, i+5, i+5)})
	}
	steps = append(steps,
		testkit.Step{Name: "any other reason is refused", Who: w.Tech.Client, Do: toStart, Body: `{"job_id":"{job}","waiting":"coffee"}`, Status: 422, Code: "request-invalid", Field: "/waiting"},
		testkit.Step{Name: "waiting may name the task that it is for, even behind a hold", Who: w.Tech.Client, Do: toStart, Body: `{"task_id":"{B10}","waiting":"client_decision"}`, Status: 201},
		testkit.Step{Name: "its end says nothing about hours to go", Who: w.Tech.Client, Do: toStop, Body: `{"done":true}`, Before: func() { w.Clock.Advance(time.Hour) }, Status: 201, Want: map[string]any{"/done": false, "/kind": "waiting"}},
		testkit.Step{Name: "the job shows two hours waited, and the hour and a half worked", Who: w.Owner.Client, Do: "GET /api/jobs/{job}", Status: 200, Want: map[string]any{"/progress/waiting_hours": "2.00", "/progress/worked_hours": "1.50"}})
	w.Run(t, steps)
}
