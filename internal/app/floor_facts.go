package app

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"slices"

	"bareframe/internal/calendar"
	"bareframe/internal/domain"
)

// facts is a sum over what a plan is made from, leaving out the clock: as long as
// it is the same, the plan still answers the floor as it is.
func (b *floorBase) facts() string {
	type jobFacts struct {
		ID       domain.ID
		Version  int
		Progress map[domain.ID]domain.TaskProgress
	}
	type personFacts struct {
		ID     domain.ID
		Skills []string
		Roster *domain.Roster
	}
	var all struct {
		Jobs     []jobFacts
		People   []personFacts
		Stations []domain.Station
		Calendar calendar.Spec
		Pins     []domain.FloorPin
		Expected map[domain.ID]domain.Day
		On       map[domain.ID][]domain.ID
	}
	for _, j := range b.jobs {
		all.Jobs = append(all.Jobs, jobFacts{j.ID, j.Version, b.progress[j.ID]})
	}
	for _, p := range b.people {
		all.People = append(all.People, personFacts{p.ID, p.Skills, p.Roster})
	}
	for _, id := range sortedKeys(b.pins) {
		all.Pins = append(all.Pins, b.pins[id])
	}
	all.Stations, all.Calendar, all.Expected, all.On = b.shop.Settings.Stations, b.shop.Calendar, b.expected, b.on
	body, err := json.Marshal(all)
	if err != nil {
		return "" // plain values always marshal
	}
	sum := sha256.Sum256(body)
	return hex.EncodeToString(sum[:])
}

func sortedKeys[V any](m map[domain.ID]V) []domain.ID {
	out := make([]domain.ID, 0, len(m))
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}
