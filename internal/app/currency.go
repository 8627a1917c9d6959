package app

import (
	"fmt"
	"slices"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/money"
)

// ratesStand refuses rates of days to come, and rates that were against another
// currency than the shop now has.
func ratesStand(before, after domain.ShopSettings, today domain.Day) error {
	var c fault.Collector
	for i, x := range after.Currencies {
		if x.On > today {
			c.Add(fmt.Sprintf("/currencies/%d/on", i), "A rate is of a day that has come; today is %s.", today)
		}
		kept := slices.ContainsFunc(before.Currencies, func(o domain.ShopCurrency) bool { return o.Code == x.Code && o.Rate.Equal(x.Rate) })
		if after.Currency != before.Currency && kept {
			c.Add(fmt.Sprintf("/currencies/%d/rate", i), "This rate is for one %s; say it for one %s.", before.Currency, after.Currency)
		}
	}
	return c.Err("shop-settings-invalid")
}

// inCurrency is a template's plan with the prices that stand in it in a job's
// currency. Those of the price book are converted with the book.
func inCurrency(plan domain.TemplatePlan, job domain.Job) domain.TemplatePlan {
	plan.Lines = slices.Clone(plan.Lines)
	for i := range plan.Lines {
		plan.Lines[i].UnitCost = money.ConvertPrice(plan.Lines[i].UnitCost, job.Rate())
	}
	return plan
}
