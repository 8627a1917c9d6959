package app

import (
	"cmp"
	"context"
	"slices"
	"strings"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/policy"
	"bareframe/internal/pricing/localrules"
)

// byCode sorts rule sets, so that lists come in one order.
func byCode(rules []localrules.RuleSet) []localrules.RuleSet {
	out := slices.Clone(rules)
	slices.SortFunc(out, func(a, b localrules.RuleSet) int { return cmp.Compare(a.Code, b.Code) })
	return out
}

// RuleSets lists the rule sets on consent that a shop can choose from.
func (a *App) RuleSets(_ context.Context, actor domain.Actor) ([]localrules.RuleSet, error) {
	return slices.Clone(a.rules), policy.Allow(actor, "listRuleSets")
}

// ruleOf returns the rule set that a shop goes by, with its own figures in it.
func (a *App) ruleOf(rules domain.ShopRules) (localrules.RuleSet, error) {
	i := slices.IndexFunc(a.rules, func(r localrules.RuleSet) bool { return r.Code == rules.RuleSet })
	if i < 0 {
		return localrules.RuleSet{}, fault.InvalidField("rule-set-not-found", "/rule_set", "There is no rule set %q; choose another.", rules.RuleSet)
	}
	rule, err := localrules.With(a.rules[i], rules.Overrides)
	return rule, figurePointers(err)
}

// figurePointers names the fields of a rule set as the shop's own figures.
func figurePointers(err error) error {
	e := fault.As(err)
	if e == nil {
		return err
	}
	c := *e
	c.Fields = slices.Clone(e.Fields)
	for i := range c.Fields {
		c.Fields[i].Pointer = "/overrides" + strings.TrimPrefix(c.Fields[i].Pointer, "/consent")
	}
	return &c
}

// consentRule returns the rule set of the shop at hand. It decides when consent
// is due and what the record of a decision must name.
func (w *work) consentRule() (localrules.RuleSet, error) {
	shop, err := w.Shop()
	if err != nil {
		return localrules.RuleSet{}, err
	}
	return w.app.ruleOf(shop.GoesBy())
}

// ShopRules is a shop's choice with the rule set that follows from it.
type ShopRules struct {
	Version int
	Chosen  domain.ShopRules
	Rule    localrules.RuleSet
}

// RulesNow is the evidence of a stale edit: the rules that are stored now.
type RulesNow struct{ ShopRules }

func (a *App) shopRules(shop domain.Shop) (ShopRules, error) {
	rule, err := a.ruleOf(shop.GoesBy())
	return ShopRules{Version: shop.RulesVersion, Chosen: shop.GoesBy(), Rule: rule}, err
}

// ShopRules returns the rules that the shop goes by.
func (a *App) ShopRules(ctx context.Context, actor domain.Actor) (out ShopRules, err error) {
	err = a.view(ctx, actor, "getShopRules", func(r Reader) error {
		shop, err := r.Shop()
		if err != nil {
			return err
		}
		out, err = a.shopRules(shop)
		return err
	})
	return out, err
}

// ChangeShopRules chooses a rule set and the shop's own figures. What was quoted
// keeps the terms of stopping that it was quoted with.
func (a *App) ChangeShopRules(ctx context.Context, actor domain.Actor, made Precondition, rules domain.ShopRules) (out ShopRules, err error) {
	err = a.change(ctx, actor, "changeShopRules", func(w *work) error {
		shop, err := w.Shop()
		if err != nil {
			return err
		}
		// The rule that is stored may have gone from the program, and then only
		// this change mends it.
		now := ShopRules{Version: shop.RulesVersion, Chosen: shop.GoesBy()}
		now.Rule, _ = a.ruleOf(now.Chosen)
		if err := made.check(shop.RulesVersion, RulesNow{now}); err != nil {
			return err
		}
		if err := rules.Validate(shop.Settings.Currency); err != nil {
			return err
		}
		shop.Rules = rules
		shop.RulesVersion++
		if out, err = a.shopRules(shop); err != nil {
			return err
		}
		if err := w.SaveShop(shop); err != nil {
			return err
		}
		w.events = append(w.events, Event{ShopID: shop.ID, What: "shop"})
		return w.trail("rules "+shop.ID, "", now.Chosen, rules)
	})
	if err == nil {
		a.watches.forgetAll() // the warning moved
	}
	return out, err
}

