package api

import (
	"context"
	"net/http"

	"bareframe/internal/app"
	"bareframe/internal/domain"
)

// sessionCookie names the cookie that carries a session's token.
const sessionCookie = "bareframe_session"

// GetHealth answers while the process lives.
func (s *Server) GetHealth(context.Context, GetHealthRequestObject) (GetHealthResponseObject, error) {
	return GetHealth200JSONResponse{Status: HealthStatusOk, Version: s.version}, nil
}

// GetReadiness answers while the store does.
func (s *Server) GetReadiness(ctx context.Context, _ GetReadinessRequestObject) (GetReadinessResponseObject, error) {
	if err := s.app.Ready(ctx); err != nil {
		return nil, err
	}
	return GetReadiness200JSONResponse{Status: HealthStatusOk, Version: s.version}, nil
}

// GetSetup says whether the first shop is still to be opened.
func (s *Server) GetSetup(ctx context.Context, _ GetSetupRequestObject) (GetSetupResponseObject, error) {
	needed, err := s.app.SetupNeeded(ctx)
	return GetSetup200JSONResponse{Needed: needed}, err
}

// SetUpShop opens the first shop.
func (s *Server) SetUpShop(ctx context.Context, r SetUpShopRequestObject) (SetUpShopResponseObject, error) {
	b := r.Body
	in, err := s.app.SetUp(ctx, b.Token, app.NewShop{
		Settings:  app.StartingSettings(b.ShopName, b.Currency, b.TimeZone, b.Locale, string(b.Units)),
		Calendar:  app.StartingCalendar(),
		PriceBook: s.starting.PriceBook, Templates: s.starting.Templates,
		OwnerName: b.OwnerName, Email: b.Email, Password: b.Password,
	}, placeOf(ctx))
	if err != nil {
		return nil, err
	}
	return SetUpShop201JSONResponse{Body: meOf(in.Me), Headers: SetUpShop201ResponseHeaders{SetCookie: s.cookie(in)}}, nil
}

// SignIn opens a session for e-mail and password.
func (s *Server) SignIn(ctx context.Context, r SignInRequestObject) (SignInResponseObject, error) {
	in, err := s.app.SignIn(ctx, r.Body.Email, r.Body.Password, placeOf(ctx))
	if err != nil {
		return nil, err
	}
	if before := actorOf(ctx); before.SessionID != "" { // the browser's earlier session is replaced, not left open
		if err := s.app.SignOut(ctx, before); err != nil {
			return nil, err
		}
	}
	return SignIn201JSONResponse{Body: meOf(in.Me), Headers: SignIn201ResponseHeaders{SetCookie: s.cookie(in)}}, nil
}

// AcceptInvitation sets a first password and signs in.
func (s *Server) AcceptInvitation(ctx context.Context, r AcceptInvitationRequestObject) (AcceptInvitationResponseObject, error) {
	in, err := s.app.AcceptInvitation(ctx, r.Body.Token, r.Body.Password, placeOf(ctx))
	if err != nil {
		return nil, err
	}
	return AcceptInvitation201JSONResponse{Body: meOf(in.Me), Headers: AcceptInvitation201ResponseHeaders{SetCookie: s.cookie(in)}}, nil
}

// OpenClientLink exchanges a private link for a session.
func (s *Server) OpenClientLink(ctx context.Context, r OpenClientLinkRequestObject) (OpenClientLinkResponseObject, error) {
	in, err := s.app.OpenClientLink(ctx, r.Body.Token, placeOf(ctx))
	if err != nil {
		return nil, err
	}
	return OpenClientLink201JSONResponse{Body: meOf(in.Me), Headers: OpenClientLink201ResponseHeaders{SetCookie: s.cookie(in)}}, nil
}

// SignOut ends this session.
func (s *Server) SignOut(ctx context.Context, _ SignOutRequestObject) (SignOutResponseObject, error) {
	if err := s.app.SignOut(ctx, actorOf(ctx)); err != nil {
		return nil, err
	}
	gone := s.writeCookie("", -1)
	return SignOut204Response{Headers: SignOut204ResponseHeaders{SetCookie: &gone}}, nil
}

// ListSessions lists where the actor is signed in.
func (s *Server) ListSessions(ctx context.Context, _ ListSessionsRequestObject) (ListSessionsResponseObject, error) {
	actor := actorOf(ctx)
	all, err := s.app.Sessions(ctx, actor)
	if err != nil {
		return nil, err
	}
	out := ListSessions200JSONResponse{Items: make([]Session, 0, len(all))}
	for _, x := range all {
		out.Items = append(out.Items, Session{ID: x.ID, CreatedAt: x.CreatedAt, LastSeenAt: x.LastSeenAt, ExpiresAt: x.ExpiresAt,
			Device: x.Device, Current: x.ID == actor.SessionID})
	}
	return out, nil
}

// EndSession signs the actor out elsewhere.
func (s *Server) EndSession(ctx context.Context, r EndSessionRequestObject) (EndSessionResponseObject, error) {
	if err := s.app.EndSession(ctx, actorOf(ctx), r.Session); err != nil {
		return nil, err
	}
	return EndSession204Response{}, nil
}

// GetMe says who is signed in.
func (s *Server) GetMe(ctx context.Context, _ GetMeRequestObject) (GetMeResponseObject, error) {
	me, err := s.app.Me(ctx, actorOf(ctx))
	return GetMe200JSONResponse(meOf(me)), err
}

// ChangePassword sets a new password.
func (s *Server) ChangePassword(ctx context.Context, r ChangePasswordRequestObject) (ChangePasswordResponseObject, error) {
	current := ""
	if r.Body.Current != nil {
		current = *r.Body.Current
	}
	if err := s.app.ChangePassword(ctx, actorOf(ctx), current, r.Body.New); err != nil {
		return nil, err
	}
	return ChangePassword204Response{}, nil
}

func meOf(me app.Me) Me {
	set := me.Shop.Settings
	return Me{
		Person:    MePerson{ID: me.Person.ID, Name: me.Person.Name, Email: me.Person.Email, Role: Role(me.Person.Role), HasPassword: me.Person.PasswordHash != ""},
		Shop:      MeShop{ID: me.Shop.ID, Name: set.Name, Currency: set.Currency, Locale: set.Locale, TimeZone: set.TimeZone, Units: Units(set.Units)},
		SessionID: me.SessionID, Demo: me.Shop.Demo,
	}
}

func (s *Server) cookie(in app.SignedIn) *string {
	text := s.writeCookie(in.Token, int(in.Session.ExpiresAt.Sub(s.app.Now()).Seconds()))
	return &text
}

func (s *Server) writeCookie(token string, seconds int) string {
	c := http.Cookie{Name: sessionCookie, Value: token, Path: "/", MaxAge: seconds, HttpOnly: true, Secure: s.secure, SameSite: http.SameSiteLaxMode}
	return c.String()
}

// Starting is what a new shop begins with.
type Starting struct {
	PriceBook domain.PriceBook
	Templates []domain.TemplatePlan
}
