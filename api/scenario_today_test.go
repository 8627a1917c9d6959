package api_test

import (
	"strconv"
	"testing"
	"time"

	"bareframe/internal/testkit"
)

// dayInOrder holds a technician's day against the floor's answer: each task that is
// next has the plan's times, they follow each other, and whoever asks is named.
func dayInOrder(t *testing.T, w *testkit.World) (tasks int) {
	t.Helper()
	floor := w.Owner.Do(t, "GET", "/api/floor", nil).Want(t, 200)
	me := w.Tech.Do(t, "GET", "/api/me", nil).Want(t, 200).Text("/person/id")
	day := w.Tech.Do(t, "GET", "/api/bench/today", nil).Want(t, 200)
	if day.Text("/plan/revision") != floor.Text("/plan/revision") || has(day, "/plan_note") {
		t.Fatalf("the day follows plan %s, the floor's is %s", day.Text("/plan/revision"), floor.Text("/plan/revision"))
	}
	planned := map[string]string{} // task to where it stands in the floor's answer
	for i := 0; has(floor, "/plan/bars/"+strconv.Itoa(i)); i++ {
		at := "/plan/bars/" + strconv.Itoa(i)
		for p := 0; has(floor, at+"/people/"+strconv.Itoa(p)); p++ {
			if floor.Text(at+"/people/"+strconv.Itoa(p)) == me {
				planned[floor.Text(at+"/task_id")] = at
			}
		}
	}
	before, open := "", false
	for i := 0; has(day, "/next/"+strconv.Itoa(i)); i++ {
		at := "/next/" + strconv.Itoa(i)
		bar, ok := planned[day.Text(at+"/task_id")]
		if !ok {
			t.Errorf("%s is next and the plan gives it to somebody else", day.Text(at+"/code"))
			continue
		}
		for _, field := range []string{"start", "finish"} {
			if got, want := day.Text(at+"/plan/"+field), floor.Text(bar+"/"+field); got != want {
				t.Errorf("%s: %s %s, want %s", day.Text(at+"/code"), field, got, want)
			}
		}
		start := day.Text(at + "/plan/start")
		if opens := day.Text(at+"/state") == "open"; opens && open && start < before {
			t.Errorf("%s begins %s and stands after one of %s", day.Text(at+"/code"), start, before)
		} else if !opens && open {
			t.Errorf("%s is under way and stands after one that is not", day.Text(at+"/code"))
		} else {
			open = opens
		}
		before = start
		tasks++
	}
	for i := 0; has(day, "/plan/others/"+strconv.Itoa(i)); i++ {
		if task := day.Text("/plan/others/" + strconv.Itoa(i) + "/task_id"); planned[task] != "" {
			t.Errorf("%s is the technician's by the plan and stands beside it", task)
		}
	}
	return tasks
}

func TestTheDayFollowsThePlanThatWasAgreedTo(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtClock)
	before := w.Tech.Do(t, "GET", "/api/bench/today", nil).Want(t, 200)
	if has(before, "/plan") || before.Text("/plan_note") == "" || has(before, "/next/0/plan") || !has(before, "/next/0") {
		t.Fatal("without a plan the day does not say so, or has nothing next")
	}
	planFor(t, w)
	if n := dayInOrder(t, w); n == 0 {
		t.Fatal("the plan gives the technician nothing")
	}
	proposed(t, w)
	if n := dayInOrder(t, w); n == 0 {
		t.Fatal("a proposal took the day's tasks away")
	}
	old := w.Tech.Do(t, "GET", "/api/bench/today", nil).Want(t, 200)
	w.Owner.Do(t, "POST", w.Fill("/api/floor/plans/{plan}/decision"), `{"agree":true}`).Want(t, 200)
	dayInOrder(t, w)
	now := w.Tech.Do(t, "GET", "/api/bench/today", nil).Want(t, 200)
	opens := w.Clock.Now().AddDate(0, 2, 0).Format(time.DateOnly)
	last := 0
	for has(now, "/next/"+strconv.Itoa(last+1)) {
		last++
	}
	if at := "/next/" + strconv.Itoa(last) + "/plan/start"; now.Text(at) < opens || now.Text("/plan/revision") == old.Text("/plan/revision") {
		t.Errorf("the shop is shut until %s; the day's last task begins %s by plan %s", opens, now.Text(at), now.Text("/plan/revision"))
	}
}
