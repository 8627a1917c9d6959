package api_test

import (
	"fmt"
	"net/http"
	"strings"
	"testing"

	"bareframe/internal/testkit"
)

// bad is one input that must be refused: 4xx, a problem document, the field
// named, and nothing written.
type bad struct {
	name   string
	do     string
	body   string
	status int
	field  string // "" when no field of the request is at fault
	code   string // "" when the contract itself refuses: request-invalid
	who    func(w *testkit.World) *testkit.Client
	stale  bool // send a version that is not the stored one
}

// with returns a task draft with some of its members replaced.
func with(template string, changes ...string) string {
	for i := 0; i < len(changes); i += 2 {
		if !strings.Contains(template, changes[i]) {
			panic("nothing to replace: " + changes[i])
		}
		template = strings.Replace(template, changes[i], changes[i+1], 1)
	}
	return template
}

const (
	aTask = `{"phase_id":"{removal}","code":"Q10","name":"Task","note":"","kind":"work","hours":{"low":"1","likely":"2","high":"3"},"elapsed_hours":"0","lead_days":0,"skill":"fitter","crew":1,"station":"","zone":"","cautions":[],"hold_point":"","tax_class":"repair_labour"}`
	aLine = `{"phase_id":"{removal}","kind":"material","description":"Line","quantity":"1","unit":"pc","unit_cost":"10","markup_percent":"20","waste_percent":"5","discount_percent":"0","tax_class":"material"}`
	aLink = `{"from_task_id":"{A10}","to_task_id":"{C40}","type":"FS","lag_hours":"0","lag_kind":"working"}`
	aJob  = `{"title":"Job","template_id":"{template}","client_id":"{client}","vehicle":{"make":"Corvane","model":"Tern","year":1967,"serial":"","options":{"crossmember":"welded"}}}`
	aHead = `{"title":"Job","vehicle":{"make":"Corvane","model":"Tern","year":1967,"serial":"","options":{"crossmember":"welded"}},"not_before":"2027-01-11","promise":"2027-06-30"}`
	aName = `{"name":"N","email":"","phone":"","role":"client","skills":[],"active":true}`

	noID = "0193f000-0000-7000-8000-ffffffffffff"

	toTask   = "POST /api/jobs/{job}/tasks"
	toLine   = "POST /api/jobs/{job}/lines"
	toLink   = "POST /api/jobs/{job}/links"
	toHead   = "PUT /api/jobs/{job}"
	toJob    = "POST /api/jobs"
	toPerson = "POST /api/people"
	toCal    = "PUT /api/shop/calendar"
	toBook   = "POST /api/shop/prices"
)

