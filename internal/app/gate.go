package app

import (
	"fmt"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/network"
)

// versionKey names one version of a job: every edit, release and opening moves
// it, so what was read or worked out for it cannot be stale.
type versionKey struct {
	job     domain.ID
	version int
}

// gate says for each task of a job what keeps hours off it; a task that is not
// in the map does not exist.
type gate map[domain.ID][]Block

// notTaken is the code of what belongs to an option that is not taken.
const notTaken = "option-not-taken"

// Block is one reason why hours may not go on a task.
type Block struct {
	Code   string
	Detail string
}

// gateOf works out what keeps hours off each task: scope, hold points before
// it that are not released, and waiting that nobody works. Nothing goes on what
// belongs to an option that is not taken.
func gateOf(job domain.Job, whole domain.Estimate) gate {
	g := make(gate, len(whole.Tasks))
	left, _ := whole.LeftOut()
	for _, t := range whole.Tasks {
		if left[t.ID] {
			g[t.ID] = []Block{{notTaken, fmt.Sprintf("%s belongs to an option that was not taken.", t.Describe())}}
		}
	}
	e := whole.InForce()
	ids := make([]string, len(e.Tasks))
	links := make([]network.Link, len(e.Links))
	for i, t := range e.Tasks {
		ids[i] = t.ID
	}
	for i, l := range e.Links {
		links[i] = network.Link{ID: l.ID, From: l.FromID, To: l.ToID, Type: l.Type}
	}
	for _, t := range e.Tasks {
		g[t.ID] = ownBlocks(job, t)
	}
	for _, hold := range e.Tasks {
		if !hold.Holds() || hold.ReleasedAt != nil {
			continue
		}
		for id := range network.Past(ids, links, hold.ID) {
			if t, ok := e.Task(id); ok && hold.StripGate && insideAllowance(e, *t) {
				continue // up to its cap, see allowanceLasts
			}
			g[id] = append(g[id], Block{"hold-not-released", fmt.Sprintf("%s is not released yet: %s", hold.Describe(), hold.HoldPoint)})
		}
	}
	return g
}

func ownBlocks(job domain.Job, t domain.Task) []Block {
	var out []Block
	if !job.Workable() {
		out = append(out, Block{"job-not-in-work", fmt.Sprintf("Job %d is %s; hours go on jobs whose quote was accepted.", job.Number, job.State)})
	}
	if t.Kind == domain.Cure || t.Kind == domain.Sublet {
		out = append(out, Block{"nobody-works-here", fmt.Sprintf("%s is waiting; nobody logs hours on it.", t.Describe())})
	}
	if job.Workable() && t.Scope == domain.Outside {
		out = append(out, Block{"outside-scope", fmt.Sprintf("%s lies outside what the client agreed to.", t.Describe())})
	}
	return out
}

// gateFor returns the gate of a job as it stands in this transaction.
func (w *work) gateFor(job domain.Job) (gate, error) {
	return w.app.gates.get(versionKey{job.ID, job.Version}, func() (gate, error) {
		all, err := w.Estimates([]domain.ID{job.ID})
		if err != nil {
			return nil, err
		}
		return gateOf(job, all[job.ID]), nil
	})
}

// open refuses hours on a task that is blocked, for the first reason.
func (g gate) open(taskID domain.ID) error {
	blocks, ok := g[taskID]
	if !ok {
		return fault.InvalidField("task-not-found", "/task_id", "This job has no such task.")
	}
	if len(blocks) > 0 {
		return fault.New(fault.Conflict, blocks[0].Code, "%s", blocks[0].Detail)
	}
	return nil
}
