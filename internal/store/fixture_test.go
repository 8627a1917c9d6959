package store

import (
	"encoding/json"
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/app"
	"bareframe/internal/calendar"
	"bareframe/internal/domain"
	"bareframe/internal/pricing"
)

// noon is an instant with microseconds, in a zone that is not UTC.
var noon = time.Date(2027, 3, 31, 12, 0, 0, 123456000, time.FixedZone("", 2*3600))

func at(minutes int) time.Time { return noon.Add(time.Duration(minutes) * time.Minute).UTC() }

func ptr[T any](v T) *T { return &v }

// furniture is a shop with one of everything; all IDs begin with the shop's.
type furniture struct {
	shop              domain.Shop
	owner, fitter, cl domain.Person
	access            domain.PrivateLink
	session           domain.Session
	template          domain.Template
	job               domain.Job
	estimate          domain.Estimate
	quote             domain.Quote
	document          domain.Document
	baseline          domain.Baseline
	done, runs        domain.Entry
	answer            app.Answer
	zone              domain.Zone
	seen              domain.Observation
	photo             domain.Photo
	found             domain.Finding
	moved             domain.TakeoffMove
	took              domain.StockMove
}

func describe(shop domain.ID) furniture {
	id := func(s string) domain.ID { return shop + "-" + s }
	f := furniture{
		shop: domain.Shop{ID: shop, Version: 3, CreatedAt: at(0), Demo: true,
			Settings: domain.ShopSettings{Name: "Shop " + shop, Currency: "EUR", TimeZone: "Europe/Berlin",
				TaxRates: []domain.TaxRate{{Class: pricing.Part, Percent: dec("7.25")}}, Draws: []domain.DrawRule{{Name: "After stripping", Percent: dec("33.3333"), Due: domain.GatePhaseEnd, Phase: "media_stripping", DaysToPay: 14}},
				Texts:      []domain.ShopText{{Key: domain.QuoteOpening, Text: "Dear ~client~,\n<b>&\u00a0\"ö\""}},
				Currencies: []domain.ShopCurrency{{Code: "JPY", Rate: dec("163.254321"), On: "2027-03-30"}},
				Stations:   []domain.Station{{Key: "stand", Name: "Frame stand", Capacity: 1}}},
			CalendarVersion: 4, Calendar: calendar.Spec{TimeZone: "Europe/Berlin",
				Week: map[string][]calendar.Interval{"monday": {{From: "08:00", To: "12:00"}}}},
			PriceBookVersion: 5, PriceBook: domain.PriceBook{
				Labour:    []domain.LabourRate{{Skill: "welder", Name: "Welder", CostRate: dec("31.5"), SellRate: dec("78")}},
				Materials: []domain.Material{}, Vendors: []domain.Vendor{}}},
		owner: domain.Person{ID: id("owner"), Version: 1, Name: "Ida Kranz", Email: "Ida@" + shop + ".example", Role: domain.Owner, Skills: []string{}, Active: true, PasswordHash: "hash", CreatedAt: at(1)},
		fitter: domain.Person{ID: id("fitter"), Version: 1, Name: "bo Lind", Email: "bo@" + shop + ".example", Phone: "1", Role: domain.Technician, Skills: []string{"welder"}, CostRate: dec("0.10"), Active: true, CreatedAt: at(2),
			Roster: &domain.Roster{Week: map[string][]calendar.Interval{"monday": {{From: "08:00", To: "12:00"}}}, Extra: []calendar.Opening{{Day: "2027-04-06", Intervals: []calendar.Interval{{From: "13:00", To: "15:00"}}}},
				Absences: []domain.Absence{{From: "2027-05-03", To: "2027-05-07", Reason: domain.AwayHoliday, Note: "ä"}, {From: "2027-05-10", To: "2027-05-10", Hours: &calendar.Interval{From: "09:00", To: "10:00"}, Reason: domain.AwayIll}}}},
		cl: domain.Person{ID: id("client"), Version: 1, Name: "Ada Ohm", Role: domain.Client, Active: true, CreatedAt: at(3)},
		template: domain.Template{ID: id("template"), Revision: 1, SavedAt: ptr(at(4)), SavedBy: "Ida Kranz", Plan: domain.TemplatePlan{Key: "body-off", Name: "Body off",
			VehicleOptions: []domain.VehicleOption{{Key: "gearbox", Choices: []domain.OptionChoice{{Key: "manual"}}}},
			Cautions:       map[string]string{"dust": "Wear a mask."}}},
		answer: app.Answer{Operation: "start", RequestHash: "r", Body: []byte(`{"a": 1}`), At: at(9)},
	}
	f.job = domain.Job{ID: id("job"), Version: 2, Number: 1, Title: "Frame <b>", State: domain.Enquiry, ClientID: f.cl.ID,
		TemplateID: f.template.ID, TemplateName: "Body off", FrameName: "Ladder", VehicleOptions: f.template.Plan.VehicleOptions, Cautions: f.template.Plan.Cautions,
		Vehicle:   domain.Vehicle{Make: "Orlo", Model: "Nine", Year: 1963, Serial: "7", Options: map[string]string{"gearbox": "manual"}},
		NotBefore: "2027-04-01", Promise: "2027-09-30", CreatedAt: at(4), AuthorisedAmount: dec("12345678901234.567890"), Currency: "JPY", ExchangeRate: dec("163.254321"), RateOn: "2027-03-30",
		Weight: 8, Finish: domain.ConcoursFinish, Ways: domain.Ways{"strip": "blast"}}
	f.estimate = describeEstimate(id, f.job.ID)
	f.access = domain.PrivateLink{ID: id("link"), ShopID: shop, PersonID: f.cl.ID, Purpose: domain.ClientAccess, OnlyJob: f.job.ID,
		TokenHash: id("link-hash"), CreatedAt: at(5), ExpiresAt: at(5000), LastUsedAt: ptr(at(6))}
	f.session = domain.Session{ID: id("session"), ShopID: shop, PersonID: f.cl.ID, LinkID: f.access.ID, OnlyJob: f.job.ID,
		TokenHash: id("session-hash"), Device: "phone", CreatedAt: at(6), LastSeenAt: at(7), ExpiresAt: at(4000)}
	first := f.estimate.Tasks[0].ID
	f.quote = domain.Quote{ID: id("quote"), JobID: f.job.ID, Number: "1-1", Revision: 1, State: domain.QuoteOpen, IssuedAt: at(8),
		IssuedBy: "Ida Kranz", ExpiresAt: at(3000), Currency: "EUR", Net: dec("100.10"), Tax: dec("19.02"), Total: dec("119.12"),
		Cost: dec("55.555555"), Note: "n", Terms: "t",
		Offer:        domain.Offer{Phases: []domain.OfferPhase{{Name: "Removal", Net: "100.10"}}, Start: "2027-04-01", Finish: "2027-09-30"},
		Plan:         []domain.Sold{{TaskID: first, Hours: dec("3.17"), Start: at(100), Finish: at(400)}},
		Basis:        f.shop.Basis("2027-01-01"),
		DocumentHash: "d"}
	f.document = domain.Document{ID: f.quote.ID, ContentType: "text/html", Hash: "d", Body: []byte("<p>\x00\xff"), Sheet: `{"title":"\u0000 é"}`}
	f.baseline = domain.Baseline{JobID: f.job.ID, TaskID: first, Hours: dec("3.17"), Start: at(100), Finish: at(400)}
	f.done = domain.Entry{ID: id("done"), JobID: f.job.ID, TaskID: first, PersonID: f.fitter.ID, Kind: domain.Worked,
		StartedAt: at(10), FinishedAt: ptr(at(70)), HoursToGo: ptr(dec("1.5")), Note: "stuck bolt", LoggedAt: at(70), LoggedBy: f.fitter.ID}
	f.runs = domain.Entry{ID: id("runs"), JobID: f.job.ID, PersonID: f.fitter.ID, Kind: domain.Waiting, WaitingCode: domain.WaitParts,
		StartedAt: at(80), LoggedAt: at(80), LoggedBy: f.fitter.ID}
	f.zone = domain.Zone{ID: id("zone"), JobID: f.job.ID, Code: "left-rail", Name: "Left rail", Kind: domain.Rail, Side: domain.LeftSide,
		Section:  domain.Section{Shape: "box", WidthMM: 75, HeightMM: 125, ThicknessMM: dec("2.5")},
		LengthMM: 700, AreaM2: dec("0.2801"), VisiblePercent: 30, Plan: domain.ZonePlan{From: domain.PlanPoint{X: -5, Y: -420}, To: domain.PlanPoint{X: 1050, Y: -620}, Width: 75}, Position: 1,
		Finish: domain.DriverFinish, Ways: domain.Ways{"coat": "brush"}}
	f.photo = domain.Photo{ID: id("photo"), JobID: f.job.ID, Blob: id("blob"), Thumb: id("thumb"), Hash: "h", Width: 2560, Height: 1920, Bytes: 123456,
		By: f.fitter.ID, ByName: "bo Lind", At: at(30)}
	f.seen = domain.Observation{ID: id("seen"), JobID: f.job.ID, ZoneID: f.zone.ID, Moment: domain.OnArrival, Condition: domain.GradeC, LengthMM: 140, WidthMM: 60,
		Note: "dull", PhotoIDs: []domain.ID{f.photo.ID}, By: f.fitter.ID, ByName: "bo Lind", At: at(31)}
	f.found = domain.Finding{ID: id("found"), JobID: f.job.ID, Number: 1, Version: 2, ZoneID: f.zone.ID, TaskID: first, What: domain.FoundPerforation,
		Condition: domain.Perforated, LengthMM: 140, WidthMM: 60, Count: 2, Note: "through", PhotoIDs: []domain.ID{f.photo.ID}, Repairs: []string{"let-in-patch"},
		Originality: dec("-0.5"), ConditionPoints: dec("1.25"), State: domain.FindingReported, By: f.fitter.ID, ByName: "bo Lind", At: at(32)}
	f.moved = domain.TakeoffMove{ID: id("moved"), JobID: f.job.ID, At: at(33), By: f.fitter.ID, ByName: "bo Lind", Cause: "Left rail: grade B to perforated",
		Moved: domain.Moved{Tasks: []domain.MovedHours{{TaskID: first, Code: "t1", Before: domain.ThreePoint{Likely: dec("2")}, By: []domain.MovedBy{{ZoneID: f.zone.ID, Amount: dec("-0.125")}}}},
			Materials: []domain.MovedMaterial{}, NetBefore: dec("100.1"), FinishAfter: at(4000), PointsAfter: ptr(dec("1.5"))}}
	f.took = domain.StockMove{ID: id("took"), Material: "primer", Unit: "l", Quantity: dec("0.125"), FromJobID: f.job.ID, ToJobID: f.job.ID, By: f.owner.ID, ByName: "Ida Kranz", At: at(34)}
	return f
}

