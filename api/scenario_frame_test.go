package api_test

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image/jpeg"
	"strings"
	"testing"
	"time"

	"bareframe/internal/testkit"
)

const (
	aZone     = `{"code":"skid-plate","name":"Skid plate","kind":"bracket","side":"centre","section":{"shape":"plate","width_mm":300,"height_mm":3,"thickness_mm":"3.00"},"length_mm":420,"area_m2":"0.26","visible_percent":80,"plan":{"from":{"x":900,"y":0},"to":{"x":1320,"y":0},"width":300}}`
	aSight    = `{"zone_id":"{zone}","moment":"arrival","condition":"c","note":"Scale.","photo_ids":[]}`
	aFinding  = `{"zone_id":"{zone}","what":"perforation","condition":"perforated","length_mm":140,"width_mm":60,"count":1,"note":"Through.","photo_ids":[],"repairs":["let-in-patch"]}`
	toZone    = "POST /api/jobs/{job}/zones"
	toSee     = "POST /api/jobs/{job}/observations"
	toFinding = "POST /api/jobs/{job}/findings"
)

func TestAFrameIsLaidOutEditedAndSeenOn(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtEnquiry)
	boss, tech := w.Owner.Client, w.Tech.Client
	w.Run(t, []testkit.Step{
		{Name: "the job has the frame that its template names", Who: tech, Do: "GET /api/jobs/{job}/frame", Status: 200,
			Want: map[string]any{"/layout_name": "Perimeter frame, separate-body sports car", "/zones/0/id": "{zone}", "/observations": []any{}, "/findings": []any{}}},
		{Name: "a zone is added", Who: boss, Do: toZone, Body: aZone, IfMatch: `"v1"`, Status: 201, Want: map[string]any{"/version": 2}},
		{Name: "its code is taken then", Who: boss, Do: toZone, Body: aZone, IfMatch: "{etag}", Status: 422, Code: "zone-invalid", Field: "/code"},
		{Name: "an edit of the version before is refused", Who: boss, Do: toZone, Body: with(aZone, "skid-plate", "other"), IfMatch: `"v1"`, Status: 412, Code: "stale-edit"},
		{Name: "walls thicker than the section", Who: boss, Do: toZone, Body: with(aZone, "skid-plate", "thick", `"3.00"`, `"150.01"`), IfMatch: `"v2"`, Status: 422, Code: "zone-invalid", Field: "/section/thickness_mm"},
		{Name: "a mount that is a bar", Who: boss, Do: toZone, Body: with(aZone, "skid-plate", "bar", "bracket", "mount"), IfMatch: `"v2"`, Status: 422, Code: "zone-invalid", Field: "/plan/to"},
		{Name: "a zone beyond the plan", Who: boss, Do: toZone, Body: with(aZone, "skid-plate", "far", `"x":900`, `"x":15001`), IfMatch: `"v2"`, Status: 422, Code: "request-invalid", Field: "/plan/from/x"},
		{Name: "an area that is no number", Who: boss, Do: toZone, Body: with(aZone, "skid-plate", "area", `"0.26"`, `"1e3"`), IfMatch: `"v2"`, Status: 422, Code: "request-invalid", Field: "/area_m2"},
		{Name: "another job's zone is not this job's to change", Who: boss, Do: "PUT /api/jobs/{job}/zones/{other_zone}", Body: with(aZone, "skid-plate", "x"), IfMatch: `"v2"`, Status: 404, Code: "zone-not-found"},
		{Name: "a zone on which nothing was seen goes", Who: boss, Do: "DELETE /api/jobs/{job}/zones/{zone2}", IfMatch: `"v2"`, Status: 200, Want: map[string]any{"/version": 3}},
		{Name: "the technician sees rust on arrival", Who: tech, Do: toSee, Body: aSight, Key: "seen-once-1", Status: 201, Want: map[string]any{"/by": "Jory Haldane", "/void": false}, Keep: map[string]string{"seen": "/id"}},
		{Name: "the same key says the same again", Who: tech, Do: toSee, Body: aSight, Key: "seen-once-1", Status: 201, Want: map[string]any{"/id": "{seen}"}},
		{Name: "the same key for something else", Who: tech, Do: toSee, Body: with(aSight, "Scale.", "Worse."), Key: "seen-once-1", Status: 409, Code: "idempotency-key-reused"},
		{Name: "hidden steel is not measured", Who: tech, Do: toSee, Body: with(aSight, `"c"`, `"hidden","length_mm":10`), Status: 422, Code: "observation-invalid", Field: "/condition"},
		{Name: "another job's zone", Who: tech, Do: toSee, Body: with(aSight, "{zone}", "{other_zone}"), Status: 422, Code: "observation-invalid", Field: "/zone_id"},
		{Name: "a photo that is not there", Who: tech, Do: toSee, Body: with(aSight, `"photo_ids":[]`, `"photo_ids":["`+noID+`"]`), Status: 422, Code: "observation-invalid", Field: "/photo_ids/0"},
		{Name: "a zone that bears something stays", Who: boss, Do: "DELETE /api/jobs/{job}/zones/{zone}", IfMatch: `"v3"`, Status: 409, Code: "zone-in-use"},
		{Name: "and so does the frame", Who: boss, Do: "PUT /api/jobs/{job}/frame", Body: `{"layout":"straight-ladder"}`, IfMatch: `"v3"`, Status: 409, Code: "zone-in-use"},
		{Name: "a layout that nobody drew", Who: boss, Do: "PUT /api/jobs/{other_job}/frame", Body: `{"layout":"no-such"}`, IfMatch: `"v1"`, Status: 422, Code: "layout-not-found", Field: "/layout"},
		{Name: "another layout, while nothing was seen", Who: boss, Do: "PUT /api/jobs/{other_job}/frame", Body: `{"layout":"straight-ladder"}`, IfMatch: `"v1"`, Status: 200, Want: map[string]any{"/version": 2, "/zones/0/code": "front-cross-tube"}},
		{Name: "what was seen on the wrong side is voided", Who: boss, Do: "POST /api/observations/{seen}/void", Body: `{"reason":"Wrong side."}`, Status: 200, Want: map[string]any{"/void": true, "/void_reason": "Wrong side."}},
		{Name: "once", Who: boss, Do: "POST /api/observations/{seen}/void", Body: `{"reason":"Again."}`, Status: 409, Code: "observation-voided"},
		{Name: "the shop still reads it", Who: tech, Do: "GET /api/jobs/{job}/frame", Status: 200, Want: map[string]any{"/observations/0/void": true, "/observations/1": testkit.Absent}},
		{Name: "the client does not", Who: w.ClientOf.Client, Do: "GET /api/client/jobs/{job}/frame", Status: 200, Want: map[string]any{"/observations": []any{}}, Never: []string{"Jory", "Wrong side"}},
		{Name: "another's frame is not found", Who: w.OtherClient.Client, Do: "GET /api/client/jobs/{job}/frame", Status: 404, Code: "not-found"},
	})
	w.TrailLength(t, w.ShopA)
}

