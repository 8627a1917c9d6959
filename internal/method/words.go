package method

import "strings"

// TakeoffQuantities are the quantities of a takeoff by their fixed names, with
// how they are said, for the coats of a shop by key and name.
func TakeoffQuantities(coats ...Named) []Measure {
	all := []Measure{
		{"length", "length", "m"},
		{"outer_area", "outer surface", "m2"},
		{"inner_area", "inner surface", "m2"},
		{"cavity_volume", "cavity volume", "l"},
		{"steel_weight", "weight of the steel", "kg"},
		{"edge_length", "free edges", "m"},
		{"blast_area", "surface reached from outside", "m2"},
		{"blast_time", "blasting time", "h"},
		{"media_weight", "blast media", "kg"},
		{"patch_count", "patches", "pc"},
		{"patch_area", "sheet in patches", "m2"},
		{"patch_weight", "weight of the patches", "kg"},
		{"weld_length", "weld", "m"},
		{"weld_metal", "weld metal", "kg"},
		{"wire_weight", "welding wire", "kg"},
		{"gas_volume", "shielding gas", "l"},
		{"arc_time", "arc time", "h"},
		{"weld_time", "welding time", "h"},
		{"cavity_coating_volume", "cavity coating", "l"},
	}
	for _, c := range coats {
		all = append(all, Measure{"coat_area:" + c.Key, "surface under " + c.Name, "m2"}, Measure{"coat_volume:" + c.Key, "paint of " + c.Name, "l"},
			Measure{"thinner_volume:" + c.Key, "thinner of " + c.Name, "l"}, Measure{"wet_film:" + c.Key, "wet film of " + c.Name, "um"})
	}
	return all
}

// figure is a number with its unit.
func figure(text, unit string) string {
	if pure(unit) {
		return text
	}
	return text + " " + unit
}

func quoted(name string) string { return "“" + name + "”" }

// say is a quantity in words.
func (k Known) say(quantity string) string {
	for _, q := range k.Quantities {
		if q.Name == quantity && q.Words != "" {
			return q.Words
		}
	}
	return quantity
}

func (k Known) task(key string) string {
	for _, t := range k.Tasks {
		if t.Key == key && t.Name != "" {
			return t.Name
		}
	}
	return key
}

func (k Known) material(key string) string {
	for _, m := range k.Materials {
		if m.Key == key && m.Name != "" {
			return m.Name
		}
	}
	return key
}

func (l List) rule(key string) string {
	for _, rule := range l.Rules {
		if rule.Key == key && rule.Name != "" {
			return rule.Name
		}
	}
	return key
}

func (l List) method(s Stage, key string) string {
	for _, m := range l.Methods {
		if m.Stage == s && m.Key == key && m.Name != "" {
			return m.Name
		}
	}
	return key
}

func (l List) methods(s Stage) []string {
	var keys []string
	for _, m := range l.Methods {
		if m.Stage == s {
			keys = append(keys, m.Key)
		}
	}
	return keys
}

// short says a key of a table inside the table, where its kind was said.
func (l List) short(b By, key string, s Stage) string {
	switch b {
	case ByCondition:
		return strings.TrimPrefix(Condition(key).spoken(), "grade ")
	case ByMethod:
		return l.method(s, key)
	}
	return strings.ReplaceAll(key, "_", " ")
}

// long says a key of a table by itself: grade C, rail, as found.
func (l List) long(b By, key string, s Stage) string {
	switch {
	case key == "":
		return "no " + string(b)
	case b == ByCondition:
		return Condition(key).spoken()
	}
	return l.short(b, key, s)
}

// spoken is the condition as it is said: grade C, pitted.
func (c Condition) spoken() string {
	switch c {
	case GradeA, GradeB, GradeC, GradeD:
		return "grade " + string(c[0]-'a'+'A')
	}
	return string(c)
}

func (f Finish) spoken() string { return strings.ReplaceAll(string(f), "_", " ") }

func (k Kind) plural() string { return strings.ReplaceAll(string(k), "_", "-") + "s" }
