package calendar

import (
	"testing"
	"time"
)

func TestSmoke(t *testing.T) {
	c, err := New(Spec{TimeZone: "Europe/Berlin", Week: map[string][]Interval{"monday": {{"08:00", "12:00"}, {"12:30", "16:30"}}, "friday": {{"08:00", "12:00"}, {"12:30", "16:30"}}}})
	if err != nil {
		t.Fatal(err)
	}
	f := time.Date(2026, 11, 20, 15, 0, 0, 0, c.Location())
	g := c.Add(f, 600)
	t.Log(g, c.Add(g, -600), c.Between(f, g), c.NextOpen(g), c.PrevOpen(f))
}