func TestFindingsAreNumberedChangedAndDismissed(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtWork)
	boss, tech := w.Owner.Client, w.Tech.Client
	w.Run(t, []testkit.Step{
		{Name: "a perforation is reported", Who: tech, Do: toFinding, Body: aFinding, Key: "found-once-1", Status: 201,
			Want: map[string]any{"/number": 1, "/version": 1, "/state": "reported", "/waited/shop": 0, "/waited/client": 0, "/zone": "Radiator crossmember", "/order": testkit.Absent}, Keep: map[string]string{"finding": "/id"}},
		{Name: "the same key says the same again", Who: tech, Do: toFinding, Body: aFinding, Key: "found-once-1", Status: 201, Want: map[string]any{"/id": "{finding}", "/number": 1}},
		{Name: "a second one counts up", Who: tech, Do: toFinding, Body: with(aFinding, `"zone_id"`, `"task_id":"{A20}","zone_id"`), Status: 201, Want: map[string]any{"/number": 2, "/task_id": "{A20}"}, Keep: map[string]string{"second": "/id"}},
		{Name: "on another job's zone", Who: tech, Do: toFinding, Body: with(aFinding, "{zone}", "{other_zone}"), Status: 422, Code: "finding-invalid", Field: "/zone_id"},
		{Name: "on another shop's zone", Who: tech, Do: toFinding, Body: with(aFinding, "{zone}", "{rival_zone}"), Status: 422, Code: "finding-invalid", Field: "/zone_id"},
		{Name: "during another shop's task", Who: tech, Do: toFinding, Body: with(aFinding, `"zone_id"`, `"task_id":"{rival_task}","zone_id"`), Status: 422, Code: "finding-invalid", Field: "/task_id"},
		{Name: "with a repair that is not in the list", Who: tech, Do: toFinding, Body: with(aFinding, "let-in-patch", "magic"), Status: 422, Code: "finding-invalid", Field: "/repairs/0"},
		{Name: "of nothing said", Who: tech, Do: toFinding, Body: with(aFinding, `"perforation"`, `"other"`, "Through.", ""), Status: 422, Code: "finding-invalid", Field: "/note"},
		{Name: "none of it", Who: tech, Do: toFinding, Body: with(aFinding, `"count":1`, `"count":0`), Status: 422, Code: "request-invalid", Field: "/count"},
		{Name: "on a job of another shop", Who: w.RivalTech.Client, Do: toFinding, Body: aFinding, Status: 404, Code: "job-not-found"},
		{Name: "a technician does not change it", Who: tech, Do: "PUT /api/findings/{finding}", Body: aFinding, IfMatch: `"v1"`, Status: 403, Code: "not-for-this-role"},
		{Name: "the owner measures again", Who: boss, Do: "PUT /api/findings/{finding}", Body: with(aFinding, "140", "180"), IfMatch: `"v1"`, Status: 200, Want: map[string]any{"/length_mm": 180, "/version": 2, "/by": "Jory Haldane"}},
		{Name: "the version before is stale, with what is stored", Who: boss, Do: "PUT /api/findings/{finding}", Body: aFinding, IfMatch: `"v1"`, Status: 412, Code: "stale-edit", Want: map[string]any{"/evidence/length_mm": 180}},
		{Name: "two working days later the shop has waited two", Before: func() { w.Clock.Advance(48 * time.Hour) }, Who: tech, Do: "GET /api/jobs/{job}/findings", Status: 200,
			Want: map[string]any{"/items/0/number": 2, "/items/1/waited/shop": 2, "/items/1/waited/client": 0}},
		{Name: "over the weekend none is added", Before: func() { w.Clock.Advance(48 * time.Hour) }, Who: tech, Do: "GET /api/jobs/{job}/findings", Status: 200, Want: map[string]any{"/items/1/waited/shop": 2}},
		{Name: "nothing need be done about the second", Who: boss, Do: "POST /api/findings/{second}/dismiss", Body: `{"reason":"Comes off with the media."}`, Status: 200, Want: map[string]any{"/state": "dismissed", "/state_reason": "Comes off with the media."}},
		{Name: "once", Who: boss, Do: "POST /api/findings/{second}/dismiss", Body: `{"reason":"Again."}`, Status: 409, Code: "finding-state"},
		{Name: "then it stands still", Who: boss, Do: "PUT /api/findings/{second}", Body: aFinding, IfMatch: `"v2"`, Status: 409, Code: "finding-decided"},
		{Name: "the client reads the first only", Who: w.ClientOf.Client, Do: "GET /api/client/jobs/{job}/frame", Status: 200, Want: map[string]any{"/findings/0/number": 1, "/findings/1": testkit.Absent}, Never: []string{"Jory", "let-in-patch"}},
		{Name: "the frame bears both marks", Who: tech, Do: "GET /api/jobs/{job}/frame", Status: 200, Want: map[string]any{"/findings/0/state": "dismissed", "/findings/1/state": "reported"}},
		{Name: "a rival does not reach it", Who: w.Rival.Client, Do: "POST /api/findings/{finding}/dismiss", Body: `{"reason":"Not mine."}`, Status: 404, Code: "finding-not-found"},
	})
	w.TrailLength(t, w.ShopA)
}

