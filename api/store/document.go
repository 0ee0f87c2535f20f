package store

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/binary"
	"encoding/hex"
	"encoding/json"
	"fmt"

	"github.com/klauspost/compress/zstd"
	"github.com/paulmach/orb"
	"github.com/paulmach/orb/geojson"
	geom "github.com/twpayne/go-geom"
	"github.com/twpayne/go-geom/encoding/wkb"

	"swingroom/geo"
)

// document is a large thing that is kept under its hash. The zero document is none.
type document struct {
	sha   string
	bytes []byte
}

func newDocument(b []byte) document {
	sum := sha256.Sum256(b)
	return document{hex.EncodeToString(sum[:]), b}
}

// soundingsDocument is the soundings as WKB with z: longitude, latitude, depth.
func soundingsDocument(m *geom.MultiPoint) (document, error) {
	if m == nil {
		return document{}, nil
	}
	b, err := wkb.Marshal(m, binary.LittleEndian)
	if err != nil {
		return document{}, fmt.Errorf("soundings: %w", err)
	}
	return newDocument(b), nil
}

func soundingsOf(b []byte) (*geom.MultiPoint, error) {
	g, err := wkb.Unmarshal(b)
	if err != nil {
		return nil, fmt.Errorf("soundings: %w", err)
	}
	m, ok := g.(*geom.MultiPoint)
	if !ok {
		return nil, fmt.Errorf("soundings: %T on file", g)
	}
	return m, nil
}

// shore is a shoreline as JSON.
type shore struct {
	Land  *geojson.Geometry `json:"land"`
	Lines *geojson.Geometry `json:"lines"`
}

func shorelineDocument(s geo.Shoreline) (document, error) {
	if len(s.Land) == 0 && len(s.Lines) == 0 {
		return document{}, nil
	}
	b, err := json.Marshal(shore{geojson.NewGeometry(s.Land), geojson.NewGeometry(s.Lines)})
	if err != nil {
		return document{}, fmt.Errorf("shoreline: %w", err)
	}
	return newDocument(b), nil
}

func shorelineOf(b []byte) (s geo.Shoreline, err error) {
	var on shore
	if err := json.Unmarshal(b, &on); err != nil {
		return s, fmt.Errorf("shoreline: %w", err)
	}
	if land, ok := on.Land.Geometry().(orb.MultiPolygon); ok && len(land) > 0 {
		s.Land = land
	}
	if lines, ok := on.Lines.Geometry().(orb.MultiLineString); ok && len(lines) > 0 {
		s.Lines = lines
	}
	return s, nil
}

// readDocuments reads the documents of a harbor; an empty hash is none.
func readDocuments(ctx context.Context, tx *sql.Tx, h *geo.Harbor, shoreline, soundings string) error {
	if shoreline != "" {
		b, err := getDocument(ctx, tx, shoreline)
		if err != nil {
			return err
		}
		if h.Shoreline, err = shorelineOf(b); err != nil {
			return err
		}
	}
	if soundings == "" {
		return nil
	}
	b, err := getDocument(ctx, tx, soundings)
	if err == nil {
		h.Soundings, err = soundingsOf(b)
	}
	return err
}

// putDocument keeps a document, once.
func putDocument(ctx context.Context, tx *sql.Tx, d document) error {
	if d.sha == "" {
		return nil
	}
	var there bool
	if err := tx.QueryRowContext(ctx, "SELECT count(*) FROM document WHERE sha256 = ?", d.sha).Scan(&there); err != nil || there {
		return err
	}
	enc, err := zstd.NewWriter(nil, zstd.WithEncoderLevel(zstd.SpeedDefault))
	if err != nil {
		return err
	}
	defer enc.Close()
	_, err = tx.ExecContext(ctx, "INSERT INTO document (sha256, bytes) VALUES (?, ?)", d.sha, enc.EncodeAll(d.bytes, nil))
	return err
}

func getDocument(ctx context.Context, tx *sql.Tx, sha string) ([]byte, error) {
	var packed []byte
	if err := tx.QueryRowContext(ctx, "SELECT bytes FROM document WHERE sha256 = ?", sha).Scan(&packed); err != nil {
		return nil, fmt.Errorf("document %s: %w", sha, err)
	}
	dec, err := zstd.NewReader(nil)
	if err != nil {
		return nil, err
	}
	defer dec.Close()
	return dec.DecodeAll(packed, nil)
}
