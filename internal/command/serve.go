package command

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"os/signal"
	"path/filepath"
	"syscall"
	"time"

	"bareframe/api"
	"bareframe/internal/app"
	"bareframe/internal/demo"
	"bareframe/internal/password"
	"bareframe/internal/photo"
	"bareframe/internal/store"
)

type serve struct {
	storage
	post
	Addr           string   `help:"Address to listen on." default:"127.0.0.1:8080" env:"BAREFRAME_ADDR"`
	Photos         string   `help:"Folder of the photos; empty means photos in the data folder." type:"path" env:"BAREFRAME_PHOTOS"`
	Demo           bool     `help:"Open the invented demo shop when there is no shop yet."`
	SecureCookies  bool     `help:"Send cookies over TLS only; set it wherever TLS is terminated in front." env:"BAREFRAME_SECURE_COOKIES"`
	TrustedProxies []string `help:"Addresses of proxies whose X-Forwarded-For is believed." env:"BAREFRAME_TRUSTED_PROXIES"`
	PlainFrontend  bool     `help:"Serve the frontend's modules one by one as they are written, to find an error's place in them."`
	LogLevel       string   `help:"debug, info, warn or error." default:"info" enum:"debug,info,warn,error" env:"BAREFRAME_LOG_LEVEL"`
	LogJSON        bool     `name:"log-json" help:"Write the log as JSON." env:"BAREFRAME_LOG_JSON"`
}

// grace is how long requests in flight may take to finish at a stop.
const grace = 15 * time.Second

// Run serves until it is told to stop; then requests in flight finish and
// nothing new is accepted.
func (s serve) Run(ctx context.Context, assets Assets, io Streams) error {
	ctx, stop := signal.NotifyContext(ctx, syscall.SIGINT, syscall.SIGTERM)
	defer stop()
	log := s.logger(io)
	st, err := s.open(ctx, log)
	if err != nil {
		return err
	}
	defer st.Close()
	hub := api.NewHub()
	events := newRelay(hub, log)
	rules, err := demo.ReadRules(assets.Seeds)
	if err != nil {
		return err
	}
	craft, err := demo.ReadCraft(assets.Seeds)
	if err != nil {
		return err
	}
	photos, err := photo.OpenFolder(s.photoFolder())
	if err != nil {
		return fmt.Errorf("cannot open the folder of photos (choose another with --photos): %w", err)
	}
	defer photos.Close()
	sender, err := s.sender()
	if err != nil {
		return err
	}
	a := use(st, app.Options{Announce: events.announce, Rules: rules, Frames: craft.Frames, Repairs: craft.Repairs, Takeoff: &craft.Takeoff, Methods: craft.Methods, Brought: craft.Brought, Sheet: craft.Sheet, PutRight: craft.PutRight, Photos: photos,
		Mail: sender != nil, BaseURL: s.BaseURL, Thrift: thrift})
	if s.Demo {
		if err := s.openDemo(ctx, assets, st, photos); err != nil {
			return err
		}
	}
	starting, err := demo.ReadStarting(assets.Seeds)
	if err != nil {
		return err
	}
	handler, err := api.New(api.Wiring{App: a, Hub: hub, Contract: assets.Contract, Frontend: assets.Frontend,
		Starting: api.Starting(starting), Version: assets.Version, SecureCookies: s.SecureCookies, TrustedProxies: s.TrustedProxies, Press: true, Plain: s.PlainFrontend, Log: log})
	if err != nil {
		return err
	}
	listener, err := net.Listen("tcp", s.Addr)
	if err != nil {
		return fmt.Errorf("cannot listen on %s (choose another with --addr): %w", s.Addr, err)
	}
	server := &http.Server{Handler: handler, ReadHeaderTimeout: 10 * time.Second, ReadTimeout: time.Minute, WriteTimeout: time.Minute,
		IdleTimeout: 2 * time.Minute, MaxHeaderBytes: 64 << 10, ErrorLog: slog.NewLogLogger(log.Handler(), slog.LevelWarn)}
	server.RegisterOnShutdown(hub.Close)
	if err := s.greet(ctx, a, assets, st, io, listener.Addr().String()); err != nil {
		return err
	}
	go events.run(ctx, st)
	go prune(ctx, a, log)
	go planFloors(ctx, a, log)
	if sender != nil {
		go deliver(ctx, a, sender, log)
	}
	return run(ctx, server, listener, log)
}