// Authorisers is who can authorise on a job: its client, then those named.
type Authorisers struct {
	Client domain.Person
	Named  []domain.Authoriser
}

func authorisersOf(r Reader, job domain.Job) (out Authorisers, err error) {
	if out.Client, err = r.Person(job.ClientID); err != nil {
		return out, err
	}
	out.Named, err = r.Authorisers(job.ID)
	return out, err
}

// May reports whether somebody of a name can authorise now. Names are the same
// whatever their capitals and blanks.
func (a Authorisers) May(name string) bool {
	if sameName(a.Client.Name, name) {
		return true
	}
	return slices.ContainsFunc(a.Named, func(n domain.Authoriser) bool { return n.Stands() && sameName(n.Name, name) })
}

func sameName(a, b string) bool {
	one, other := strings.Join(strings.Fields(a), " "), strings.Join(strings.Fields(b), " ")
	return one != "" && strings.EqualFold(one, other)
}

// Authorisers lists who can authorise on a job.
func (a *App) Authorisers(ctx context.Context, actor domain.Actor, jobID domain.ID) (out Authorisers, err error) {
	err = a.view(ctx, actor, "listAuthorisers", func(r Reader) error {
		job, err := r.Job(jobID)
		if err != nil {
			return err
		}
		out, err = authorisersOf(r, job)
		return err
	})
	return out, err
}

// mostAuthorisers bounds who can decide on one job at a time.
const mostAuthorisers = 20

// NameAuthoriser names a second person who can authorise for the client.
func (a *App) NameAuthoriser(ctx context.Context, actor domain.Actor, jobID domain.ID, key string, named domain.Authoriser) (Authorisers, error) {
	_, err := once(ctx, a, actor, "nameAuthoriser", key, []any{jobID, named}, func(w *work) (domain.ID, error) {
		job, err := w.Job(jobID)
		if err != nil {
			return "", err
		}
		all, err := authorisersOf(w, job)
		if err != nil {
			return "", err
		}
		if all.May(named.Name) {
			return "", fault.InvalidField("authoriser-named", "/name", "%s can authorise already.", named.Name)
		}
		if len(all.Named) >= mostAuthorisers {
			return "", fault.New(fault.Conflict, "too-many-authorisers", "At most %d people are named on one job.", mostAuthorisers)
		}
		named.ID, named.JobID, named.AddedAt, named.AddedBy = a.newID(), jobID, w.now, actor.Name
		if err := w.AddAuthoriser(named); err != nil {
			return "", err
		}
		w.tell(job, "job")
		return named.ID, w.trail("authoriser "+named.ID, jobID, nil, map[string]string{"name": named.Name, "contact": named.Contact, "note": named.Note})
	})
	if err != nil {
		return Authorisers{}, err
	}
	return a.Authorisers(ctx, actor, jobID)
}

// EndAuthoriser says that somebody who was named can authorise no longer.
func (a *App) EndAuthoriser(ctx context.Context, actor domain.Actor, id domain.ID, key, reason string) (Authorisers, error) {
	jobID, err := once(ctx, a, actor, "endAuthoriser", key, []string{id, reason}, func(w *work) (domain.ID, error) {
		named, err := w.Authoriser(id)
		if err != nil {
			return "", err
		}
		if !named.Stands() {
			return "", fault.New(fault.Conflict, "authoriser-ended", "%s cannot authorise any more.", named.Name)
		}
		job, err := w.Job(named.JobID)
		if err != nil {
			return "", err
		}
		named.EndedAt, named.EndedBy, named.EndReason = &w.now, actor.Name, reason
		if err := w.EndAuthoriser(named); err != nil {
			return "", err
		}
		w.tell(job, "job")
		return job.ID, w.trail("authoriser "+id, job.ID, map[string]string{"name": named.Name}, map[string]string{"ended": reason})
	})
	if err != nil {
		return Authorisers{}, err
	}
	return a.Authorisers(ctx, actor, jobID)
}
