package domain

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"bareframe/internal/fault"
	"bareframe/internal/wording"
)

// TextKey names a text that a shop can word itself.
type TextKey string

// The texts of a shop.
const (
	QuoteOpening      TextKey = "quote_opening"
	QuoteClosing      TextKey = "quote_closing"
	OrderOpening      TextKey = "order_opening"
	InspectionOpening TextKey = "inspection_opening"
	LetterOpening     TextKey = "letter_opening"
	LetterClosing     TextKey = "letter_closing"
	QuoteMailSubject  TextKey = "quote_mail_subject"
	QuoteMailBody     TextKey = "quote_mail_body"
	OrderMailSubject  TextKey = "order_mail_subject"
	OrderMailBody     TextKey = "order_mail_body"
	JobCardCaution    TextKey = "job_card_caution"
	TermsText         TextKey = "terms" // kept as ShopSettings.Terms
)

// MostText bounds a text, in characters; MostSubject the subject of a mail.
const (
	MostText    = 4000
	MostSubject = 160
)

// ShopText is a text as the shop worded it.
type ShopText struct {
	Key  TextKey `json:"key"`
	Text string  `json:"text"`
}

// TextVariable is what a text can speak of.
type TextVariable struct{ Name, Means string }

// TextKind is one text that a shop can word: where it stands, what it can speak
// of, and how it reads until the shop words it.
type TextKind struct {
	Key       TextKey
	Name      string
	Where     string
	OneLine   bool
	Needed    bool // cannot be empty
	Default   string
	Variables []TextVariable
}

// Names are the names of the variables.
func (k TextKind) Names() []string {
	out := make([]string, len(k.Variables))
	for i, v := range k.Variables {
		out[i] = v.Name
	}
	return out
}

// Faults says in sentences why a text cannot stand.
func (k TextKind) Faults(text string) []string {
	most := MostText
	if k.OneLine {
		most = MostSubject
	}
	switch {
	case utf8.RuneCountInString(text) > most:
		return []string{fmt.Sprintf("A text has at most %d characters here.", most)}
	case k.OneLine && strings.ContainsAny(text, "\r\n"):
		return []string{"This is one line."}
	case k.Needed && strings.TrimSpace(text) == "":
		return []string{"A mail needs this; leave the text that stood here, or write your own."}
	}
	return wording.Problems(text, k.Names())
}

var (
	textWho = []TextVariable{{"client", "the client's name"}}
	textJob = []TextVariable{{"vehicle", "year, make and model"}, {"serial", "serial number of the vehicle"}, {"job number", "number of the job"}, {"job title", "what the job is called"},
		{"shop name", "name of the shop"}, {"shop address", "address of the shop"}, {"today", "the day on which it is written"}}
	textPromise = []TextVariable{{"promise", "the day by which it is finished"}}
	textQuote   = []TextVariable{{"quote number", "job number and revision"}, {"revision", "revision of the quote"}, {"expiry", "the last day on which it holds"}, {"start", "the day on which work starts"}}
	textMoney   = []TextVariable{{"total", "to pay in all, tax included"}, {"tax", "tax in the total"}, {"deposit", "the deposit"}}
	textOrder   = []TextVariable{{"order number", "number of the change order"}, {"order title", "what the order is called"}, {"expiry", "the last day on which it can be answered"}}
	textLetter  = []TextVariable{{"forecast", "the day on which the work is finished as it looks today"}}
	textPhase   = []TextVariable{{"phase", "the phase that the card is for"}}
)

