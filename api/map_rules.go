package api

import (
	"strings"

	"bareframe/internal/app"
	"bareframe/internal/method"
)

func ruleSaid(r app.RuleStanding) RuleSaid {
	out := RuleSaid{Key: r.Key, Name: r.Name, Stage: WorkStage(r.Stage), Makes: RuleSaidMakes(r.Makes), Task: r.Task, Material: r.Material,
		Sentence: r.Sentence, Note: r.Note, Source: r.Source, Origin: RuleSaidOrigin(r.Origin)}
	if r.Origin == method.Changed {
		began := methodRule(r.Began)
		out.Began = &began
	}
	return out
}

func ruleQuantity(m method.Measure) RuleQuantity {
	return RuleQuantity{Key: m.Name, Name: m.Words, Unit: m.Unit}
}

// rulePointer is a pointer into a stored plan as one into the plan of the contract,
// which holds the rules without what surrounds them.
func rulePointer(stored string) string {
	return strings.Replace(stored, "/plan/methods/rules", "/plan/rules", 1)
}

func methodRule(r method.Rule) MethodRule {
	out := MethodRule{Key: r.Key, Name: r.Name, Stage: WorkStage(r.Stage), Makes: MethodRuleMakes(r.Makes), Task: r.Task, Material: r.Material,
		Unit: r.Unit, Fixed: r.Fixed, Each: r.Each, Note: r.Note, Source: r.Source,
		For: MethodFor{Kinds: plainTexts(r.For.Kinds), Sides: plainTexts(r.For.Sides), Zones: plainTexts(r.For.Zones),
			Conditions: plainTexts(r.For.Conditions), Finishes: plainTexts(r.For.Finishes), Methods: plainTexts(r.For.Methods)},
		Parts: each(r.Parts, func(p method.Part) MethodPart { return MethodPart{Factors: each(p.Factors, methodFactor)} })}
	if r.Spread != nil {
		out.Spread = &MethodSpread{Low: r.Spread.Low, High: r.Spread.High}
	}
	return out
}

func methodFactor(f method.Factor) MethodFactor {
	table := map[string]string{}
	for key, text := range f.Table {
		table[key] = text
	}
	return MethodFactor{Of: f.Of, OfRule: f.OfRule, Times: f.Times, Per: f.Per, Unit: f.Unit, By: string(f.By), Table: table, Other: f.Other}
}

// methodRuleFrom leaves out what is empty, as data files do.
func methodRuleFrom(r MethodRule) method.Rule {
	out := method.Rule{Key: r.Key, Name: r.Name, Stage: method.Stage(r.Stage), Makes: method.Makes(r.Makes), Task: r.Task, Material: r.Material,
		Unit: r.Unit, Fixed: r.Fixed, Each: r.Each, Note: r.Note, Source: r.Source,
		For: method.For{Kinds: wordsFrom[method.Kind](r.For.Kinds), Sides: wordsFrom[method.Side](r.For.Sides), Zones: wordsFrom[string](r.For.Zones),
			Conditions: wordsFrom[method.Condition](r.For.Conditions), Finishes: wordsFrom[method.Finish](r.For.Finishes), Methods: wordsFrom[string](r.For.Methods)}}
	for _, p := range r.Parts {
		out.Parts = append(out.Parts, method.Part{Factors: each(p.Factors, methodFactorFrom)})
	}
	if r.Spread != nil {
		out.Spread = &method.Spread{Low: r.Spread.Low, High: r.Spread.High}
	}
	return out
}

func methodFactorFrom(f MethodFactor) method.Factor {
	out := method.Factor{Of: f.Of, OfRule: f.OfRule, Times: f.Times, Per: f.Per, Unit: f.Unit, By: method.By(f.By), Other: f.Other}
	if len(f.Table) > 0 {
		out.Table = f.Table
	}
	return out
}

func plainTexts[T ~string](words []T) []string {
	return each(words, func(w T) string { return string(w) })
}

func wordsFrom[T ~string](words []string) []T {
	if len(words) == 0 {
		return nil
	}
	return each(words, func(w string) T { return T(w) })
}
