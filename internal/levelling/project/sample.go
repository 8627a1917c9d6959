package project

import "bareframe/internal/levelling/search"

// Sample makes a schedule by chance: without delay when k is even, else serially. The
// chance of each candidate is the square of its latest start's distance from the
// latest among them (regret based biased random sampling, Drexl 1991, Kolisch 1995).
func (g *generator) Sample(src *search.Source, k int, into *search.Schedule) int {
	if k%2 == 0 {
		placed, _ := g.delayed(func(near []int32) int32 { return g.draw(src, near) }, 0, 1<<30, into)
		return placed
	}
	placed, _ := g.serial(g.order(src), 1<<30, into)
	return placed
}

// order draws an order of all activities.
func (g *generator) order(src *search.Source) []int32 {
	g.begin()
	g.drawn = g.drawn[:0]
	for len(g.ready) > 0 {
		i := g.draw(src, g.ready)
		g.drawn = append(g.drawn, i)
		g.free(i, nil)
	}
	return g.drawn
}

// draw picks one of the candidates.
func (g *generator) draw(src *search.Source, from []int32) int32 {
	least := int32(1 << 30)
	for _, i := range from {
		least = min(least, g.tail[i]-g.duration[i])
	}
	g.chance = g.chance[:0]
	total := 0.0
	for _, i := range from {
		c := float64(g.tail[i]-g.duration[i]-least) + 1
		total += c * c
		g.chance = append(g.chance, total)
	}
	at := src.Float() * total
	for x, c := range g.chance {
		if at < c {
			return from[x]
		}
	}
	return from[len(from)-1]
}