func badInputs() []bad {
	rows := []bad{
		// circles
		{name: "a link that closes a circle", do: toLink, body: with(aLink, "{A10}", "{A25}", "{C40}", "{A10}"), status: 422, code: "network-cycle"},
		{name: "a task that waits for itself", do: toLink, body: with(aLink, "{C40}", "{A10}"), status: 422, code: "link-invalid", field: "/to_task_id"},
		{name: "a task that follows what it precedes", do: toTask, body: with(aTask, `"tax_class"`, `"after":["{A25}"],"before":["{A10}"],"tax_class"`), status: 422, code: "network-cycle"},
		{name: "a change of a link that closes a circle", do: "PUT /api/jobs/{job}/links/{link}", body: with(aLink, "{A10}", "{C10}", "{C40}", "{B10}"), status: 422, code: "network-cycle"},
		{name: "a link that there is already", do: toLink, body: with(aLink, "{C40}", "{A20}"), status: 422, code: "link-invalid", field: "/to_task_id"},

		// identifiers
		{name: "a task in an unknown phase", do: toTask, body: with(aTask, "{removal}", noID), status: 422, code: "phase-not-found", field: "/phase_id"},
		{name: "a task in another shop's phase", do: toTask, body: with(aTask, "{removal}", "{rival_phase}"), status: 422, code: "phase-not-found", field: "/phase_id"},
		{name: "a task after an unknown one", do: toTask, body: with(aTask, `"tax_class"`, `"after":["`+noID+`"],"tax_class"`), status: 422, code: "link-invalid"},
		{name: "a line on another shop's task", do: toLine, body: with(aLine, `"kind"`, `"task_id":"{rival_task}","kind"`), status: 422, code: "line-invalid", field: "/task_id"},
		{name: "a line on a task of another phase", do: toLine, body: with(aLine, `"kind"`, `"task_id":"{B10}","kind"`), status: 422, code: "line-invalid", field: "/task_id"},
		{name: "a link to an unknown task", do: toLink, body: with(aLink, "{C40}", noID), status: 422, code: "link-invalid", field: "/to_task_id"},
		{name: "a link from another shop's task", do: toLink, body: with(aLink, "{A10}", "{rival_task}"), status: 422, code: "link-invalid", field: "/from_task_id"},
		{name: "a job for an unknown client", do: toJob, body: with(aJob, "{client}", noID), status: 422, code: "client-not-found", field: "/client_id"},
		{name: "a job for a technician", do: toJob, body: with(aJob, "{client}", "{tech}"), status: 422, code: "client-not-found", field: "/client_id"},
		{name: "a job from an unknown template", do: toJob, body: with(aJob, "{template}", noID), status: 422, code: "template-not-found", field: "/template_id"},
		{name: "a job from another shop's template", do: toJob, body: with(aJob, "{template}", "{rival_template}"), status: 422, code: "template-not-found", field: "/template_id"},
		{name: "an unknown job", do: "GET /api/jobs/" + noID, status: 404, code: "job-not-found"},
		{name: "an identifier that is none", do: "GET /api/jobs/12", status: 404, code: "not-found"},
		{name: "an identifier in capitals", do: "GET /api/jobs/0193F000-0000-7000-8000-FFFFFFFFFFFF", status: 404, code: "not-found"},
		{name: "an identifier with a control character", do: "GET /api/jobs/%00", status: 404, code: "not-found"},

		// quantities
		{name: "negative hours", do: toTask, body: with(aTask, `"low":"1"`, `"low":"-1"`), status: 422, field: "/hours/low"},
		{name: "absurd hours", do: toTask, body: with(aTask, `"high":"3"`, `"high":"99999"`), status: 422, code: "task-invalid", field: "/hours"},
		{name: "hours of six digits", do: toTask, body: with(aTask, `"high":"3"`, `"high":"100000"`), status: 422, field: "/hours/high"},
		{name: "hours in the wrong order", do: toTask, body: with(aTask, `"low":"1"`, `"low":"9"`), status: 422, code: "task-invalid", field: "/hours/low"},
		{name: "work without hours", do: toTask, body: with(aTask, `"low":"1","likely":"2","high":"3"`, `"low":"0","likely":"0","high":"0"`), status: 422, code: "task-invalid", field: "/hours"},
		{name: "NaN hours", do: toTask, body: with(aTask, `"low":"1"`, `"low":"NaN"`), status: 422, field: "/hours/low"},
		{name: "infinite hours", do: toTask, body: with(aTask, `"high":"3"`, `"high":"Infinity"`), status: 422, field: "/hours/high"},
		{name: "NaN that is no JSON", do: toTask, body: with(aTask, `"low":"1"`, `"low":NaN`), status: 422},
		{name: "hours as a number", do: toTask, body: with(aTask, `"low":"1"`, `"low":1`), status: 422, field: "/hours/low"},
		{name: "an exponent", do: toTask, body: with(aTask, `"low":"1"`, `"low":"1e0"`), status: 422, field: "/hours/low"},
		{name: "a thousandth of an hour", do: toTask, body: with(aTask, `"low":"1"`, `"low":"1.001"`), status: 422, field: "/hours/low"},
		{name: "a decimal comma", do: toTask, body: with(aTask, `"low":"1"`, `"low":"1,5"`), status: 422, field: "/hours/low"},
		{name: "a blank decimal", do: toTask, body: with(aTask, `"low":"1"`, `"low":""`), status: 422, field: "/hours/low"},
		{name: "a decimal with a space", do: toTask, body: with(aTask, `"low":"1"`, `"low":" 1"`), status: 422, field: "/hours/low"},
		{name: "a decimal with a plus", do: toTask, body: with(aTask, `"low":"1"`, `"low":"+1"`), status: 422, field: "/hours/low"},
		{name: "digits of another script", do: toTask, body: with(aTask, `"low":"1"`, `"low":"١"`), status: 422, field: "/hours/low"},
		{name: "a negative lead time", do: toTask, body: with(aTask, `"lead_days":0`, `"lead_days":-1`), status: 422, field: "/lead_days"},
		{name: "an absurd lead time", do: toTask, body: with(aTask, `"lead_days":0`, `"lead_days":401`), status: 422, field: "/lead_days"},
		{name: "a lead time that is no whole number", do: toTask, body: with(aTask, `"lead_days":0`, `"lead_days":1.5`), status: 422, field: "/lead_days"},
		{name: "a crew of nobody", do: toTask, body: with(aTask, `"crew":1`, `"crew":0`), status: 422, code: "task-invalid", field: "/crew"},
		{name: "a crew of a thousand", do: toTask, body: with(aTask, `"crew":1`, `"crew":1000`), status: 422, field: "/crew"},
		{name: "a crew past any integer", do: toTask, body: with(aTask, `"crew":1`, `"crew":1e400`), status: 422},
		{name: "a skill without a rate", do: toTask, body: with(aTask, `"fitter"`, `"upholsterer"`), status: 422, code: "task-invalid", field: "/skill"},
		{name: "a station that there is not", do: toTask, body: with(aTask, `"station":""`, `"station":"moon"`), status: 422, code: "task-invalid", field: "/station"},
		{name: "a sublet without a lead time", do: toTask, body: with(aTask, `"kind":"work"`, `"kind":"sublet"`), status: 422, code: "task-invalid", field: "/lead_days"},
		{name: "a cure without a time", do: toTask, body: with(aTask, `"kind":"work"`, `"kind":"cure"`), status: 422, code: "task-invalid", field: "/elapsed_hours"},
		{name: "a cure of ten years", do: toTask, body: with(aTask, `"kind":"work"`, `"kind":"cure"`, `"elapsed_hours":"0"`, `"elapsed_hours":"87600"`), status: 422, code: "task-invalid", field: "/elapsed_hours"},
		{name: "a hold that says nothing", do: toTask, body: with(aTask, `"kind":"work"`, `"kind":"hold"`), status: 422, code: "task-invalid", field: "/hold_point"},
		{name: "a kind of task that there is not", do: toTask, body: with(aTask, `"kind":"work"`, `"kind":"nap"`), status: 422, field: "/kind"},
		{name: "a code that another task bears", do: toTask, body: with(aTask, "Q10", "A10"), status: 422, code: "task-code-taken", field: "/code"},
		{name: "a task that ends before it may begin", do: toTask, body: with(aTask, `"tax_class"`, `"not_before":"2027-03-01","finish_by":"2027-02-01","tax_class"`), status: 422, code: "task-invalid", field: "/finish_by"},
		{name: "a negative quantity", do: toLine, body: with(aLine, `"quantity":"1"`, `"quantity":"-1"`), status: 422, field: "/quantity"},
		{name: "an absurd quantity", do: toLine, body: with(aLine, `"quantity":"1"`, `"quantity":"999999999"`), status: 422, field: "/quantity"},
		{name: "a quantity by an exponent", do: toLine, body: with(aLine, `"quantity":"1"`, `"quantity":"1E3"`), status: 422, field: "/quantity"},
		{name: "a NaN unit cost", do: toLine, body: with(aLine, `"unit_cost":"10"`, `"unit_cost":"NaN"`), status: 422, field: "/unit_cost"},
		{name: "a negative unit cost", do: toLine, body: with(aLine, `"unit_cost":"10"`, `"unit_cost":"-10"`), status: 422, field: "/unit_cost"},
		{name: "a negative markup", do: toLine, body: with(aLine, `"markup_percent":"20"`, `"markup_percent":"-20"`), status: 422, field: "/markup_percent"},
		{name: "a discount of more than all", do: toLine, body: with(aLine, `"discount_percent":"0"`, `"discount_percent":"101"`), status: 422, code: "line-invalid", field: "/discount_percent"},
		{name: "a unit that nobody counts in", do: toLine, body: with(aLine, `"unit":"pc"`, `"unit":"furlong"`), status: 422, code: "line-invalid", field: "/unit"},
		{name: "labour as a line", do: toLine, body: with(aLine, `"kind":"material"`, `"kind":"labour"`), status: 422, field: "/kind"},
		{name: "waste of a fee", do: toLine, body: with(aLine, `"kind":"material"`, `"kind":"fee"`, `"markup_percent":"20"`, `"markup_percent":"0"`), status: 422, code: "line-invalid", field: "/waste_percent"},

		// lags
		{name: "a lag of two years", do: toLink, body: with(aLink, `"lag_hours":"0"`, `"lag_hours":"17520"`), status: 422, code: "link-invalid", field: "/lag_hours"},
		{name: "a lead of two years", do: toLink, body: with(aLink, `"lag_hours":"0"`, `"lag_hours":"-17520"`), status: 422, code: "link-invalid", field: "/lag_hours"},
		{name: "a lag of seven digits", do: toLink, body: with(aLink, `"lag_hours":"0"`, `"lag_hours":"9999999"`), status: 422, field: "/lag_hours"},
		{name: "a lag in moon time", do: toLink, body: with(aLink, `"working"`, `"lunar"`), status: 422, field: "/lag_kind"},
		{name: "a link type that there is not", do: toLink, body: with(aLink, `"FS"`, `"XX"`), status: 422, field: "/type"},

		// days and instants
		{name: "year 0", do: toHead, body: with(aHead, "2027-01-11", "0000-01-01"), status: 422, field: "/not_before"},
		{name: "year 99999", do: toHead, body: with(aHead, "2027-01-11", "99999-01-01"), status: 422, field: "/not_before"},
		{name: "the year 2190", do: toHead, body: with(aHead, "2027-06-30", "2190-01-01"), status: 422, field: "/promise"},
		{name: "the 30th of February", do: toHead, body: with(aHead, "2027-06-30", "2027-02-30"), status: 422, code: "value-not-readable", field: "/promise"},
		{name: "month 13", do: toHead, body: with(aHead, "2027-06-30", "2027-13-01"), status: 422, field: "/promise"},
		{name: "a day in words", do: toHead, body: with(aHead, "2027-06-30", "next spring"), status: 422, field: "/promise"},
		{name: "a car from before there were any", do: toHead, body: with(aHead, `"year":1967`, `"year":0`), status: 422, field: "/vehicle/year"},
		{name: "a car of the year 99999", do: toHead, body: with(aHead, `"year":1967`, `"year":99999`), status: 422, field: "/vehicle/year"},
		{name: "hours in year 0", do: toLog, who: tech, body: `{"task_id":"{A20}","started_at":"0000-01-01T00:00:00Z","finished_at":"0000-01-01T01:00:00Z","done":false}`, status: 422, field: "/started_at"},
		{name: "hours in year 99999", do: toLog, who: tech, body: `{"task_id":"{A20}","started_at":"99999-01-01T00:00:00Z","finished_at":"99999-01-01T01:00:00Z","done":false}`, status: 422, field: "/started_at"},
		{name: "hours on the 30th of February", do: toLog, who: tech, body: `{"task_id":"{A20}","started_at":"2026-02-30T08:00:00Z","finished_at":"2026-02-30T09:00:00Z","done":false}`, status: 422},
		{name: "hours two years ago", do: toLog, who: tech, body: `{"task_id":"{A20}","started_at":"2024-11-24T08:00:00Z","finished_at":"2024-11-24T09:00:00Z","done":false}`, status: 409, code: "job-not-in-work"},
		{name: "an instant without a zone", do: toLog, who: tech, body: `{"task_id":"{A20}","started_at":"2026-11-24T08:00:00","finished_at":"2026-11-24T09:00:00","done":false}`, status: 422},

		{name: "a job that would end after 2189", do: toHead, body: with(aHead, "2027-01-11", "2189-12-30"), status: 422, code: "schedule-too-far"},
		{name: "a job made so", do: toJob, body: with(aJob, `"title"`, `"not_before":"2189-12-30","title"`), status: 422, code: "schedule-too-far"},
		{name: "a task that would push the rest past it", do: toTask, body: with(aTask, `"tax_class"`, `"not_before":"2189-12-31","before":["{A10}"],"tax_class"`), status: 422, code: "schedule-too-far"},

		// options
		{name: "a vehicle option left out", do: toJob, body: with(aJob, `{"crossmember":"welded"}`, `{}`), status: 422, code: "vehicle-options-invalid", field: "/vehicle/options/crossmember"},
		{name: "a choice that there is not", do: toJob, body: with(aJob, `"welded"`, `"glued"`), status: 422, code: "vehicle-options-invalid", field: "/vehicle/options/crossmember"},
		{name: "an option that the template has not", do: toJob, body: with(aJob, `"welded"`, `"welded","wings":"two"`), status: 422, code: "vehicle-options-invalid", field: "/vehicle/options/wings"},

		// text
		{name: "a title with a control character", do: toJob, body: with(aJob, `"Job"`, `"Job\u0007"`), status: 422, field: "/title"},
		{name: "a title with a nought character", do: toJob, body: with(aJob, `"Job"`, `"\u0000"`), status: 422, field: "/title"},
		{name: "a title of two lines", do: toJob, body: with(aJob, `"Job"`, `"a\nb"`), status: 422, field: "/title"},
		{name: "a blank title", do: toJob, body: with(aJob, `"Job"`, `"   "`), status: 422, field: "/title"},
		{name: "an endless title", do: toJob, body: with(aJob, `"Job"`, `"`+strings.Repeat("x", 161)+`"`), status: 422, field: "/title"},
		{name: "a note with an escape character", do: toTask, body: with(aTask, `"note":""`, `"note":"\u001b[31m"`), status: 422, field: "/note"},
		{name: "an address that is none", do: toPerson, body: with(aName, `"email":""`, `"email":"not an address"`), status: 422, field: "/email"},
		{name: "a technician without an address", do: toPerson, body: with(aName, `"client"`, `"technician"`), status: 422, code: "person-invalid", field: "/email"},
		{name: "a skill twice", do: toPerson, body: with(aName, `"skills":[]`, `"skills":["fitter","fitter"]`), status: 422, code: "person-invalid", field: "/skills/1"},
		{name: "a skill that has no rate", do: toPerson, body: with(aName, `"skills":[]`, `"skills":["alchemist"]`), status: 422, code: "person-invalid", field: "/skills/0"},
		{name: "a key with a blank", do: toPerson, body: with(aName, `"skills":[]`, `"skills":["two words"]`), status: 422, field: "/skills/0"},

		// shape
		{name: "an unknown field", do: toPerson, body: with(aName, `"active"`, `"wings":2,"active"`), status: 422},
		{name: "a field in capitals", do: toPerson, body: with(aName, `"active"`, `"NAME":"x","active"`), status: 422},
		{name: "an unknown field inside", do: toTask, body: with(aTask, `"low":"1"`, `"low":"1","lowest":"0"`), status: 422},
		{name: "a field left out", do: toPerson, body: `{"name":"N"}`, status: 422},
		{name: "null for a text", do: toPerson, body: with(aName, `"name":"N"`, `"name":null`), status: 422, field: "/name"},
		{name: "a list for a text", do: toPerson, body: with(aName, `"name":"N"`, `"name":["N"]`), status: 422, field: "/name"},
		{name: "a text for a flag", do: toPerson, body: with(aName, `"active":true`, `"active":"true"`), status: 422, field: "/active"},
		{name: "a list for the body", do: toPerson, body: `[]`, status: 422},
		{name: "a text for the body", do: toPerson, body: `"x"`, status: 422},
		{name: "null for the body", do: toPerson, body: `null`, status: 422},
		{name: "half a body", do: toPerson, body: `{"name":"N"`, status: 422},
		{name: "text after the body", do: toPerson, body: aName + ` {"role":"owner"}`, status: 422},
		{name: "no JSON at all", do: toPerson, body: `name=N`, status: 422},
		{name: "a list too long", do: toTask, body: with(aTask, `"cautions":[]`, `"cautions":["a"`+strings.Repeat(`,"a"`, 20)+`]`), status: 422, field: "/cautions"},
		{name: "a very deep body", do: toPerson, body: strings.Repeat(`[`, 100000), status: 422},
		{name: "a body of ten megabytes", do: toPerson, body: `{"name":"` + strings.Repeat("x", 10<<20) + `"}`, status: 413, code: "body-too-large"},
		{name: "a calculation of ten megabytes", do: "POST /api/calculate/pricing", body: `{"currency":"` + strings.Repeat("x", 10<<20) + `"}`, status: 413, code: "body-too-large"},
		{name: "a calculation with an unknown field", do: "POST /api/calculate/pricing", body: `{"wings":2}`, status: 422, code: "input-not-readable"},
		{name: "a calculation that there is not", do: "POST /api/calculate/horoscope", body: `{}`, status: 404, code: "not-found"},
		{name: "a network that is a circle, calculated", do: "POST /api/calculate/network", status: 422, code: "network-cycle",
			body: `{"start":"2027-01-11T08:00:00Z","tasks":[{"id":"a","minutes":60,"kind":"working"},{"id":"b","minutes":60,"kind":"working"}],"links":[{"id":"1","from":"a","to":"b","type":"FS","lag_minutes":0,"lag_kind":"working"},{"id":"2","from":"b","to":"a","type":"FS","lag_minutes":0,"lag_kind":"working"}]}`},

		// versions
		{name: "a stale version", do: toTask, body: aTask, status: 412, code: "stale-edit", stale: true},

		// settings
		{name: "a shift that ends before it begins", do: toCal, body: `{"week":{"monday":[{"from":"12:00","to":"08:00"}]},"holidays":"","closures":[],"openings":[]}`, status: 422, code: "calendar-invalid"},
		{name: "shifts that overlap", do: toCal, body: `{"week":{"monday":[{"from":"08:00","to":"12:00"},{"from":"11:00","to":"13:00"}]},"holidays":"","closures":[],"openings":[]}`, status: 422, code: "calendar-invalid"},
		{name: "a week that is never open", do: toCal, body: `{"week":{},"holidays":"","closures":[],"openings":[]}`, status: 422, code: "calendar-never-open", field: "/week"},
		{name: "a 25th hour", do: toCal, body: `{"week":{"monday":[{"from":"08:00","to":"25:00"}]},"holidays":"","closures":[],"openings":[]}`, status: 422, field: "/week/monday/0/to"},
		{name: "holidays of nowhere", do: toCal, body: `{"week":{"monday":[{"from":"08:00","to":"12:00"}]},"holidays":"ZZ","closures":[],"openings":[]}`, status: 422, code: "calendar-invalid"},
		{name: "a closure that ends before it begins", do: toCal, body: `{"week":{"monday":[{"from":"08:00","to":"12:00"}]},"holidays":"","closures":[{"from":"2027-08-02","to":"2027-08-01","reason":""}],"openings":[]}`, status: 422, code: "calendar-invalid"},
		{name: "a skill taken out that a job needs", do: toBook, body: `{"set":[],"removed":[{"kind":"labour","key":"welder"}]}`, status: 422, code: "skill-in-use", field: "/labour"},
		{name: "a rate that stands twice", do: toBook, body: `{"set":[{"kind":"labour","key":"fitter","name":"Fitter","cost_rate":"1","sell_rate":"2","valid_from":"2040-01-01"},{"kind":"labour","key":"fitter","name":"Fitter","cost_rate":"1","sell_rate":"3","valid_from":"2040-01-01"}],"removed":[]}`, status: 422, code: "price-book-invalid", field: "/set/1/key"},
		{name: "a rate without its cost", do: toBook, body: `{"set":[{"kind":"labour","key":"fitter","name":"Fitter","sell_rate":"2"}],"removed":[]}`, status: 422, code: "value-not-readable", field: "/set/0/cost_rate"},
		{name: "a price of days that are over", do: toBook, body: `{"set":[{"kind":"labour","key":"fitter","name":"Fitter","cost_rate":"1","sell_rate":"2"}],"removed":[]}`, status: 422, code: "price-book-invalid", field: "/set/0/valid_from"},
		{name: "prices that overlap", do: toBook, body: `{"set":[{"kind":"vendor","key":"plater","name":"Plater","lead_days":5,"markup_percent":"10","valid_from":"2040-01-01","valid_to":"2040-12-31"},{"kind":"vendor","key":"plater","name":"Plater","lead_days":5,"markup_percent":"12","valid_from":"2040-06-01"}],"removed":[]}`, status: 422, code: "price-book-invalid", field: "/set/1/valid_from"},
		{name: "a price that ends before it begins", do: toBook, body: `{"set":[{"kind":"vendor","key":"plater","name":"Plater","lead_days":5,"markup_percent":"10","valid_from":"2040-01-01","valid_to":"2039-12-31"}],"removed":[]}`, status: 422, code: "price-book-invalid", field: "/set/0/valid_to"},
		{name: "a material in a unit that is none", do: toBook, body: `{"set":[{"kind":"material","key":"tar","name":"Tar","unit":"firkin","unit_cost":"1","markup_percent":"0","waste_percent":"0","tax_class":"material"}],"removed":[]}`, status: 422, code: "price-book-invalid", field: "/set/0/unit"},
		{name: "whole packs without packs", do: toBook, body: `{"set":[{"kind":"material","key":"tar","name":"Tar","unit":"l","unit_cost":"1","markup_percent":"0","waste_percent":"0","tax_class":"material","whole_packs":true}],"removed":[]}`, status: 422, code: "price-book-invalid", field: "/set/0/whole_packs"},
		{name: "a row taken out that is not there", do: toBook, body: `{"set":[],"removed":[{"kind":"vendor","key":"nobody"}]}`, status: 422, code: "price-book-invalid", field: "/removed/0"},
		{name: "a promise of a quote without an end", do: "POST /api/jobs/{job}/quotes", body: `{"valid_days":0,"note":""}`, status: 422, field: "/valid_days"},
		{name: "a quote open for ever", do: "POST /api/jobs/{job}/quotes", body: `{"valid_days":9999,"note":""}`, status: 422, field: "/valid_days"},
		{name: "a move that the job's life has not", do: "POST /api/jobs/{job}/state", body: `{"to":"finished","reason":"Done."}`, status: 409, code: "job-state"},
		{name: "a move to where only a quote leads", do: "POST /api/jobs/{job}/state", body: `{"to":"accepted","reason":"Done."}`, status: 422, field: "/to"},
	}
	return rows
}

