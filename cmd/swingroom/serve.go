package main

import (
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"os"
	"strconv"
	"sync"
	"syscall"

	"swingroom/api"
	"swingroom/api/store"
)

const defaultListen = "127.0.0.1:7464"

type serveCommand struct {
	database
	Listen      string `help:"${listen_help}" default:"${listen}" placeholder:"HOST:PORT"`
	TLSCert     string `help:"Certificate for TLS, with what leads to its issuer, in PEM." name:"tls-cert" placeholder:"FILE"`
	TLSKey      string `help:"Its key, in PEM." name:"tls-key" placeholder:"FILE"`
	BehindProxy bool   `help:"${proxy_help}"`
	backupFlags
	Debug bool `help:"Log every request, and send the page with source maps."`
}

func (serveCommand) Help() string {
	return "Examples:\n  swingroom serve --db harbor.db\n  swingroom serve --db harbor.db --listen 0.0.0.0:443 --tls-cert harbor.pem " +
		"--tls-key harbor.key\n  swingroom serve --db harbor.db --behind-proxy\n\n" +
		"Then open http://" + defaultListen + "/ in a browser. An import into the same file shows on the map within seconds.\n\n" +
		"Without accounts whoever sits at this machine is the harbormaster. With accounts (swingroom account add) everybody signs in, " +
		"and who has not sees the map without names."
}

// Run serves until it is interrupted.
func (c *serveCommand) Run(s *session) error {
	with, err := c.exposure()
	if err != nil {
		return err
	}
	db, err := openExisting(s.ctx, c.DB)
	if err != nil {
		return err
	}
	defer db.Close()
	keeper, err := c.keeper(db)
	if err != nil {
		return err
	}
	listener, err := listen(c.Listen)
	if err != nil {
		return err
	}
	if err := with.check(s.ctx, db, listener.Addr(), c.DB); err != nil {
		return errors.Join(err, listener.Close())
	}
	return serve(s, db, listener, with, keeper, c.Debug)
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

// exposure is how others reach a service.
type exposure struct {
	tls         *tls.Config // nil: not by TLS
	behindProxy bool
}

// exposure reads what the command line says of it.
func (c *serveCommand) exposure() (exposure, error) {
	e := exposure{behindProxy: c.BehindProxy}
	switch {
	case c.TLSCert == "" && c.TLSKey == "":
		return e, nil
	case c.TLSCert == "" || c.TLSKey == "":
		return e, errors.New("--tls-cert and --tls-key go together; name both files")
	case c.BehindProxy:
		return e, errors.New("either TLS is spoken here (--tls-cert, --tls-key) or by a proxy (--behind-proxy); name one of them")
	}
	pair, err := tls.LoadX509KeyPair(c.TLSCert, c.TLSKey)
	if err != nil {
		return e, fmt.Errorf("the certificate %s or its key %s cannot be used: %w", c.TLSCert, c.TLSKey, err)
	}
	e.tls = &tls.Config{MinVersion: tls.VersionTLS12, Certificates: []tls.Certificate{pair}, NextProtos: []string{"h2", "http/1.1"}}
	return e, nil
}

// check refuses to serve others over a line that anybody can read, or where nobody could keep them out.
func (e exposure) check(ctx context.Context, db *store.Store, address net.Addr, path string) error {
	if onlyHere(address) && !e.behindProxy {
		return nil
	}
	if e.tls == nil && !e.behindProxy {
		return fmt.Errorf("other machines reach %s, and passwords would cross the network for anybody to read. Add --tls-cert FILE "+
			"--tls-key FILE, or put a proxy that speaks TLS before it and add --behind-proxy. Nothing was started", address)
	}
	_, harbormaster, err := db.HasAccounts(ctx)
	if err != nil {
		return err
	}
	if !harbormaster {
		return fmt.Errorf("others reach %s, and there is no harbormaster who can sign in. Make one first: swingroom account add NAME "+
			"--role harbormaster --db %s. Nothing was started", address, path)
	}
	return nil
}

// serve answers on the listener until the session ends, and makes backups meanwhile unless keeper is nil.
func serve(s *session, db *store.Store, listener net.Listener, with exposure, keeper *store.BackupSchedule, debug bool) error {
	level := slog.LevelWarn
	if debug {
		level = slog.LevelDebug
	}
	log := slog.New(slog.NewTextHandler(s.errOut, &slog.HandlerOptions{Level: level}))
	service, err := api.New(api.Options{Store: db, Local: onlyHere(listener.Addr()), Secure: with.tls != nil, BehindProxy: with.behindProxy,
		Backups: keeper, Log: log, Debug: debug})
	if err != nil {
		return errors.Join(err, listener.Close())
	}
	scheme := "http"
	if with.tls != nil {
		scheme, listener = "https", tls.NewListener(listener, with.tls)
	}
	fmt.Fprintf(s.out, "The map is at %s://%s/   (stop with Ctrl-C)\nA planning aid, not for navigation.\n", scheme,
		reachedBy(listener.Addr()))
	if keeper != nil {
		keeper.Log = log
		ctx, stop := context.WithCancel(s.ctx)
		var kept sync.WaitGroup
		kept.Go(func() { keeper.Run(ctx) })
		defer func() { stop(); kept.Wait() }() // one under way is given up, and what it has written removed
	}
	return service.Serve(s.ctx, listener)
}

// reachedBy is an address as a browser takes it: where all of this machine's are listened to, by the machine's name.
func reachedBy(address net.Addr) string {
	tcp, ok := address.(*net.TCPAddr)
	if name, err := os.Hostname(); ok && tcp.IP.IsUnspecified() && err == nil {
		return net.JoinHostPort(name, strconv.Itoa(tcp.Port))
	}
	return address.String()
}
