package api

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"sync"

	"github.com/andybalholm/brotli"
)

// answer is a body ready to be sent, as it is and compressed, each with its strong ETag (RFC 9110, section 8.8.3).
type answer struct {
	contentType []string
	plain       encoded
	single      bool   // only the plain form is sent
	prefix      string // of its tags
	lasting     bool   // its path changes with its content, and it is the same for everybody
	passing     bool   // it is made for one reader: packed quickly, and not with brotli, whose tables cost more than a small answer
	gzipOnce    sync.Once
	brotliOnce  sync.Once
	gzip        encoded
	brotli      encoded
}

// encoded is one form of a body with its headers made.
type encoded struct {
	body   []byte
	length []string
	etag   []string
	coding []string
}

func newAnswer(contentType string, body []byte) *answer {
	return &answer{contentType: []string{contentType}, plain: encode(body, body, "", "")}
}

// about gives an answer tags that begin with a revision: with such a tag as If-Match an act can be tied to what was looked at.
func (a *answer) about(revision int64) {
	a.prefix = fmt.Sprintf("r%d-", revision)
	a.plain = encode(a.plain.body, a.plain.body, "", a.prefix)
}

// tag gives an answer the tag of a version instead of that of its bytes; it is then sent in one form only.
func (a *answer) tag(etag string) {
	a.plain.etag = []string{etag}
	a.single = true
}

func encode(body, original []byte, coding, prefix string) encoded {
	sum := sha256.Sum256(original)
	tag := prefix + base64.RawURLEncoding.EncodeToString(sum[:12])
	e := encoded{body: body, length: []string{strconv.Itoa(len(body))}}
	if coding != "" {
		e.coding = []string{coding}
		tag += "-" + coding
	}
	e.etag = []string{`"` + tag + `"`}
	return e
}

// brotliLevel packs the map of the demo harbor (250 kB) in 11 ms where level 9 takes 24, and 4 % larger: it is packed anew after every
// change, while readers wait.
const brotliLevel = 5

// inGzip and inBrotli make the compressed forms, each the first time that it is asked for.
func (a *answer) inGzip() *encoded {
	a.gzipOnce.Do(func() {
		level := gzip.BestCompression
		if a.passing {
			level = gzip.DefaultCompression
		}
		var z bytes.Buffer
		w, _ := gzip.NewWriterLevel(&z, level) // the level is one that there is
		_, _ = w.Write(a.plain.body)           // a buffer takes everything
		_ = w.Close()
		a.gzip = encode(z.Bytes(), a.plain.body, "gzip", a.prefix)
	})
	return &a.gzip
}

func (a *answer) inBrotli() *encoded {
	a.brotliOnce.Do(func() {
		var b bytes.Buffer
		w := brotli.NewWriterLevel(&b, brotliLevel)
		_, _ = w.Write(a.plain.body)
		_ = w.Close()
		a.brotli = encode(b.Bytes(), a.plain.body, "br", a.prefix)
	})
	return &a.brotli
}

// choose takes the smallest form that the reader accepts.
func (a *answer) choose(accept string) *encoded {
	if a.single || len(a.plain.body) < compressFrom || accept == "" {
		return &a.plain
	}
	switch {
	case !a.passing && accepts(accept, "br"):
		return a.inBrotli()
	case accepts(accept, "gzip"):
		return a.inGzip()
	}
	return &a.plain
}

// accepts reads an Accept-Encoding header: named, and not with q=0.
func accepts(accept, coding string) bool {
	if accept == coding {
		return true
	}
	for part := range strings.SplitSeq(accept, ",") {
		name, q, _ := strings.Cut(part, ";")
		if strings.TrimSpace(name) == coding {
			q = strings.ReplaceAll(q, " ", "")
			return q != "q=0" && q != "q=0.0" && q != "q=0.00" && q != "q=0.000"
		}
	}
	return false
}

var (
	varyHeader  = []string{"Accept-Encoding"}
	cacheHeader = []string{"no-cache"}
	neverHeader = []string{"no-store"}
	// A year is the longest that RFC 2616, section 14.21, allowed; immutable (RFC 8246) spares the question at a reload.
	lastingHeader = []string{"public, max-age=31536000, immutable"}
)

// caching lets nothing be kept of what an act answers, or of any answer to somebody who has signed in; others look again whether theirs
// still holds. What lasts is kept.
func (q *request) caching(a *answer) []string {
	if a.lasting {
		return lastingHeader
	}
	if q.person.SignedIn() || q.r.Method == http.MethodPost {
		return neverHeader
	}
	return cacheHeader
}

// write sends an answer, or that the reader has it already.
func (q *request) write(a *answer) {
	e := a.choose(q.r.Header.Get("Accept-Encoding"))
	h := q.w.Header()
	h["Etag"], h["Vary"], h["Cache-Control"] = e.etag, varyHeader, q.caching(a)
	if match := q.r.Header.Get("If-None-Match"); match != "" && (match == "*" || strings.Contains(match, e.etag[0])) {
		q.w.WriteHeader(http.StatusNotModified)
		return
	}
	h["Content-Type"], h["Content-Length"] = a.contentType, e.length
	if e.coding != nil {
		h["Content-Encoding"] = e.coding
	}
	if q.r.Method == http.MethodHead {
		return
	}
	_, _ = q.w.Write(e.body) // the reader may be gone; there is nobody to tell
}

// jsonAnswer is a value that was made for one request.
func jsonAnswer(v any) (*answer, error) {
	body, err := json.Marshal(v)
	if err != nil {
		return nil, err
	}
	a := newAnswer("application/json", body)
	a.passing = true
	return a, nil
}

// writeJSON sends a value that was made for this request.
func (q *request) writeJSON(v any) error {
	a, err := jsonAnswer(v)
	if err == nil {
		q.write(a)
	}
	return err
}

// writeTagged sends a value that was made for this request with the tag of a version.
func (q *request) writeTagged(v any, tag string) error {
	a, err := jsonAnswer(v)
	if err == nil {
		a.tag(tag)
		q.write(a)
	}
	return err
}

// named says whether an answer is shown or saved, and under which name, in any script (RFC 6266, section 4.3, and RFC 8187).
func (q *request) named(how, file string) {
	q.w.Header().Set("Content-Disposition", how+"; filename*=UTF-8''"+strings.ReplaceAll(url.QueryEscape(file), "+", "%20"))
}