// photoFolder is where the photos lie. Behind PostgreSQL all instances must share
// it.
func (s serve) photoFolder() string {
	if s.Photos != "" {
		return s.Photos
	}
	return filepath.Join(s.Data, "photos")
}

func run(ctx context.Context, server *http.Server, listener net.Listener, log *slog.Logger) error {
	failed := make(chan error, 1)
	go func() { failed <- server.Serve(listener) }()
	select {
	case err := <-failed:
		return err
	case <-ctx.Done():
	}
	log.Info("stopping: requests in flight finish, nothing new is accepted")
	late, cancel := context.WithTimeout(context.WithoutCancel(ctx), grace)
	defer cancel()
	if err := server.Shutdown(late); err != nil {
		return err
	}
	if err := <-failed; !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	return nil
}

func (s serve) logger(io Streams) *slog.Logger {
	var level slog.Level
	_ = level.UnmarshalText([]byte(s.LogLevel)) // the flag allows only readable levels
	o := &slog.HandlerOptions{Level: level}
	if s.LogJSON {
		return slog.New(slog.NewJSONHandler(io.Err, o))
	}
	return slog.New(slog.NewTextHandler(io.Err, o))
}

func (s serve) openDemo(ctx context.Context, assets Assets, st *store.Store, photos app.PhotoStore) error {
	exists, err := st.AnyShop(ctx)
	if err != nil || exists {
		return err
	}
	_, err = demo.Load(ctx, demo.Options{Files: assets.Seeds, Store: st, Passwords: password.NewKeeper(), Secret: secret, Photos: photos, Now: time.Now().UTC()})
	return err
}

// greet prints the address and, when there is no shop yet, the set-up token;
// for the demo its sign-ins.
func (s serve) greet(ctx context.Context, a *app.App, assets Assets, st *store.Store, io Streams, addr string) error {
	fmt.Fprintf(io.Out, "bareframe %s serves http://%s\n", assets.Version, addr)
	token, err := a.SetupToken(ctx)
	if err != nil {
		return err
	}
	if token != "" {
		fmt.Fprintf(io.Out, "There is no shop yet. Open http://%s/set-up with this one-time token:\n  %s\n", addr, token)
		return nil
	}
	shops, err := st.Shops(ctx)
	if err != nil {
		return err
	}
	for _, shop := range shops {
		if !shop.Demo || !s.Demo {
			continue
		}
		in, err := demo.Enter(ctx, a, assets.Seeds, shop.ID)
		if err != nil {
			return err
		}
		fmt.Fprintf(io.Out, "Demo shop %q, invented throughout. Password for both sign-ins: %s\n", shop.Settings.Name, demo.Password)
		fmt.Fprintf(io.Out, "  owner       %s\n  technician  %s\n", in.Owner, in.Technician)
		fmt.Fprintf(io.Out, "  client, car in work      http://%s%s\n  client, quote to decide  http://%s%s\n", addr, in.Client, addr, in.Deciding)
	}
	return nil
}

// lapseEvery is how often quotes are looked through for those that have expired.
const lapseEvery = 5 * time.Minute

// The floor is looked at often where something happened or was asked for, and now
// and then everywhere: another instance may have left a plan half made.
const (
	planEvery    = time.Second
	planAllEvery = 30 * time.Second
)

func planFloors(ctx context.Context, a *app.App, log *slog.Logger) {
	often, all := time.NewTicker(planEvery), time.NewTicker(planAllEvery)
	defer often.Stop()
	defer all.Stop()
	every := true
	for {
		if _, err := a.MakePlans(ctx, every); err != nil && ctx.Err() == nil {
			log.Warn("planning the floor failed", "error", err)
		}
		select {
		case <-ctx.Done():
			return
		case <-often.C:
			every = false
		case <-all.C:
			every = true
		}
	}
}

func prune(ctx context.Context, a *app.App, log *slog.Logger) {
	hourly, often := time.NewTicker(time.Hour), time.NewTicker(lapseEvery)
	defer hourly.Stop()
	defer often.Stop()
	for {
		if _, err := a.LapseQuotes(ctx); err != nil && ctx.Err() == nil {
			log.Warn("noting expired quotes failed", "error", err)
		}
		select {
		case <-ctx.Done():
			return
		case <-often.C:
		case <-hourly.C:
			if err := a.Prune(ctx); err != nil {
				log.Warn("pruning failed", "error", err)
			}
			if _, err := a.SweepPhotos(ctx); err != nil {
				log.Warn("sweeping photos that no row names failed", "error", err)
			}
		}
	}
}