// textKinds: mails and job cards cannot speak of money, which stays in the portal
// and off the bench.
var textKinds = []TextKind{
	{Key: QuoteOpening, Name: "Quote, opening", Where: "Stands first in a quote, above the figures.", Variables: slices.Concat(textWho, textJob, textQuote, textPromise, textMoney),
		Default: "Thank you for showing us your ~vehicle~. Here is what we would do to it, for how much, and by when."},
	{Key: QuoteClosing, Name: "Quote, closing", Where: "Stands at the end of a quote, above the terms.", Variables: slices.Concat(textWho, textJob, textQuote, textPromise, textMoney),
		Default: "If anything in here is not clear, ask us before you decide."},
	{Key: TermsText, Name: "Terms", Where: "Stand in every quote.", Variables: slices.Concat(textWho, textJob, textQuote, textPromise, textMoney)},
	{Key: OrderOpening, Name: "Change order, opening", Where: "Stands first in a change order.", Variables: slices.Concat(textWho, textJob, textOrder, textPromise),
		Default: "The work on your ~vehicle~ has come to a point that needs your word."},
	{Key: InspectionOpening, Name: "Inspection, opening", Where: "Stands first in the report of an inspection.", Variables: slices.Concat(textWho, textJob, textPromise),
		Default: "This is what we found on your ~vehicle~, and how we judge it today."},
	{Key: LetterOpening, Name: "Progress letter, opening", Where: "Begins the draft of each progress letter.", Variables: slices.Concat(textWho, textJob, textPromise, textLetter), Default: "Dear ~client~,"},
	{Key: LetterClosing, Name: "Progress letter, closing", Where: "Ends the draft of each progress letter.", Variables: slices.Concat(textWho, textJob, textPromise, textLetter), Default: "Kind regards,\n~shop name~"},
	{Key: QuoteMailSubject, Name: "Mail with a quote, subject", Where: "Subject of the mail that says a quote waits.", OneLine: true, Needed: true, Variables: slices.Concat(textWho, textJob, textQuote, textPromise), Default: "Quote ~quote number~"},
	{Key: QuoteMailBody, Name: "Mail with a quote, text", Where: "Text of that mail; where to read the quote follows by itself.", Needed: true, Variables: slices.Concat(textWho, textJob, textQuote, textPromise),
		Default: "Quote ~quote number~ for your ~vehicle~ waits for your decision. It holds until ~expiry~."},
	{Key: OrderMailSubject, Name: "Mail with a change order, subject", Where: "Subject of the mail that says a change order waits.", OneLine: true, Needed: true, Variables: slices.Concat(textWho, textJob, textOrder, textPromise), Default: "Change order ~order number~: ~order title~"},
	{Key: OrderMailBody, Name: "Mail with a change order, text", Where: "Text of that mail; where to read the order follows by itself.", Needed: true, Variables: slices.Concat(textWho, textJob, textOrder, textPromise),
		Default: "Change order ~order number~ for your ~vehicle~ waits for your decision: ~order title~. It holds until ~expiry~.\n\nNothing of it is done before you have decided."},
	{Key: JobCardCaution, Name: "Job card, your own caution", Where: "Stands under the cautions of every job card, besides the program's own.", Variables: slices.Concat(textJob, textPhase),
		Default: "Where the car, the steel or the tool is not as this card says, stop and ask."},
}

// TextKinds lists the texts in the order in which screens show them.
func TextKinds() []TextKind { return slices.Clone(textKinds) }

// TextKindOf finds a text by its key.
func TextKindOf(key TextKey) (TextKind, bool) {
	i := slices.IndexFunc(textKinds, func(k TextKind) bool { return k.Key == key })
	if i < 0 {
		return TextKind{}, false
	}
	return textKinds[i], true
}

// Text is a text as the shop worded it, else as it reads by default.
func (s ShopSettings) Text(key TextKey) string {
	if key == TermsText {
		return s.Terms
	}
	if i := slices.IndexFunc(s.Texts, func(t ShopText) bool { return t.Key == key }); i >= 0 {
		return s.Texts[i].Text
	}
	kind, _ := TextKindOf(key)
	return kind.Default
}

// OwnTexts are the texts that read otherwise than by default.
func (s ShopSettings) OwnTexts() []ShopText {
	return slices.DeleteFunc(slices.Clone(s.Texts), func(t ShopText) bool {
		kind, _ := TextKindOf(t.Key)
		return t.Text == kind.Default
	})
}

func (s ShopSettings) textFaults(c *fault.Collector) {
	for i, t := range s.Texts {
		at := fmt.Sprintf("/texts/%d", i)
		kind, ok := TextKindOf(t.Key)
		if !ok || t.Key == TermsText {
			c.Add(at+"/key", "There is no text %q.", string(t.Key))
			continue
		}
		if slices.ContainsFunc(s.Texts[:i], func(o ShopText) bool { return o.Key == t.Key }) {
			c.Add(at+"/key", "%s stands twice.", kind.Name)
		}
		for _, reason := range kind.Faults(t.Text) {
			c.Add(at+"/text", "%s", reason)
		}
	}
	terms, _ := TextKindOf(TermsText)
	for _, reason := range terms.Faults(s.Terms) {
		c.Add("/terms", "%s", reason)
	}
}
