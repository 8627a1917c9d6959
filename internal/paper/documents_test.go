package paper

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"testing"
	"time"

	"bareframe/internal/billing"
	"bareframe/internal/domain"
	"bareframe/internal/money"
	"bareframe/internal/pricing"
)

// longQuote has eight phases with so many lines together.
func longQuote(lines int) QuoteData {
	d := someQuote("")
	d.Quote.Offer.Phases = nil
	for p := range 8 {
		ph := domain.OfferPhase{Name: fmt.Sprintf("Phase %d, frame and running gear", p+1), Net: "12345.00", Start: "2031-05-05", Finish: "2031-06-06"}
		for i := range lines / 8 {
			ph.Lines = append(ph.Lines, domain.OfferLine{Description: fmt.Sprintf("Left rail ahead of the rear wheel, cut out and weld in new steel, %d.%d", p+1, i),
				Kind: pricing.Labour, Quantity: "8.50", Unit: "h", Net: "1234.50"})
		}
		d.Quote.Offer.Phases = append(d.Quote.Offer.Phases, ph)
	}
	return d
}

func drawnPhoto(width, height int, shade uint8) []byte {
	pic := image.NewGray(image.Rect(0, 0, width, height))
	for i := range pic.Pix {
		pic.Pix[i] = shade + uint8(i%7)
	}
	pic.SetGray(0, 0, color.Gray{})
	var out bytes.Buffer
	if err := jpeg.Encode(&out, pic, nil); err != nil {
		panic(err) // into memory
	}
	return out.Bytes()
}

func bar(x1, y1, x2, y2, width int) domain.ZonePlan {
	return domain.ZonePlan{From: domain.PlanPoint{X: x1, Y: y1}, To: domain.PlanPoint{X: x2, Y: y2}, Width: width}
}

// someInspection has two zones that bear findings and two that do not, photos of
// one size, and an order that is with the client.
func someInspection(rest string) InspectionData {
	q := someQuote(rest)
	at := time.Date(2031, 3, 3, 10, 0, 0, 0, time.UTC)
	d := InspectionData{Shop: q.Shop, Job: q.Job, Client: q.Client, AsOf: at, Names: true, Thumbs: map[domain.ID][]byte{}}
	d.Job.Currency, d.Job.AuthorisedAmount = "EUR", dec("1000")
	for i, kind := range []domain.ZoneKind{domain.Rail, domain.Rail, domain.Crossmember, domain.Mount} {
		z := domain.Zone{ID: fmt.Sprint("z", i), Name: fmt.Sprintf("ZONE%d%s", i, rest), Kind: kind, VisiblePercent: 60,
			Section: domain.Section{Shape: "box", WidthMM: 80, HeightMM: 120, ThicknessMM: dec("2.5")},
			Plan:    []domain.ZonePlan{bar(-500, -400, 2500, -450, 80), bar(-500, 400, 2500, 450, 80), bar(1000, -420, 1000, 420, 120), bar(1800, 500, 1800, 500, 90)}[i]}
		d.Zones = append(d.Zones, z)
	}
	grades := []domain.Condition{domain.Perforated, domain.Patched, domain.Hidden}
	for i, g := range grades {
		d.Observations = append(d.Observations, domain.Observation{ZoneID: fmt.Sprint("z", i), Moment: domain.Stripped, Condition: g})
	}
	for i := range 3 {
		f := domain.Finding{ID: fmt.Sprint("f", i), Number: i + 1, ZoneID: fmt.Sprint("z", i%2), What: domain.FoundPerforation, Condition: domain.Perforated,
			LengthMM: 140, WidthMM: 60, Count: 1, Note: fmt.Sprintf("NOTE%d%s", i, rest), State: domain.FindingSent, ByName: "REPORTER" + rest, At: at}
		for p := range 4 {
			id := fmt.Sprintf("p%d%d", i, p)
			f.PhotoIDs = append(f.PhotoIDs, id)
			d.Thumbs[id] = drawnPhoto(480, 360, uint8(20*i+50*p))
		}
		d.Findings = append(d.Findings, f)
	}
	sent := at
	d.Orders = []domain.ChangeOrder{{Number: 7, Title: "ORDER" + rest, State: domain.OrderSent, SentAt: &sent, Items: []domain.OrderItem{{Key: "i", Title: "ITEM" + rest, IfNot: "IFNOT" + rest,
		Options: []domain.OrderOption{{Key: "a", Name: "OPTIONA" + rest}, {Key: "b", Name: "OPTIONB" + rest}}}},
		Effect: domain.OrderEffect{Currency: "EUR", Choices: []domain.Choice{{ItemKey: "i", OptionKey: "a"}},
			Options: []domain.OptionEffect{{ItemKey: "i", OptionKey: "a", Amount: dec("1200"), Days: 3}, {ItemKey: "i", OptionKey: "b", Amount: dec("84.5"), Days: 1}}}}}
	return d
}