func TestRepairsFollowFromWhatWasFound(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtWork)
	to := "POST /api/jobs/{job}/repairs"
	w.Run(t, []testkit.Step{
		{Name: "a hole may be patched or cut out", Who: w.Tech.Client, Do: to, Body: `{"what":"perforation","condition":"perforated","length_mm":140,"width_mm":60,"count":1}`, Status: 200,
			Want: map[string]any{"/items/0/code": "let-in-patch", "/items/1/code": "cut-out-and-fabricate", "/items/0/hours/low": testkit.Present}},
		{Name: "unmeasured it says what would do", Who: w.Tech.Client, Do: to, Body: `{"condition":"perforated","count":1}`, Status: 200, Want: map[string]any{"/unsized/0/why": testkit.Present}},
		{Name: "a broken bolt has no condition", Who: w.Tech.Client, Do: to, Body: `{"what":"broken_bolt","count":3}`, Status: 200, Want: map[string]any{"/items/0/code": "extract-bolt", "/items/0/size": "3"}},
		{Name: "nothing said at all", Who: w.Tech.Client, Do: to, Body: `{"count":1}`, Status: 422, Code: "repair-list", Field: "/condition"},
		{Name: "for another shop's job", Who: w.RivalTech.Client, Do: to, Body: `{"condition":"c","count":1}`, Status: 404, Code: "job-not-found"},
	})
}

