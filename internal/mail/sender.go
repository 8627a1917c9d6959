package mail

import (
	"context"
	"crypto/tls"
	"errors"
	"net"
	"time"

	gomail "github.com/wneessen/go-mail"

	"bareframe/internal/app"
	"bareframe/internal/fault"
)

// patience is how long one conversation with the server may last.
const patience = 30 * time.Second

// Sender hands messages to one server, one conversation each. It is safe for
// concurrent use.
type Sender struct {
	server Server
	from   string
}

var _ app.Sender = (*Sender)(nil)

// NewSender returns a sender of mail from an address. Errors are fault.Invalid.
func NewSender(server Server, from string) (*Sender, error) {
	address, err := checked("sender (--mail-from, MAIL_FROM)", from)
	return &Sender{server: server, from: address}, err
}

// Send hands one message over. It fails with fault.Invalid when the message can
// never go out, with fault.Unavailable when it may go later.
func (s *Sender) Send(ctx context.Context, m app.Outgoing) error {
	msg, err := s.message(m)
	if err != nil {
		return err
	}
	line := &line{server: s.server}
	defer line.hangUp()
	client, err := s.client(line)
	if err != nil {
		return err
	}
	ctx, cancel := context.WithTimeout(ctx, patience)
	defer cancel()
	return explained(client.DialAndSendWithContext(ctx, msg))
}

func (s *Sender) message(m app.Outgoing) (*gomail.Msg, error) {
	to, err := checked("recipient", m.To)
	if err != nil {
		return nil, err
	}
	if broken(m.Subject) || broken(m.FromName) || broken(m.MessageID) {
		return nil, fault.New(fault.Invalid, "mail-header", "The subject, the sender's name or the message's ID holds a line break.")
	}
	msg := gomail.NewMsg(gomail.WithNoDefaultUserAgent())
	if err := msg.FromFormat(m.FromName, s.from); err != nil {
		return nil, fault.New(fault.Invalid, "mail-address", "The sender's name cannot stand before an address.").Because(err)
	}
	if err := msg.To(to); err != nil {
		return nil, fault.New(fault.Invalid, "mail-address", "The recipient is not a plain e-mail address.").Because(err)
	}
	msg.Subject(m.Subject)
	msg.SetMessageIDWithValue(m.MessageID)
	msg.SetDateWithValue(m.Date)
	msg.SetBodyString(gomail.TypeTextPlain, m.Text)
	return msg, nil
}

// line is one connection. The library leaves it open when the server refuses
// early on, so it is hung up here.
type line struct {
	server Server
	conn   net.Conn
}

func (l *line) dial(ctx context.Context, network, address string) (conn net.Conn, err error) {
	if l.server.security == fromStart {
		conn, err = (&tls.Dialer{Config: &tls.Config{ServerName: l.server.host, MinVersion: tls.VersionTLS12}}).DialContext(ctx, network, address)
	} else {
		conn, err = (&net.Dialer{}).DialContext(ctx, network, address)
	}
	l.conn = conn
	return conn, err
}

func (l *line) hangUp() {
	if l.conn != nil {
		_ = l.conn.Close()
	}
}

func (s *Sender) client(l *line) (*gomail.Client, error) {
	o := []gomail.Option{gomail.WithPort(s.server.port), gomail.WithTimeout(patience), gomail.WithDialContextFunc(l.dial)}
	switch s.server.security {
	case fromStart:
		o = append(o, gomail.WithSSL())
	case startTLS:
		o = append(o, gomail.WithTLSPolicy(gomail.TLSMandatory))
	case opportunist:
		o = append(o, gomail.WithTLSPolicy(gomail.TLSOpportunistic))
	case plain:
		o = append(o, gomail.WithTLSPolicy(gomail.NoTLS))
	}
	if s.server.user != "" {
		o = append(o, gomail.WithSMTPAuth(gomail.SMTPAuthAutoDiscover), gomail.WithUsername(s.server.user), gomail.WithPassword(s.server.password))
	}
	client, err := gomail.NewClient(s.server.host, o...)
	if err != nil {
		return nil, badServer("the mail library does not take it")
	}
	return client, nil
}

// explained says what went wrong in words of ours: a server's own answer may
// repeat addresses, so only its code is told on, and the cause goes no further.
func explained(err error) error {
	if err == nil {
		return nil
	}
	var refused *gomail.SendError
	if errors.As(err, &refused) {
		code := refused.ErrorCode()
		if code >= 500 && code < 600 {
			return fault.New(fault.Invalid, "mail-refused", "The mail server refused the message for good (code %d).", code)
		}
		if code > 0 {
			return fault.New(fault.Unavailable, "mail-deferred", "The mail server cannot take the message now (code %d).", code)
		}
	}
	var network net.Error
	if errors.As(err, &network) || errors.Is(err, context.DeadlineExceeded) {
		return fault.New(fault.Unavailable, "mail-unreachable", "The mail server did not answer.")
	}
	return fault.New(fault.Unavailable, "mail-not-sent", "The conversation with the mail server failed.")
}