func describeEstimate(id func(string) domain.ID, job domain.ID) domain.Estimate {
	phase := domain.Phase{ID: id("phase"), JobID: job, Key: "removal", Name: "Removal", Position: 1}
	task := func(name string, position int) domain.Task {
		return domain.Task{ID: id(name), JobID: job, PhaseID: phase.ID, Code: name, Name: "Lift", Note: "n", Kind: domain.Work,
			Hours: domain.ThreePoint{Low: dec("0.10"), Likely: dec("2"), High: dec("5.25")}, Skill: "welder", Crew: 2,
			Station: "stand", Zone: "left rail", Cautions: []string{"lifting"}, HoldPoint: "owner looks", TaxClass: pricing.RepairLabour,
			NotBefore: "2027-04-01", FinishBy: "2027-05-01", Position: position, Scope: domain.Opened, OpenedBy: "Ida Kranz",
			OpenedAt: ptr(at(20)), OpenedAs: "found rot", ReleasedBy: "Ida Kranz", ReleasedAt: ptr(at(21)), ReleaseNote: "fine", OrderID: "an order", Follows: true, StripGate: true, AllowanceLineID: "an allowance", OptionID: id("option"),
			Floor: domain.Floor{LongestBreakHours: ptr(dec("0.5")), Interruptible: true, Helpers: []domain.Helper{{Skill: "fitter", Count: 2}}}}
	}
	second := task("t2", 2)
	second.Kind, second.Hours, second.ElapsedHours, second.LeadDays = domain.Cure, domain.ThreePoint{}, dec("36.5"), 3
	second.OpenedAt, second.ReleasedAt, second.Cautions = nil, nil, nil
	return domain.Estimate{
		Phases: []domain.Phase{phase},
		Tasks:  []domain.Task{task("t1", 1), second},
		Links:  []domain.Link{{ID: id("tl"), JobID: job, FromID: id("t1"), ToID: id("t2"), Type: "SS", LagHours: dec("-1.25"), LagKind: calendar.Elapsed, MaxLagHours: ptr(dec("4.5"))}},
		Lines: []domain.Line{{ID: id("line"), JobID: job, PhaseID: phase.ID, TaskID: id("t1"), Kind: pricing.Material, Description: "Tube",
			Quantity: dec("3.333333"), Unit: "m", UnitCost: dec("17.891"), MarkupPercent: dec("15"), WastePercent: dec("5"),
			DiscountPercent: decimal.Zero, TaxClass: pricing.Part, Scope: domain.Estimated, Position: 1, OrderID: "an order", Follows: true, OptionID: id("extra")}},
		Options: []domain.Option{{ID: id("option"), JobID: job, Group: "Rear frame", Name: "Repair", Note: "let in", Taken: true, Position: 1,
			Points: []domain.PointEffect{{ItemKey: "frame", Originality: dec("-0.5"), Condition: dec("1.25")}}},
			{ID: id("extra"), JobID: job, Name: "Zinc", Position: 2, Points: []domain.PointEffect{}}},
	}
}

