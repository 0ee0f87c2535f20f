package main

import (
	"bufio"
	"context"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// BenchmarkDemo measures the program as a user gets it: its size without cgo, and the time from its start to the first answer.
func BenchmarkDemo(b *testing.B) {
	program := filepath.Join(b.TempDir(), "swingroom")
	build := exec.Command("go", "build", "-trimpath", "-ldflags", "-s -w", "-o", program, ".")
	build.Env = append(os.Environ(), "CGO_ENABLED=0")
	if out, err := build.CombinedOutput(); err != nil {
		b.Fatalf("%v\n%s", err, out)
	}
	info, err := os.Stat(program)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		ctx, stop := context.WithCancel(context.Background())
		cmd := exec.CommandContext(ctx, program, "demo", "--listen", "127.0.0.1:0")
		out, err := cmd.StdoutPipe()
		if err != nil {
			b.Fatal(err)
		}
		start := time.Now()
		if err := cmd.Start(); err != nil {
			b.Fatal(err)
		}
		lines, url := bufio.NewScanner(out), ""
		for url == "" && lines.Scan() {
			if _, after, ok := strings.Cut(lines.Text(), "http://"); ok {
				url, _, _ = strings.Cut("http://"+after, " ")
			}
		}
		r, err := http.Get(url + "api/check")
		if err != nil || r.StatusCode != http.StatusOK {
			b.Fatal(err, url)
		}
		r.Body.Close()
		b.ReportMetric(time.Since(start).Seconds(), "s-to-first-answer")
		stop()
		_ = cmd.Wait() // it was stopped
	}
	b.ReportMetric(float64(info.Size())/1e6, "MB")
}
