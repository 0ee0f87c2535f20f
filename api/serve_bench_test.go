package api_test

import (
	"context"
	"encoding/json"
	"net"
	"net/http"
	"os/exec"
	"regexp"
	"strconv"
	"testing"
	"time"

	"github.com/paulmach/orb/geojson"

	"swingroom/api"
	"swingroom/fixtures"
	"swingroom/fixtures/outside"
)

// BenchmarkServe measures 5,000 moorings as compressed GeoJSON over loopback with wrk, and in the same run the naive way: json.Marshal of
// the whole collection for each request.
func BenchmarkServe(b *testing.B) {
	wrk := outside.Program(b, "wrk", "wrk")
	s, err := api.New(api.Options{Store: onFile(b, fixtures.Large(5000, 1)), Local: true})
	if err != nil {
		b.Fatal(err)
	}
	fc, err := geojson.UnmarshalFeatureCollection(body(b, get(b, s, "/api/moorings")))
	if err != nil || len(fc.Features) != 5000 {
		b.Fatal(err, len(fc.Features))
	}
	naive := http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		text, err := json.Marshal(fc)
		if err != nil {
			http.Error(w, err.Error(), http.StatusInternalServerError)
			return
		}
		w.Header().Set("Content-Type", "application/geo+json")
		w.Write(text)
	})
	rate := func(h http.Handler, coding string) float64 {
		listener, err := net.Listen("tcp", "127.0.0.1:0")
		if err != nil {
			b.Fatal(err)
		}
		server := &http.Server{Handler: h}
		go server.Serve(listener)
		defer server.Shutdown(context.Background())
		url := "http://" + listener.Addr().String() + "/api/moorings"
		out, err := exec.Command(wrk, "-t1", "-c8", "-d2s", "-H", "Accept-Encoding: "+coding, url).CombinedOutput()
		found := regexp.MustCompile(`Requests/sec:\s+([0-9.]+)`).FindSubmatch(out)
		if err != nil || found == nil || regexp.MustCompile(`Non-2xx`).Match(out) {
			b.Fatalf("wrk: %v\n%s", err, out)
		}
		v, err := strconv.ParseFloat(string(found[1]), 64)
		if err != nil {
			b.Fatal(err)
		}
		return v
	}
	for b.Loop() {
		body(b, get(b, s, "/api/moorings", "Accept-Encoding", "gzip"))
		time.Sleep(100 * time.Millisecond)
		gz := max(rate(s.Handler(), "gzip"), rate(s.Handler(), "gzip"))
		br := rate(s.Handler(), "br")
		plain := rate(naive, "identity")
		b.ReportMetric(gz, "req/s-gzip")
		b.ReportMetric(br, "req/s-br")
		b.ReportMetric(br/plain, "x-naive")
		b.ReportMetric(float64(len(body(b, get(b, s, "/api/moorings", "Accept-Encoding", "br")))), "bytes-br")
	}
}
