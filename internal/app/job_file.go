package app

import (
	"context"
	"fmt"

	"bareframe/internal/domain"
	"bareframe/internal/jobfile"
)

// JobFile is a job file with a name for it.
type JobFile struct {
	Name string
	Body []byte
}

// ExportJob writes a job as a file that another shop can read in: what is done on
// the car in what order at which prices, its frame, and what was seen on it. The
// client is named only where that is asked for. People, hours, money and photos
// stay here; quotes go along as a summary to read.
func (a *App) ExportJob(ctx context.Context, actor domain.Actor, id domain.ID, withClient bool) (out JobFile, err error) {
	var content jobfile.Content
	err = a.view(ctx, actor, "exportJob", func(r Reader) error {
		page, err := a.loadPage(r, id)
		if err != nil {
			return err
		}
		frame, err := framePage(r, id)
		if err != nil {
			return err
		}
		list, err := ownRepairs(r, page.Job)
		if err != nil {
			return err
		}
		if content, err = fileContent(page, frame, list); err != nil {
			return err
		}
		if withClient {
			content.Source.ClientName = page.Client.Name
		}
		out.Name = fmt.Sprintf("job-%d.json", page.Job.Number)
		return nil
	})
	if err != nil {
		return out, err
	}
	out.Body, err = jobfile.Write(content)
	return out, err
}