// bomb is a PNG of a few bytes whose header claims a size (PNG 11.2.1), followed
// by the beginning of its pixels.
func bomb(width, height uint32) []byte {
	head := make([]byte, 17)
	copy(head, "IHDR")
	binary.BigEndian.PutUint32(head[4:], width)
	binary.BigEndian.PutUint32(head[8:], height)
	head[12], head[13] = 8, 2
	out := append([]byte("\x89PNG\r\n\x1a\n"), 0, 0, 0, 13)
	out = append(out, head...)
	out = binary.BigEndian.AppendUint32(out, crc32.ChecksumIEEE(head))
	return append(out, "\x00\x00\x00\x10IDAT\x78\x9c"...)
}

func TestHostileUploadsAreRefusedByNameAndNothingIsKept(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtWork)
	before := w.TrailLength(t, w.ShopA)
	good := testkit.Upload(t, 60, 40)
	for name, c := range map[string]struct {
		body   []byte
		status int
		code   string
	}{
		"empty":                     {[]byte{}, 422, "photo-type"},
		"a page with script":        {[]byte("<html><script>alert(1)</script></html>"), 422, "photo-type"},
		"a drawing with script":     {[]byte(`<svg xmlns="http://www.w3.org/2000/svg" onload="alert(1)"/>`), 422, "photo-type"},
		"a program":                 {append([]byte("MZ"), make([]byte, 500)...), 422, "photo-type"},
		"JSON":                      {[]byte(`{"photo":1}`), 422, "photo-type"},
		"cut off":                   {good[:len(good)/2], 422, "photo-broken"},
		"a hundred megapixels":      {bomb(10000, 10000), 422, "photo-pixels"},
		"a side of four thousand M": {bomb(1<<31-1, 1), 422, "photo-pixels"},
		"thirteen megabytes":        {append(bytes.Clone(good), make([]byte, 12<<20)...), 413, "photo-too-large"},
		"forty megabytes":           {make([]byte, 40<<20), 413, "body-too-large"},
	} {
		t.Run(name, func(t *testing.T) {
			w.Tech.Do(t, "POST", w.Fill("/api/jobs/{job}/photos"), c.body).WantProblem(t, c.status, c.code)
		})
	}
	w.Tech.Do(t, "POST", w.Fill("/api/jobs/{job}/photos"), good, testkit.Header("Content-Type", "image/png")).WantProblem(t, 422, "request-invalid")
	w.RivalTech.Do(t, "POST", w.Fill("/api/jobs/{job}/photos"), good).WantProblem(t, 404, "job-not-found")
	w.ClientOf.Do(t, "POST", w.Fill("/api/jobs/{job}/photos"), good).WantProblem(t, 403, "not-for-this-role")
	if after := w.TrailLength(t, w.ShopA); after != before {
		t.Errorf("refused uploads moved the trail from %d to %d entries", before, after)
	}
	if n := w.Blobs(t); n != 0 {
		t.Errorf("%d files were kept of refused uploads", n)
	}
}

