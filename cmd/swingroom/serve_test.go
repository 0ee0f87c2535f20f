package main

import (
	"bufio"
	"bytes"
	"context"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"encoding/pem"
	"io"
	"math/big"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"swingroom/api/account"
	"swingroom/api/store"
)

// certificate writes one of this machine's own addresses, and gives the files and whom to trust.
func certificate(t *testing.T, dir string) (cert, key string, pool *x509.CertPool) {
	t.Helper()
	private, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	form := &x509.Certificate{SerialNumber: big.NewInt(1), NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour),
		IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)}, IsCA: true, BasicConstraintsValid: true}
	der, err := x509.CreateCertificate(rand.Reader, form, form, private.Public(), private)
	if err != nil {
		t.Fatal(err)
	}
	keyDER, err := x509.MarshalPKCS8PrivateKey(private)
	if err != nil {
		t.Fatal(err)
	}
	cert, key, pool = filepath.Join(dir, "cert.pem"), filepath.Join(dir, "key.pem"), x509.NewCertPool()
	for path, block := range map[string]*pem.Block{cert: {Type: "CERTIFICATE", Bytes: der}, key: {Type: "PRIVATE KEY", Bytes: keyDER}} {
		if err := os.WriteFile(path, pem.EncodeToMemory(block), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	pool.AppendCertsFromPEM(pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: der}))
	return cert, key, pool
}

// withHarbormaster is a database of the demo harbor with an account.
func withHarbormaster(t *testing.T, path string) {
	t.Helper()
	h, err := demoHarbor()
	if err != nil {
		t.Fatal(err)
	}
	db, err := store.Open(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	if _, err := db.Save(t.Context(), "tarrowick", 0, h, store.Act{Who: "test", Why: "test"}); err != nil {
		t.Fatal(err)
	}
	gate, err := account.NewAuthenticator(t.Context(), account.Options{Store: db})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := gate.Add(t.Context(), "Quay Warden", "harbormaster", "kelp otter lantern"); err != nil {
		t.Fatal(err)
	}
}

// served runs the command until the test ends and gives the address that it tells.
func served(t *testing.T, args ...string) (address string) {
	t.Helper()
	ctx, stop := context.WithCancel(context.Background())
	out, in := io.Pipe()
	ended := make(chan int, 1)
	var wrong bytes.Buffer
	go func() { ended <- run(ctx, args, in, &wrong); in.Close() }()
	t.Cleanup(func() {
		stop()
		if code := <-ended; code != exitDone {
			t.Errorf("exit code %d: %s", code, &wrong)
		}
	})
	lines := bufio.NewScanner(out)
	for lines.Scan() {
		if found := regexp.MustCompile(`https?://\S+:(\d+)/`).FindStringSubmatch(lines.Text()); found != nil {
			go io.Copy(io.Discard, out)
			return strings.SplitN(found[0], "://", 2)[0] + "://127.0.0.1:" + found[1]
		}
	}
	t.Fatal("it tells no address")
	return ""
}

func TestOthersAreServedByTLSOnly(t *testing.T) {
	dir := t.TempDir()
	cert, key, pool := certificate(t, dir)
	path := filepath.Join(dir, "h.db")
	withHarbormaster(t, path)
	address := served(t, "serve", "--db", path, "--listen", "0.0.0.0:0", "--tls-cert", cert, "--tls-key", key)
	if !strings.HasPrefix(address, "https://") {
		t.Fatal(address)
	}
	client := func(least, most uint16) *http.Client {
		return &http.Client{Transport: &http.Transport{ForceAttemptHTTP2: true,
			TLSClientConfig: &tls.Config{RootCAs: pool, MinVersion: least, MaxVersion: most}}}
	}
	modern := client(tls.VersionTLS12, 0)
	r, err := modern.Get(address + "/api/harbor")
	if err != nil {
		t.Fatal(err)
	}
	r.Body.Close()
	if r.StatusCode != 200 || r.ProtoMajor != 2 || r.TLS.Version < tls.VersionTLS12 ||
		!strings.Contains(r.Header.Get("Strict-Transport-Security"), "max-age=") {
		t.Errorf("%s %s %v", r.Status, r.Proto, r.Header)
	}
	if r, err := client(tls.VersionTLS10, tls.VersionTLS11).Get(address + "/api/harbor"); err == nil {
		r.Body.Close()
		t.Error("TLS 1.1 is spoken")
	}
	if r, err := http.Get("http" + strings.TrimPrefix(address, "https") + "/api/harbor"); err == nil {
		r.Body.Close()
		if r.StatusCode == 200 {
			t.Error("it is answered without TLS")
		}
	}
	post, err := modern.Post(address+"/api/sign-in", "application/json",
		strings.NewReader(`{"name":"quay warden","password":"kelp otter lantern"}`))
	if err != nil {
		t.Fatal(err)
	}
	post.Body.Close()
	if c := post.Cookies(); post.StatusCode != 200 || len(c) != 1 || !c[0].Secure || !strings.HasPrefix(c[0].Name, "__Host-") {
		t.Errorf("%s %v", post.Status, c)
	}
}

func TestOnThisMachineTooWhoIsNotSignedInIsThePublic(t *testing.T) {
	path := filepath.Join(t.TempDir(), "h.db")
	withHarbormaster(t, path)
	address := served(t, "serve", "--db", path, "--listen", "127.0.0.1:0")
	r, err := http.Get(address + "/api/waiting")
	if err != nil {
		t.Fatal(err)
	}
	r.Body.Close()
	if r.StatusCode != http.StatusUnauthorized {
		t.Errorf("on this machine, with an account on file: %s", r.Status)
	}
}
