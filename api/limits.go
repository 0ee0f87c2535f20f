package api

import (
	"log/slog"
	"net/http"
	"time"
)

// Every limit and timeout of the service.
const (
	readHeaderTimeout = 5 * time.Second
	readTimeout       = 10 * time.Second
	writeTimeout      = 60 * time.Second
	idleTimeout       = 2 * time.Minute
	photoPatience     = 4 * time.Minute // a picture of 12 MB takes 200 s at 0.5 Mbit/s
	stopPatience      = 10 * time.Second
	refreshEvery      = time.Second
	maxHeaderBytes    = 16 << 10
	maxQueryBytes     = 2 << 10
	compressFrom      = 1024 // bytes; smaller answers are sent as they are
)

func newServer(h http.Handler, log *slog.Logger) *http.Server {
	return &http.Server{
		Handler: h, ReadHeaderTimeout: readHeaderTimeout, ReadTimeout: readTimeout, WriteTimeout: writeTimeout, IdleTimeout: idleTimeout,
		MaxHeaderBytes: maxHeaderBytes, ErrorLog: slog.NewLogLogger(log.Handler(), slog.LevelWarn),
	}
}
