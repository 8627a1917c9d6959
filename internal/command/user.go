package command

import (
	"context"
	"fmt"
	"log/slog"
	"strings"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
)

type user struct {
	List   userList   `cmd:"" help:"List the people who sign in."`
	Add    userAdd    `cmd:"" help:"Add an owner or technician and print an invitation."`
	Invite userInvite `cmd:"" help:"Print an invitation to choose a new password."`
}

// console is the actor of the command line within a shop: the owner's rights,
// named as what it is in the trail.
func console(shopID domain.ID) domain.Actor {
	return domain.Actor{ShopID: shopID, Name: "console", Role: domain.Owner, From: "console"}
}

// withShop opens the store and finds the shop, which must be named when there
// are several.
func withShop(ctx context.Context, s storage, io Streams, name string, fn func(a *app.App, shop domain.Shop) error) error {
	st, err := s.open(ctx, slog.New(slog.NewTextHandler(io.Err, nil)))
	if err != nil {
		return err
	}
	defer st.Close()
	shops, err := st.Shops(ctx)
	if err != nil {
		return err
	}
	var found []domain.Shop
	for _, shop := range shops {
		if name == "" || shop.ID == name || strings.EqualFold(shop.Settings.Name, name) {
			found = append(found, shop)
		}
	}
	if len(found) != 1 {
		return fault.New(fault.Conflict, "shop-not-clear", "%d shops fit; name one with --shop.", len(found))
	}
	return fn(use(st, app.Options{}), found[0])
}

type userList struct {
	storage
	Shop string `help:"Name or ID of the shop, when there are several."`
}

// Run lists people, a line each.
func (u userList) Run(ctx context.Context, io Streams) error {
	return withShop(ctx, u.storage, io, u.Shop, func(a *app.App, shop domain.Shop) error {
		page := app.Page{Limit: 200}
		for {
			people, next, err := a.People(ctx, console(shop.ID), "", page)
			if err != nil {
				return err
			}
			for _, p := range people {
				state := "active"
				if !p.Active {
					state = "inactive"
				}
				fmt.Fprintf(io.Out, "%-11s %-30s %-36s %s\n", p.Role, p.Name, p.Email, state)
			}
			if next == "" {
				return nil
			}
			page.After = next
		}
	})
}

type userAdd struct {
	storage
	Shop  string `help:"Name or ID of the shop, when there are several."`
	Name  string `required:"" help:"Name."`
	Email string `required:"" help:"E-mail address to sign in with."`
	Role  string `default:"technician" enum:"owner,technician" help:"owner or technician."`
}

// Run adds a person and prints their invitation.
func (u userAdd) Run(ctx context.Context, io Streams) error {
	return withShop(ctx, u.storage, io, u.Shop, func(a *app.App, shop domain.Shop) error {
		p, err := a.AddPerson(ctx, console(shop.ID), "console-"+secret(), domain.Person{Name: u.Name, Email: u.Email, Role: domain.Role(u.Role), Skills: []string{}, Active: true})
		if err != nil {
			return err
		}
		return invite(ctx, a, io, shop, p)
	})
}

type userInvite struct {
	storage
	Shop  string `help:"Name or ID of the shop, when there are several."`
	Email string `arg:"" help:"E-mail address of the person."`
}

// Run prints a fresh invitation; it is how somebody who is locked out gets in.
func (u userInvite) Run(ctx context.Context, io Streams) error {
	return withShop(ctx, u.storage, io, u.Shop, func(a *app.App, shop domain.Shop) error {
		page := app.Page{Limit: 200}
		for {
			people, next, err := a.People(ctx, console(shop.ID), "", page)
			if err != nil {
				return err
			}
			for _, p := range people {
				if strings.EqualFold(p.Email, u.Email) {
					return invite(ctx, a, io, shop, p)
				}
			}
			if next == "" {
				return fault.New(fault.NotFound, "person-not-found", "Nobody here has the address %s.", u.Email)
			}
			page.After = next
		}
	})
}

func invite(ctx context.Context, a *app.App, io Streams, shop domain.Shop, p domain.Person) error {
	link, err := a.Invite(ctx, console(shop.ID), p.ID)
	if err != nil {
		return err
	}
	fmt.Fprintf(io.Out, "%s chooses a password at this address of your server, once, until %s:\n  /invitation#%s\n",
		p.Name, link.Link.ExpiresAt.In(shop.Zone()).Format("2 January 2006"), link.Token)
	return nil
}