func TestAPhotoIsMadeAnewAndServedToWhoMaySeeIt(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtWork)
	// A polyglot: a picture with a page behind it.
	upload := append(testkit.Upload(t, 60, 40), []byte("<script>alert(1)</script>")...)
	to := w.Fill("/api/jobs/{job}/photos")
	first := w.Tech.Do(t, "POST", to, upload, testkit.Key("photo-key-1")).Want(t, 201)
	again := w.Tech.Do(t, "POST", to, upload, testkit.Key("photo-key-1")).Want(t, 201)
	if first.Text("/id") != again.Text("/id") || first.Text("/width") != "60" || first.Text("/height") != "40" {
		t.Errorf("the same key gave photos %s and %s", first.Body, again.Body)
	}
	w.Tech.Do(t, "POST", to, testkit.Upload(t, 61, 40), testkit.Key("photo-key-1")).WantProblem(t, 409, "idempotency-key-reused")
	if n := w.Blobs(t); n != 2 {
		t.Errorf("%d files are kept of one photo sent thrice, want picture and thumbnail", n)
	}
	w.Set("photo", first.Text("/id"))
	full, thumb := w.Fill("/api/photos/{photo}/full"), w.Fill("/api/photos/{photo}/thumb")
	got := w.Owner.Do(t, "GET", full, nil).Want(t, 200)
	if img, err := jpeg.Decode(bytes.NewReader(got.Body)); err != nil || img.Bounds().Dx() != 60 {
		t.Errorf("the picture is %v, %v", img, err)
	}
	got.Never(t, "<script>", "\x89PNG")
	for name, want := range map[string]string{"Content-Type": "image/jpeg", "Cache-Control": "private, max-age=31536000, immutable",
		"X-Content-Type-Options": "nosniff", "Content-Disposition": "inline"} {
		if got.Header.Get(name) != want {
			t.Errorf("%s is %q, want %q", name, got.Header.Get(name), want)
		}
	}
	w.Tech.Do(t, "GET", thumb, nil).Want(t, 200)
	w.Rival.Do(t, "GET", full, nil).WantProblem(t, 404, "photo-not-found")
	w.RivalClient.Do(t, "GET", full, nil).WantProblem(t, 404, "photo-not-found")
	w.Nobody.Do(t, "GET", full, nil).WantProblem(t, 401, "sign-in-first")
	refused := w.ClientOf.Do(t, "GET", full, nil).WantProblem(t, 404, "photo-not-found") // it hangs on nothing yet
	if refused.Header.Get("Cache-Control") != "no-store" {
		t.Errorf("a refusal may be kept: %q", refused.Header.Get("Cache-Control"))
	}
	w.Tech.Do(t, "POST", w.Fill("/api/jobs/{job}/observations"), w.Fill(with(aSight, `"photo_ids":[]`, `"photo_ids":["{photo}"]`))).Want(t, 201)
	w.ClientOf.Do(t, "GET", full, nil).Want(t, 200)
	w.OtherClient.Do(t, "GET", full, nil).WantProblem(t, 404, "photo-not-found")
	w.Tech.Do(t, "POST", w.Fill("/api/jobs/{other_job}/findings"), w.Fill(with(with(aFinding, "{zone}", "{other_zone}"), `"photo_ids":[]`, `"photo_ids":["{photo}"]`))).
		WantProblem(t, 422, "finding-invalid").WantField(t, "/photo_ids/0")
}

func TestPathTricksReachNothing(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtWork)
	w.Uncover(t)
	for _, path := range []string{"/api/photos/..%2f..%2fshop.db/full", "/api/photos/{photo}/..%2fthumb", "/api/photos/{photo}/FULL", "/api/photos/{photo}/full%00",
		"/api/photos/{photo}%2f..%2f{photo}/full", "/api/photos/%2e%2e/full", "/api/photos/" + strings.Repeat("a", 300) + "/full"} {
		a := w.Owner.Do(t, "GET", w.Fill(path), nil, testkit.Outside())
		if a.Status != 404 && a.Status != 422 {
			t.Errorf("%s: got %d, want it not found\n%s", path, a.Status, a.Body)
		}
	}
}

func TestBytesWithoutARowAreSwept(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtWork)
	w.Uncover(t)
	orphan, err := w.Photos.Put(w.ShopA, []byte("left by a crash"))
	if err != nil {
		t.Fatal(err)
	}
	w.Clock.Set(time.Now().Add(30 * time.Minute)) // files bear the time of the machine
	if n, err := w.App.SweepPhotos(t.Context()); n != 0 || err != nil {
		t.Errorf("within the hour: %d removed, %v; an upload may still be on its way", n, err)
	}
	w.Clock.Set(time.Now().Add(2 * time.Hour))
	if n, err := w.App.SweepPhotos(t.Context()); n != 1 || err != nil {
		t.Errorf("after it: %d removed, %v; want the orphan alone", n, err)
	}
	if _, err := w.Photos.Open(w.ShopA, orphan); err == nil {
		t.Error("the orphan is still there")
	}
	w.Owner.Do(t, "GET", w.Fill("/api/photos/{photo}/full"), nil).Want(t, 200)
}

func TestTheStreamTellsOfFrameAndFindings(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtWork)
	s := openStream(t, w, w.ClientOf.Client)
	defer s.close()
	w.Uncover(t)
	for _, what := range []string{"frame", "finding"} {
		s.wantChange(t, "the client of the job", w.Job, what)
	}
}
