package api

import (
	"bareframe/internal/app"
	"bareframe/internal/domain"
)

// What a client sees of the frame names nobody of the shop, and holds neither
// hours nor repairs: what could be done, and for how much, comes in an order.

func clientFrame(p app.ClientFramePage) ClientFrame {
	return ClientFrame{
		Zones: each(p.Zones, zoneView),
		Observations: each(p.Observations, func(o domain.Observation) ClientObservation {
			return ClientObservation{ZoneID: o.ZoneID, Moment: SurveyMoment(o.Moment), Condition: SteelCondition(o.Condition), Note: o.Note,
				Photos: each(p.PhotosOf(o.PhotoIDs), clientPhoto), At: o.At.UTC()}
		}),
		Findings: each(p.Found, clientFinding),
	}
}

func clientPhoto(p domain.Photo) ClientPhoto {
	return ClientPhoto{ID: p.ID, Width: p.Width, Height: p.Height}
}

func clientFinding(p app.FoundPage) ClientFinding {
	f := p.Finding
	return ClientFinding{ID: f.ID, Number: f.Number, ZoneID: f.ZoneID, Zone: p.Zone, What: FindingWhat(f.What), Condition: conditionOrNil(f.Condition),
		LengthMm: millimetresOrNil(f.LengthMM), WidthMm: millimetresOrNil(f.WidthMM), Count: f.Count, Note: f.Note,
		Photos: each(p.Photos, clientPhoto), State: FindingState(f.State), Order: orderRefView(p.Order), At: f.At.UTC()}
}
