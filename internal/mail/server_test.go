package mail

import (
	"bufio"
	"fmt"
	"net"
	"strings"
	"sync"
	"testing"
	"time"
)

// conversation is what a client said to the small server of these tests, and the
// message that it handed over. The replies follow RFC 5321, section 4.2.
type conversation struct {
	commands []string
	message  string
}

// smtpServer speaks enough SMTP for one message after another.
type smtpServer struct {
	t        *testing.T
	listener net.Listener
	mu       sync.Mutex
	held     []conversation
	answers  map[string]string // by verb, in place of the usual one
}

func newSMTPServer(t *testing.T, answers map[string]string) *smtpServer {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	s := &smtpServer{t: t, listener: l, answers: answers}
	var group sync.WaitGroup
	group.Go(func() {
		for {
			conn, err := l.Accept()
			if err != nil {
				return
			}
			group.Go(func() { s.talk(conn) })
		}
	})
	t.Cleanup(func() { _ = l.Close(); group.Wait() })
	return s
}

func (s *smtpServer) port() int { return s.listener.Addr().(*net.TCPAddr).Port }

func (s *smtpServer) talk(conn net.Conn) {
	defer conn.Close()
	_ = conn.SetDeadline(time.Now().Add(10 * time.Second)) // so that a client that never hangs up fails the test
	r := bufio.NewReader(conn)
	var c conversation
	reply := func(verb, usual string) {
		if other, ok := s.answers[verb]; ok {
			usual = other
		}
		fmt.Fprint(conn, usual+"\r\n")
	}
	reply("", "220 loopback ready")
	for {
		line, err := r.ReadString('\n')
		if err != nil {
			return
		}
		line = strings.TrimRight(line, "\r\n")
		c.commands = append(c.commands, line)
		verb, _, _ := strings.Cut(strings.ToUpper(line), " ")
		switch verb {
		case "EHLO":
			reply(verb, "250-loopback\r\n250-8BITMIME\r\n250 AUTH PLAIN LOGIN")
		case "AUTH":
			reply(verb, "235 2.7.0 welcome")
		case "DATA":
			reply(verb, "354 go on")
			if _, refused := s.answers[verb]; refused {
				continue
			}
			for {
				part, err := r.ReadString('\n')
				if err != nil || part == ".\r\n" {
					break
				}
				c.message += part
			}
			reply("END", "250 2.0.0 taken")
		case "QUIT":
			reply(verb, "221 bye")
			s.keep(c)
			return
		default:
			reply(verb, "250 2.1.0 fine")
		}
	}
}

func (s *smtpServer) keep(c conversation) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.held = append(s.held, c)
}

func (s *smtpServer) conversations() []conversation {
	s.mu.Lock()
	defer s.mu.Unlock()
	return append([]conversation(nil), s.held...)
}
