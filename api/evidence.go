package api

import (
	"bareframe/internal/app"
	"bareframe/internal/domain"
)

// evidenceView shows what proves a refusal in the contract's own shapes, so
// that a screen can put the stored version beside the one it sent.
func evidenceView(evidence any) any {
	switch e := evidence.(type) {
	case app.JobPage:
		return jobPage(e)
	case app.TemplatePage:
		return templateDetail(e)
	case app.FoundPage:
		return findingView(e)
	case domain.Person:
		return personView(e)
	case app.OrderPage:
		return orderView(e)
	case app.EffectNow:
		if e.Client {
			return clientEffect(e.Effect)
		}
		return effectView(e.Effect)
	case app.SelectionNow:
		return clientSelection(e.Selection)
	case app.ShopNow:
		return shopView(e.Shop)
	case app.CalendarNow:
		return calendarView(e.Shop, nil)
	case app.PriceBookNow:
		return priceBookView(e.Book, e.Version, e.On)
	case app.SheetNow:
		return sheetView(e.SheetPage)
	case app.RulesNow:
		return shopRulesView(e.ShopRules)
	case app.EntriesNow:
		out := make([]HoursEntry, len(e))
		for i, entry := range e {
			out[i] = hoursEntry(app.LoggedEntry{Entry: entry})
		}
		return out
	}
	return evidence
}
