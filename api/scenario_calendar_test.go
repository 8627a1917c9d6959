package api_test

import (
	"net/http"
	"strings"
	"testing"
	"time"

	"bareframe/internal/testkit"
	"bareframe/internal/testkit/ics"
)

// subscribe gives a technician and the example job a calendar each: the first to be
// stopped by whoever likes, the second to be read.
func subscribe(t testing.TB, w *testkit.World) {
	t.Helper()
	w.Set("calendar_link", w.Tech.Do(t, "POST", "/api/calendar-links", `{"kind":"person"}`).Want(t, 201).Text("/link/id"))
	w.Set("feed_token", w.Owner.Do(t, "POST", "/api/calendar-links", w.Fill(`{"kind":"job","of":"{job}"}`)).Want(t, 201).Text("/token"))
}

func subscribed(t *testing.T, w *testkit.World) { subscribe(t, w) }

// feedOf makes a link and reads it as a calendar does: without a session.
func feedOf(t *testing.T, w *testkit.World, who *testkit.Person, kind, of string) (path string, c *ics.Component) {
	t.Helper()
	path = who.Do(t, "POST", "/api/calendar-links", `{"kind":"`+kind+`","of":"`+of+`"}`).Want(t, 201).Text("/path")
	return path, readFeed(t, w, path)
}

func readFeed(t *testing.T, w *testkit.World, path string) *ics.Component {
	t.Helper()
	a := w.Nobody.Do(t, "GET", path, nil).Want(t, 200)
	c, err := ics.Read(a.Body)
	if err != nil {
		t.Fatalf("%v in\n%s", err, a.Body)
	}
	if faults := c.Faults(); len(faults) > 0 {
		t.Fatalf("%q in\n%s", faults, a.Body)
	}
	return c
}

func TestACalendarIsReadByWhoeverHoldsItsAddress(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtClock)
	planFor(t, w)
	path, c := feedOf(t, w, w.Owner, "job", w.Job)
	if len(c.Components) == 0 {
		t.Fatal("the feed of a planned job is empty")
	}
	if strings.Contains(path, "#") || !strings.HasSuffix(path, ".ics") {
		t.Errorf("the path is %s; a calendar sends no fragment and looks at the ending", path)
	}
	a := w.Nobody.Do(t, "GET", path, nil).Want(t, 200)
	// RFC 5545, section 8.1, and RFC 9110, sections 8.8.3 and 15.4.5.
	for name, want := range map[string]string{"Content-Type": "text/calendar", "Cache-Control": "private, no-cache", "X-Content-Type-Options": "nosniff"} {
		if got := a.Header.Get(name); got != want {
			t.Errorf("%s: got %q, want %q", name, got, want)
		}
	}
	if len(w.Nobody.Cookies()) != 0 || a.Header.Get("Set-Cookie") != "" {
		t.Error("a calendar was given a session")
	}
	tag := a.Header.Get("ETag")
	for given, want := range map[string]int{tag: 304, "W/" + tag: 304, `"x", ` + tag: 304, "*": 304, `"x"`: 200, strings.Trim(tag, `"`): 200} {
		if got := w.Nobody.Do(t, "GET", path, nil, testkit.Header("If-None-Match", given)); got.Status != want || got.Header.Get("ETag") != tag {
			t.Errorf("If-None-Match %s: got %d with %s, want %d", given, got.Status, got.Header.Get("ETag"), want)
		}
	}
	head := w.Nobody.Do(t, "HEAD", path, nil).Want(t, 200)
	for _, name := range []string{"ETag", "Content-Type", "Cache-Control", "Content-Length"} {
		if head.Header.Get(name) != a.Header.Get(name) || head.Header.Get(name) == "" {
			t.Errorf("HEAD has %s %q, GET %q", name, head.Header.Get(name), a.Header.Get(name))
		}
	}
	w.Nobody.Do(t, "HEAD", path, nil, testkit.Header("If-None-Match", tag)).Want(t, 304)
}

