package main

import (
	"errors"
	"fmt"
	"log/slog"
	"net"
	"syscall"

	"swingroom/api"
	"swingroom/api/store"
)

const defaultListen = "127.0.0.1:7464"

type serveCommand struct {
	DB     string `help:"Database file." default:"swingroom.db" env:"SWINGROOM_DB" placeholder:"FILE"`
	Listen string `help:"Address to listen on. The default answers to this machine only; there are no accounts yet, so anybody who can reach another address can read everything, and nobody can write there." default:"${listen}" placeholder:"HOST:PORT"`
	Debug  bool   `help:"Log every request."`
}

func (serveCommand) Help() string {
	return "Example:\n  swingroom serve --db harbor.db\n\nThen open http://" + defaultListen + "/ in a browser. An import into the same file shows on the map within seconds."
}

// Run serves until it is interrupted.
func (c *serveCommand) Run(s *session) error {
	db, err := openExisting(s.ctx, c.DB)
	if err != nil {
		return err
	}
	defer db.Close()
	listener, err := listen(c.Listen)
	if err != nil {
		return err
	}
	return serve(s, db, listener, c.Debug)
}

func listen(address string) (net.Listener, error) {
	listener, err := net.Listen("tcp", address)
	if errors.Is(err, syscall.EADDRINUSE) {
		return nil, fmt.Errorf("%s is taken by another program; choose another with --listen 127.0.0.1:PORT", address)
	}
	return listener, err
}

// onlyHere says that nobody but this machine reaches an address.
func onlyHere(address net.Addr) bool {
	tcp, ok := address.(*net.TCPAddr)
	return ok && tcp.IP.IsLoopback()
}

// serve answers on the listener until the session ends.
func serve(s *session, db *store.Store, listener net.Listener, debug bool) error {
	level := slog.LevelWarn
	if debug {
		level = slog.LevelDebug
	}
	service, err := api.New(api.Options{Store: db, Writes: onlyHere(listener.Addr()), Log: slog.New(slog.NewTextHandler(s.errOut, &slog.HandlerOptions{Level: level}))})
	if err != nil {
		listener.Close()
		return err
	}
	fmt.Fprintf(s.out, "The map is at http://%s/   (stop with Ctrl-C)\nA planning aid, not for navigation.\n", listener.Addr())
	return service.Serve(s.ctx, listener)
}
