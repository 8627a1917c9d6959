package command

import (
	"context"
	"crypto/rand"
	"encoding/base64"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"log/slog"
	"os"
	"path/filepath"
	"time"

	"github.com/alecthomas/kong"
	"github.com/google/uuid"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/password"
	"bareframe/internal/store"
)

// Assets is what the binary carries.
type Assets struct {
	Contract []byte // openapi.yaml
	Frontend fs.FS
	Seeds    fs.FS
	Version  string
}

// Streams are where a command reads and writes.
type Streams struct {
	In       io.Reader
	Out, Err io.Writer
}

type line struct {
	Serve     serve     `cmd:"" help:"Serve the API and the screens."`
	Calculate calculate `cmd:"" help:"Run one engine on a JSON file, without a store."`
	Psplib    instances `cmd:"" help:"Measure the planning search on published scheduling instances."`
	Migrate   migrate   `cmd:"" help:"Bring the store's tables up to this version."`
	User      user      `cmd:"" help:"List people, add one, or invite one to choose a new password."`
	Verify    verify    `cmd:"" help:"Recompute the audit trail of every shop."`
	Version   version   `cmd:"" help:"Print the version."`
}

// storage is where rows are kept; shared by the commands that need them.
type storage struct {
	Data        string `help:"Folder of the embedded SQLite file." default:"data" type:"path" env:"BAREFRAME_DATA"`
	DatabaseURL string `name:"database-url" help:"PostgreSQL address; empty means the embedded SQLite file." env:"DATABASE_URL"`
}

// open opens the store and brings its tables up to this version.
func (s storage) open(ctx context.Context, log *slog.Logger) (*store.Store, error) {
	o := store.Options{PostgresURL: s.DatabaseURL, Log: log}
	if s.DatabaseURL == "" {
		o.SQLitePath = filepath.Join(s.Data, "bareframe.db")
	}
	st, err := store.Open(ctx, o)
	if err != nil {
		return nil, err
	}
	if err := st.Migrate(ctx); err != nil {
		return nil, errors.Join(err, st.Close())
	}
	return st, nil
}

// use wires the use cases over a store; more holds what only a server needs.
func use(st app.Store, more app.Options) *app.App {
	return app.New(app.Options{
		Store: st, Passwords: password.NewKeeper(), Announce: more.Announce, Rules: more.Rules, Mail: more.Mail, BaseURL: more.BaseURL,
		Frames: more.Frames, Repairs: more.Repairs, Photos: more.Photos, Takeoff: more.Takeoff, Methods: more.Methods, Brought: more.Brought, Sheet: more.Sheet, PutRight: more.PutRight, Thrift: more.Thrift,
		Now:    func() time.Time { return time.Now().UTC() },
		NewID:  func() domain.ID { return uuid.Must(uuid.NewV7()).String() },
		Secret: secret,
	})
}

// secret returns 256 random bits as URL-safe text.
func secret() string {
	var b [32]byte
	_, _ = rand.Read(b[:]) // never fails: it ends the program instead
	return base64.RawURLEncoding.EncodeToString(b[:])
}

// Run runs the command line and returns the exit code: 0 done, 1 refused or
// failed, 2 wrong words.
func Run(ctx context.Context, assets Assets, args []string, io Streams) int {
	var words line
	parser, err := kong.New(&words, kong.Name("bareframe"), kong.Description("An estimator for shops that restore cars with the body off the frame."),
		kong.Writers(io.Out, io.Err), kong.Exit(func(code int) { panic(exit(code)) }), kong.UsageOnError())
	if err != nil {
		fmt.Fprintln(io.Err, err)
		return 2
	}
	code := 0
	func() {
		defer func() {
			switch thrown := recover().(type) {
			case nil:
			case exit:
				code = int(thrown)
			default:
				panic(thrown)
			}
		}()
		var chosen *kong.Context
		if chosen, err = parser.Parse(args); err != nil {
			fmt.Fprintln(io.Err, "bareframe:", err)
			code = 2
			return
		}
		chosen.BindTo(ctx, (*context.Context)(nil))
		if err := chosen.Run(assets, io); err != nil {
			if !errors.Is(err, errShown) {
				report(io.Err, err)
			}
			code = 1
		}
	}()
	return code
}

// exit carries the exit code out of the parser, which ends the process after
// --help.
type exit int

// errShown is a failure that was already written out in full.
var errShown = errors.New("shown")

// report says what went wrong; a refusal with its fields.
func report(w io.Writer, err error) {
	if e := fault.As(err); e != nil && errors.Is(err, e) {
		fmt.Fprintf(w, "bareframe: %s (%s)\n", e.Detail, e.Code)
		for _, f := range e.Fields {
			fmt.Fprintf(w, "  %s: %s\n", f.Pointer, f.Detail)
		}
		return
	}
	fmt.Fprintln(w, "bareframe:", err)
}

type version struct{}

// Run prints the version.
func (version) Run(assets Assets, io Streams) error {
	_, err := fmt.Fprintln(io.Out, "bareframe", assets.Version)
	return err
}

type migrate struct{ storage }

// Run opens the store, which brings its tables up to date.
func (m migrate) Run(ctx context.Context, io Streams) error {
	st, err := m.open(ctx, slog.New(slog.NewTextHandler(io.Err, nil)))
	if err != nil {
		return err
	}
	fmt.Fprintln(io.Out, "The store's tables are up to date.")
	return st.Close()
}

type verify struct{ storage }

// Run walks the trail of every shop, also after one that is broken, and says
// which it is.
func (v verify) Run(ctx context.Context, io Streams) error {
	st, err := v.open(ctx, slog.New(slog.NewTextHandler(io.Err, nil)))
	if err != nil {
		return err
	}
	defer st.Close()
	a := use(st, app.Options{})
	shops, err := st.Shops(ctx)
	if err != nil {
		return err
	}
	var broken error
	for _, s := range shops {
		n, err := a.VerifyTrail(ctx, s.ID)
		switch e := fault.As(err); {
		case err == nil:
			fmt.Fprintf(io.Out, "%s: %d entries, unbroken.\n", s.Settings.Name, n)
		case e != nil && e.Kind == fault.Conflict:
			fmt.Fprintf(io.Err, "bareframe: %s: %s (%s)\n", s.Settings.Name, e.Detail, e.Code)
			broken = errShown
		default:
			return err
		}
	}
	return broken
}

// Main runs the command line of the process.
func Main(ctx context.Context, assets Assets) int {
	return Run(ctx, assets, os.Args[1:], Streams{os.Stdin, os.Stdout, os.Stderr})
}