func TestBadInputIsRefusedByFieldAndNothingIsWritten(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtEnquiry)
	for _, b := range badInputs() {
		t.Run(b.name, func(t *testing.T) { refuse(t, w, b) })
	}
}

// state is what must not move: both trails and the versions of what is edited.
func state(t *testing.T, w *testkit.World) string {
	return fmt.Sprint(w.TrailLength(t, w.ShopA), w.TrailLength(t, w.ShopB), w.ETag(t),
		versionFor(t, w.Owner.Client, "/api/shop/calendar"), versionFor(t, w.Owner.Client, "/api/shop/price-book"))
}

func refuse(t *testing.T, w *testkit.World, b bad) {
	who := owner(w)
	if b.who != nil {
		who = b.who(w)
	}
	code := b.code
	if code == "" {
		code = "request-invalid"
	}
	method, path, _ := strings.Cut(w.Fill(b.do), " ")
	var options []testkit.Option
	if op, _ := w.Contract.Match(method, path); op != nil && op.Takes("If-Match") && !b.stale {
		options = append(options, testkit.IfMatch(versionFor(t, who, path)))
	}
	if b.stale {
		options = append(options, testkit.IfMatch(`"v999"`))
	}
	var body any
	if method != http.MethodGet {
		body = w.Fill(b.body)
	}
	before := state(t, w)
	a := who.Do(t, method, path, body, options...)
	a.WantProblem(t, b.status, code)
	if b.field != "" {
		a.WantField(t, b.field)
	}
	if after := state(t, w); after != before {
		t.Errorf("%s:\n trails and versions moved from %s to %s; want nothing written", a.Asked, before, after)
	}
}