// What a feed must not say: clients, money, serial numbers. (Owner's and
// technicians' words in the names of tasks are theirs.)
func TestAFeedNamesNoClientNoPriceAndNoSerialNumber(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtClock)
	planFor(t, w)
	page := w.Page(t)
	client, err := w.App.Person(t.Context(), w.Owner.Actor, w.ClientOf.ID)
	if err != nil {
		t.Fatal(err)
	}
	never := []string{client.Name, client.Email, page.Job.Title, testkit.CostRate, testkit.CostRate2, "EUR", "€", page.Shop.Settings.Address}
	if page.Job.Vehicle.Serial != "" {
		never = append(never, page.Job.Vehicle.Serial)
	}
	for _, s := range page.Quotes {
		never = append(never, s.Total.StringFixed(2))
	}
	station := page.Shop.Settings.Stations[0].Key
	for kind, of := range map[string]string{"job": w.Job, "person": w.Tech.ID, "station": station} {
		path, _ := feedOf(t, w, w.Owner, kind, of)
		body := string(w.Nobody.Do(t, "GET", path, nil).Want(t, 200).Body)
		body = strings.ReplaceAll(body, "\r\n ", "")
		for _, word := range never {
			if word != "" && strings.Contains(body, word) {
				t.Errorf("the feed of a %s says %q:\n%s", kind, word, body)
			}
		}
	}
}

func TestACalendarLinkIsMadeAnewStoppedAndOutlived(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtWork)
	planFor(t, w)
	gone := func(why, path string) {
		t.Helper()
		w.Clock.Advance(time.Minute)
		a := w.Nobody.Do(t, "GET", path, nil).Want(t, 404)
		wrong := w.Nobody.Do(t, "GET", "/calendar/"+strings.Repeat("x", 43)+".ics", nil).Want(t, 404)
		if a.Text("/detail") != wrong.Text("/detail") || a.Text("/type") != wrong.Text("/type") || a.Header.Get("Cache-Control") != "no-store" {
			t.Errorf("%s: the answer %s differs from a wrong token's %s", why, a.Body, wrong.Body)
		}
	}
	first, _ := feedOf(t, w, w.Tech, "person", w.Tech.ID)
	second, _ := feedOf(t, w, w.Owner, "person", w.Tech.ID)
	gone("made anew", first)
	readFeed(t, w, second)
	listed := w.Tech.Do(t, "GET", "/api/calendar-links", nil).Want(t, 200)
	if listed.Text("/items/0/of") != w.Tech.ID || has(listed, "/items/1") || listed.Text("/items/0/last_read_at") == "" || strings.Contains(string(listed.Body), "token") {
		t.Errorf("listed: %s", listed.Body)
	}
	w.Owner.Do(t, "DELETE", "/api/calendar-links/"+listed.Text("/items/0/id"), nil).Want(t, 204)
	gone("stopped", second)
	for _, path := range []string{"/calendar/.ics", strings.TrimSuffix(first, ".ics"), strings.TrimSuffix(second, ".ics"), "/calendar/%00.ics", "/calendar/%ff.ics", "/calendar/" + strings.Repeat("a", 5000) + ".ics"} {
		gone("no token", path)
	}

	third, _ := feedOf(t, w, w.Owner, "person", w.Tech2.ID)
	p := w.Owner.Do(t, "GET", "/api/people/"+w.Tech2.ID, nil).Want(t, 200)
	w.Owner.Do(t, "PUT", "/api/people/"+w.Tech2.ID, map[string]any{"name": p.Text("/name"), "email": p.Text("/email"), "phone": "", "role": "technician", "skills": []string{}, "cost_rate": "1.00", "active": false}, testkit.IfMatch(p.ETag())).Want(t, 200)
	gone("left", third)
	w.Owner.Do(t, "POST", "/api/calendar-links", `{"kind":"person","of":"`+w.Tech2.ID+`"}`).Want(t, 422)

	job, _ := feedOf(t, w, w.Owner, "job", w.Job)
	w.Owner.Do(t, "POST", w.Fill("/api/jobs/{job}/state"), `{"to":"cancelled","reason":"sold"}`, testkit.IfMatch(w.ETag(t))).Want(t, 200)
	gone("cancelled", job)
}