func someJobCard(rest string) JobCardData {
	q := someQuote(rest)
	released := time.Date(2031, 3, 1, 9, 0, 0, 0, time.UTC)
	d := JobCardData{Shop: q.Shop, Job: q.Job, Phase: domain.Phase{ID: "p", Name: "PHASE" + rest, Position: 2}, AsOf: released.AddDate(0, 0, 2)}
	d.Shop.Settings.Stations = []domain.Station{{Key: "bay", Name: "BAY" + rest}}
	d.Job.Cautions = map[string]string{"hot": "HOTWORK" + rest}
	hours := domain.ThreePoint{Low: dec("1"), Likely: dec("2"), High: dec("3")}
	d.Tasks = []domain.Task{
		{ID: "t1", Name: "TASK1" + rest, Note: "WHY1" + rest, Kind: domain.Work, Hours: hours, Skill: "welder", Crew: 2, Station: "bay", Cautions: []string{"hot"}, Floor: domain.Floor{Helpers: []domain.Helper{{Skill: "lifter", Count: 3}}}},
		{ID: "t2", Name: "TASK2" + rest, Kind: domain.Cure, ElapsedHours: dec("24"), Cautions: []string{"hot", "unknown_key"}},
		{ID: "t3", Name: "TASK3" + rest, Kind: domain.Hold, HoldPoint: "LOOK" + rest, ReleasedAt: &released, ReleasedBy: "RELEASER" + rest},
		{ID: "t4", Name: "TASK4" + rest, Kind: domain.Sublet, LeadDays: 5, Scope: domain.Outside},
	}
	d.Lines = []domain.Line{{Description: "STEEL" + rest, Quantity: dec("2.5"), Unit: "m2", TaskID: "t1", UnitCost: dec("77.1919"), MarkupPercent: dec("31.1717")}}
	return d
}

func someStopNow(rest string) StopNowData {
	q := someQuote(rest)
	euro, err := money.ParseCurrency("EUR")
	if err != nil {
		panic(err)
	}
	amount := func(text string) money.Amount {
		a, err := money.Parse(text, euro)
		if err != nil {
			panic(err)
		}
		return a
	}
	d := StopNowData{Shop: q.Shop, Job: q.Job, Client: q.Client, AsOf: time.Date(2031, 3, 3, 10, 0, 0, 0, time.UTC), Authorised: amount("9000.00"), Check: "CHECK" + rest}
	d.Job.Currency = "EUR"
	d.Bill = billing.StopNowResult{Words: []string{"HOW" + rest}}
	d.Bill.Net, d.Bill.Tax, d.Bill.Total, d.Bill.Paid, d.Bill.Balance = amount("1000.00"), amount("200.00"), amount("1200.00"), amount("1500.00"), amount("-300.00")
	return d
}

func someOrder(rest string) OrderData {
	d := someInspection(rest)
	at := d.AsOf
	o := d.Orders[0]
	o.Kind, o.Reason, o.CreatedAt, o.SentBy, o.DocumentHash = domain.FromInspection, "REASON"+rest, at, "SENDER"+rest, "abc123"
	o.Items[0].FindingIDs = []domain.ID{"f0"}
	o.Effect.Amount, o.Effect.Net, o.Effect.Tax, o.Effect.AuthorisedBefore = dec("1200"), dec("1000"), dec("200"), dec("5000")
	o.Effect.Dates = domain.DateEffect{FinishBefore: "2031-05-05", FinishAfter: "2031-05-08", Days: 3, PromiseBefore: "2031-05-05", PromiseAfter: "2031-05-08", Why: "WHY" + rest}
	o.Decision = &domain.OrderDecision{Approved: true, How: domain.ByPortal, Name: "DECIDER" + rest, Signature: "SIGNED" + rest, DecidedAt: at, RecordedAt: at, RecordedBy: "PORTAL",
		Amount: dec("1200"), RevisedTotal: dec("6200"), Choices: o.Effect.Choices}
	findings := map[domain.ID]domain.Finding{"f0": d.Findings[0]}
	return OrderData{Shop: d.Shop, Job: d.Job, Client: d.Client, Order: o, Findings: findings, Zones: map[domain.ID]string{"z0": "ZONE0" + rest}}
}

// documents are one of every kind.
func documents(t testing.TB, rest string) map[string]Sheet {
	t.Helper()
	quote, err := Quote(someQuote(rest))
	if err != nil {
		t.Fatal(err)
	}
	order, err := Order(someOrder(rest))
	if err != nil {
		t.Fatal(err)
	}
	inspection, err := Inspection(someInspection(rest))
	if err != nil {
		t.Fatal(err)
	}
	return map[string]Sheet{"quote": quote, "order": order, "inspection": inspection, "job card": JobCard(someJobCard(rest)), "stop now": StopNow(someStopNow(rest))}
}