// furnish stores a shop with one of everything.
func furnish(t testing.TB, s *Store, shop domain.ID) furniture {
	t.Helper()
	f := describe(shop)
	if err := s.CreateShop(t.Context(), f.shop, false, func(tx app.Tx) error { return f.store(tx) }); err != nil {
		t.Fatalf("furnishing %s: %v", shop, err)
	}
	return f
}

func (f furniture) store(tx app.Tx) error {
	if _, err := tx.NextJobNumber(); err != nil {
		return err
	}
	return must(
		tx.AddPerson(f.owner), tx.AddPerson(f.fitter), tx.AddPerson(f.cl), tx.AddTemplate(f.template),
		tx.AddJob(f.job), tx.AddPhases(f.estimate.Phases), tx.AddTasks(f.estimate.Tasks),
		tx.AddTaskLinks(f.estimate.Links), tx.AddLines(f.estimate.Lines), tx.AddOptions(f.estimate.Options),
		tx.AddLink(f.access), tx.AddSession(f.session),
		tx.AddQuote(f.quote, f.document), tx.ReplaceBaseline(f.job.ID, []domain.Baseline{f.baseline}),
		tx.AddEntry(f.done), tx.AddEntry(f.runs), tx.KeepAnswer(f.fitter.ID, "key", f.answer),
		tx.AddZones([]domain.Zone{f.zone}), tx.AddPhoto(f.photo), tx.AddObservation(f.seen), tx.AddFinding(f.found), tx.AddTakeoffMove(f.moved), tx.AddStockMove(f.took),
		tx.AppendTrail(domain.TrailEntry{At: noon, ActorName: "console", From: "console", Action: "shop.create", Subject: "shop " + f.shop.ID}),
		tx.AppendTrail(domain.TrailEntry{At: noon.Add(1500), ActorID: f.owner.ID, ActorName: "Ida Kranz", From: "192.0.2.1", Action: "job.create",
			Subject: "job " + f.job.ID, JobID: f.job.ID, Before: nil, After: json.RawMessage(`{ "title":  "Frame \u003cb\u003e" }`)}),
	)
}