func TestACircleIsNamedInTheEvidence(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtEnquiry)
	a := w.Owner.Do(t, "POST", w.Fill("/api/jobs/{job}/links"), w.Fill(with(aLink, "{A10}", "{A25}", "{C40}", "{A10}")), testkit.IfMatch(w.ETag(t)))
	a.WantProblem(t, 422, "network-cycle")
	evidence := fmt.Sprint(a.At("/evidence"))
	for _, code := range []string{"A10", "A20", "A25"} {
		if !strings.Contains(evidence, w.Var(code)) {
			t.Errorf("the circle A10, A20, A25, A10: the evidence %s does not name %s (%s)", evidence, code, w.Var(code))
		}
	}
}

// Markup is text like any other: kept as typed, and escaped where it meets HTML
// (WHATWG HTML 13.3, escaping a string).
func TestMarkupIsKeptAndShownAsText(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtEnquiry)
	const nasty = `<script>alert("1")</script><img src=x onerror=alert(1)>&amp;'`
	line := strings.ReplaceAll(nasty, `"`, `\"`)
	w.Run(t, []testkit.Step{
		{Name: "the owner looks", Who: w.Owner.Client, Do: "GET /api/jobs/{job}", Status: 200},
		{Name: "a line bears markup", Who: w.Owner.Client, Do: toLine, IfMatch: "{etag}", Body: with(aLine, `"Line"`, `"`+line+`"`), Status: 201},
		{Name: "so does a phase", Who: w.Owner.Client, Do: "PUT /api/jobs/{job}/phases/{removal}", IfMatch: "{etag}", Body: `{"name":"` + line + `","position":1}`, Status: 200,
			Want: map[string]any{"/phases/0/name": nasty}},
		{Name: "so does the car", Who: w.Owner.Client, Do: toHead, IfMatch: "{etag}", Body: with(aHead, `"Corvane"`, `"`+line+`"`), Status: 200, Want: map[string]any{"/job/vehicle/make": nasty}},
		{Name: "and the note of the quote", Who: w.Owner.Client, Do: "POST /api/jobs/{job}/quotes", IfMatch: "{etag}", Body: `{"valid_days":30,"note":"` + line + `"}`, Status: 201,
			Keep: map[string]string{"quote": "/summary/id"}, Want: map[string]any{"/note": nasty}},
		{Name: "the document shows all of it as text", Who: w.ClientOf.Client, Do: "GET /api/client/quotes/{quote}/document", Status: 200, Never: []string{"<script", "<img"},
			After: func(a *testkit.Answer) {
				if n := strings.Count(string(a.Body), "&lt;script&gt;"); n < 3 {
					t.Errorf("the document shows the markup as text %d times, want line, phase, car or note", n)
				}
			}},
		{Name: "the client reads it as typed", Who: w.ClientOf.Client, Do: "GET /api/client/quotes/{quote}", Status: 200, Want: map[string]any{"/note": nasty}},
	})
}

func TestABodyThatIsNotSaidToBeJSONIsRefused(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtEnquiry)
	before := state(t, w)
	for _, kind := range []string{"text/plain", "application/x-www-form-urlencoded", "multipart/form-data; boundary=x", "application/xml", ""} {
		a := w.Owner.Do(t, "POST", "/api/people", aName, testkit.Header("Content-Type", kind))
		if a.Status < 400 || a.Status > 499 {
			t.Errorf("Content-Type %q: got %d, want a refusal", kind, a.Status)
		}
	}
	if after := state(t, w); after != before {
		t.Errorf("trails and versions moved from %s to %s; want nothing written", before, after)
	}
}
