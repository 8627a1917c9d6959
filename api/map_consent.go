package api

import (
	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/pricing/localrules"
)

func ruleSetView(r localrules.RuleSet) RuleSet {
	return RuleSet{
		Code: r.Code, Name: r.Name, Place: r.Place, Source: r.Source, ReadOn: r.ReadOn, Note: r.Note, Check: r.Check,
		Shape: ConsentShape(r.Consent.Shape),
		Figures: RuleSetFigures{WrittenEstimateOver: textOrNil(r.WrittenEstimateOver), Amount: textOrNil(r.Consent.Amount),
			Percent: textOrNil(r.Consent.Percent), Cap: textOrNil(r.Consent.Cap), KeepRecordsYears: &r.KeepRecordsYears},
		RecordMustName: each(r.RecordMustName, func(f localrules.Field) RecordField { return RecordField(f) }),
	}
}

func shopRulesView(r app.ShopRules) ShopRules {
	o, stop := r.Chosen.Overrides, r.Chosen.Stopping
	return ShopRules{
		Version: r.Version, RuleSet: ruleSetView(r.Rule),
		Settings: ShopRulesDraft{RuleSet: r.Chosen.RuleSet,
			Overrides: RuleSetFigures{WrittenEstimateOver: o.WrittenEstimateOver, Amount: o.Amount, Percent: o.Percent, Cap: o.Cap,
				KeepRecordsYears: o.KeepRecordsYears},
			WarnPercent: plainText(r.Chosen.WarnPercent), Teardown: unitMoneyText(stop.Teardown), Reassembly: unitMoneyText(stop.Reassembly),
			StoragePerDay: unitMoneyText(stop.StoragePerDay), StorageFreeDays: stop.StorageFreeDays},
	}
}

func shopRulesFrom(d ShopRulesDraft) (domain.ShopRules, error) {
	var r reading
	o := d.Overrides
	return domain.ShopRules{RuleSet: d.RuleSet, WarnPercent: r.decimal("/warn_percent", d.WarnPercent),
		Overrides: localrules.Overrides{WrittenEstimateOver: o.WrittenEstimateOver, Amount: o.Amount, Percent: o.Percent, Cap: o.Cap,
			KeepRecordsYears: o.KeepRecordsYears},
		Stopping: domain.StopTerms{Teardown: r.decimal("/teardown", d.Teardown), Reassembly: r.decimal("/reassembly", d.Reassembly),
			StoragePerDay: r.decimal("/storage_per_day", d.StoragePerDay), StorageFreeDays: d.StorageFreeDays},
	}, r.err()
}

// authorisersView lists the client first, reached by telephone or by e-mail.
func authorisersView(a app.Authorisers) AuthoriserList {
	contact := a.Client.Phone
	if contact == "" {
		contact = a.Client.Email
	}
	out := AuthoriserList{Items: []Authoriser{{Name: a.Client.Name, Contact: contact, Client: true}}}
	for _, n := range a.Named {
		out.Items = append(out.Items, Authoriser{ID: &n.ID, Name: n.Name, Contact: n.Contact, Note: n.Note, AddedAt: instantOrNil(&n.AddedAt), EndedAt: instantOrNil(n.EndedAt)})
	}
	return out
}