func TestCalendarsAreOnesOwn(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtClock)
	w.Set("theirs", w.Owner.Do(t, "POST", "/api/calendar-links", `{"kind":"person","of":"`+w.Tech2.ID+`"}`).Want(t, 201).Text("/link/id"))
	w.Set("mine", w.Tech.Do(t, "POST", "/api/calendar-links", `{"kind":"person"}`).Want(t, 201).Text("/link/id"))
	w.Set("second", w.Tech2.ID)
	w.Run(t, []testkit.Step{
		{Name: "a technician for another", Who: w.Tech.Client, Do: "POST /api/calendar-links", Body: `{"kind":"person","of":"{second}"}`, Status: 403, Code: "not-your-own"},
		{Name: "a technician for a job", Who: w.Tech.Client, Do: "POST /api/calendar-links", Body: `{"kind":"job","of":"{job}"}`, Status: 403, Code: "not-your-own"},
		{Name: "a technician for a station", Who: w.Tech.Client, Do: "POST /api/calendar-links", Body: `{"kind":"station","of":"frame_stand"}`, Status: 403, Code: "not-your-own"},
		{Name: "a technician stops another's", Who: w.Tech.Client, Do: "DELETE /api/calendar-links/{theirs}", Status: 403, Code: "not-your-own"},
		{Name: "a technician sees their own", Who: w.Tech.Client, Do: "GET /api/calendar-links", Status: 200, Want: map[string]any{"/items/0/id": "{mine}", "/items/1": testkit.Absent}},
		{Name: "an owner sees all", Who: w.Owner.Client, Do: "GET /api/calendar-links?kind=person", Status: 200, Want: map[string]any{"/items/0/id": "{mine}", "/items/1/id": "{theirs}", "/items/2": testkit.Absent}},
		{Name: "of one", Who: w.Owner.Client, Do: "GET /api/calendar-links?kind=person&of={second}", Status: 200, Want: map[string]any{"/items/0/id": "{theirs}", "/items/1": testkit.Absent}},
		{Name: "none of that kind", Who: w.Owner.Client, Do: "GET /api/calendar-links?kind=job", Status: 200, Want: map[string]any{"/items/0": testkit.Absent}},
		{Name: "an owner of another shop sees none", Who: w.Rival.Client, Do: "GET /api/calendar-links", Status: 200, Want: map[string]any{"/items/0": testkit.Absent}},
		{Name: "an owner of another shop makes one for our job", Who: w.Rival.Client, Do: "POST /api/calendar-links", Body: `{"kind":"job","of":"{job}"}`, Status: 422, Code: "no-calendar-of-it", Field: "/of"},
		{Name: "an owner of another shop makes one for our technician", Who: w.Rival.Client, Do: "POST /api/calendar-links", Body: `{"kind":"person","of":"{second}"}`, Status: 422, Code: "no-calendar-of-it", Field: "/of"},
		{Name: "no calendar of a client", Who: w.Owner.Client, Do: "POST /api/calendar-links", Body: `{"kind":"person","of":"{client}"}`, Status: 422, Code: "no-calendar-of-it", Field: "/of"},
		{Name: "no such station", Who: w.Owner.Client, Do: "POST /api/calendar-links", Body: `{"kind":"station","of":"moon"}`, Status: 422, Code: "no-calendar-of-it", Field: "/of"},
		{Name: "stopping twice is stopping", Who: w.Tech.Client, Do: "DELETE /api/calendar-links/{mine}", Status: 204},
		{Name: "stopping twice is stopping, again", Who: w.Tech.Client, Do: "DELETE /api/calendar-links/{mine}", Status: 204},
	})
}

// A feed of one shop reads nothing of another, whose plan stands beside it.
func TestAFeedIsOfItsShopOnly(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtClock)
	planFor(t, w)
	path, c := feedOf(t, w, w.Rival, "person", w.RivalTech.ID)
	if len(c.Components) != 0 {
		t.Errorf("the feed of a shop without sold jobs has %d events", len(c.Components))
	}
	body := string(w.Nobody.Do(t, "GET", path, nil).Want(t, 200).Body)
	if strings.Contains(body, w.ShopA) {
		t.Errorf("the feed of one shop names another:\n%s", body)
	}
}

func TestGuessingAtCalendarsIsThrottled(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtClock)
	refused := 0
	for range 40 {
		if w.Nobody.Do(t, "GET", "/calendar/"+strings.Repeat("y", 43)+".ics", nil).Status == http.StatusTooManyRequests {
			refused++
		}
	}
	if refused != 10 {
		t.Errorf("of 40 wrong tokens at once %d were refused; 30 are free", refused)
	}
	w.Clock.Advance(5 * time.Second)
	w.Nobody.Do(t, "GET", "/calendar/"+strings.Repeat("y", 43)+".ics", nil).Want(t, 404)
}
