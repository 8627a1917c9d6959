package app_test

import (
	"reflect"
	"testing"

	"bareframe/internal/domain"
)

// fileFields says of every field of what a job consists of whether a job file
// carries it, and why not. A field that is new has no row: carry it in
// internal/jobfile and raise its version, or say here why it stays.
var fileFields = map[reflect.Type]map[string]string{
	reflect.TypeFor[domain.Job](): {
		"Title": "", "TemplateName": "", "FrameName": "", "VehicleOptions": "", "Cautions": "", "Vehicle": "", "NotBefore": "", "Currency": "",
		"ID": "fresh", "Version": "fresh", "Number": "fresh, shown as source", "State": "an enquiry again, shown as source", "ClientID": "chosen by the reader",
		"TemplateID": "found by its repair list", "Promise": "was made by the other shop", "CreatedAt": "fresh", "ExchangeRate": "the receiving shop's", "RateOn": "so", "SheetID": "the receiving shop's", "SheetVersion": "so", "AcceptedQuoteID": "history", "AuthorisedAmount": "history",
		"Weight": "the receiving shop's own judgement", "Finish": "rules are the receiving shop's; hours come as figures", "Ways": "so"},
	reflect.TypeFor[domain.Vehicle](): {"Make": "", "Model": "", "Year": "", "Serial": "", "Options": ""},
	reflect.TypeFor[domain.Phase]():   {"Key": "", "Name": "", "Position": "by order", "ID": "fresh", "JobID": "fresh"},
	reflect.TypeFor[domain.Option]():  {"Group": "", "Name": "", "Note": "", "Taken": "", "Points": "", "Position": "by order", "ID": "fresh", "JobID": "fresh"},
	reflect.TypeFor[domain.Task](): {
		"PhaseID": "", "Code": "", "Name": "", "Note": "", "Kind": "", "Hours": "", "ElapsedHours": "", "LeadDays": "", "Skill": "", "Crew": "", "Station": "", "Zone": "",
		"Cautions": "", "HoldPoint": "", "StripGate": "", "AllowanceLineID": "", "TaxClass": "", "NotBefore": "", "FinishBy": "", "OptionID": "", "Floor": "", "Arrives": "orders stay", "Position": "by order",
		"ID": "fresh", "JobID": "fresh", "Scope": "nothing is agreed yet", "OrderID": "history", "OpenedBy": "history", "OpenedAt": "history", "OpenedAs": "history",
		"ReleasedBy": "history", "ReleasedAt": "history", "ReleaseNote": "history", "Follows": "hours come as the other shop's rules made them"},
	reflect.TypeFor[domain.Link](): {"FromID": "", "ToID": "", "Type": "", "LagHours": "", "LagKind": "", "MaxLagHours": "", "ID": "fresh", "JobID": "fresh", "Bridge": "worked out"},
	reflect.TypeFor[domain.Line](): {
		"PhaseID": "", "TaskID": "", "Kind": "", "Description": "", "Quantity": "", "Unit": "", "UnitCost": "", "MarkupPercent": "", "WastePercent": "", "DiscountPercent": "",
		"TaxClass": "", "OptionID": "", "PriceItem": "", "Position": "by order", "ID": "fresh", "JobID": "fresh", "Scope": "nothing is agreed yet", "OrderID": "history", "Follows": "so is the quantity"},
	reflect.TypeFor[domain.Zone](): {"Code": "", "Name": "", "Kind": "", "Side": "", "Section": "", "LengthMM": "", "AreaM2": "", "VisiblePercent": "", "Plan": "",
		"Position": "by order", "ID": "fresh", "JobID": "fresh", "Finish": "as the job's", "Ways": "as the job's"},
	reflect.TypeFor[domain.Observation](): {"ZoneID": "", "Moment": "", "Condition": "", "LengthMM": "", "WidthMM": "", "Note": "", "At": "",
		"ID": "fresh", "JobID": "fresh", "PhotoIDs": "photos stay", "By": "people stay", "ByName": "people stay", "VoidedAt": "what was voided stays", "VoidedBy": "so", "VoidReason": "so"},
}

func TestEveryFieldOfAJobIsCarriedOrStaysForAReason(t *testing.T) {
	for typ, fields := range fileFields {
		for i := range typ.NumField() {
			if _, known := fields[typ.Field(i).Name]; !known {
				t.Errorf("domain.%s has the field %s, of which nobody said whether a job file carries it; see fileFields", typ.Name(), typ.Field(i).Name)
			}
		}
		if len(fields) != typ.NumField() {
			t.Errorf("domain.%s has %d fields, %d are named in fileFields", typ.Name(), typ.NumField(), len(fields))
		}
	}
}
