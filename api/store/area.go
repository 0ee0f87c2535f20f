package store

import (
	"context"
	"database/sql"
	"database/sql/driver"
	"fmt"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/encoding/wkb"

	"swingroom/geo"
)

const areaColumns = "name, shape, rule, scope, formula_loa, formula_depth, formula_constant_m, margin_m, keel_margin_m, largest_loa_m, " +
	"largest_draft_m, lying, design_wind_ms, gust, scatter_deg, stream_ms, stream_deg, calm_off"

// areaFields are what areaColumns hold, to be read or written.
func areaFields(a *geo.Area) []any {
	r, s, d := &a.Rules, &a.Rules.Swing, &a.Rules.Design
	return []any{&a.Name, inWKB{&a.Shape}, &s.Kind, &s.ScopeRatio, &s.LOARatio, &s.DepthRatio, &s.Constant, &r.Margin, &r.KeelMargin,
		maybe[geo.Metres]{&r.LargestLOA}, maybe[geo.Metres]{&r.LargestDraft}, &r.Lying, maybe[geo.MetresPerSecond]{&d.Wind},
		maybe[float64]{&d.GustRatio}, maybe[float64]{&d.ScatterDeg}, maybe[geo.MetresPerSecond]{&d.Stream}, maybe[float64]{&d.StreamDeg},
		&d.CalmOff}
}

func scanArea(rows *sql.Rows) (a geo.Area, err error) {
	err = rows.Scan(areaFields(&a)...)
	return a, err
}

func readAreas(ctx context.Context, tx *sql.Tx, harborID int64) ([]geo.Area, error) {
	return list(ctx, tx, scanArea, "SELECT "+areaColumns+" FROM area WHERE harbor_id = ? ORDER BY ordinal", harborID)
}

func writeArea(ctx context.Context, tx *sql.Tx, harborID int64, ordinal int, a *geo.Area) error {
	_, err := tx.ExecContext(ctx, "INSERT OR REPLACE INTO area (harbor_id, ordinal, "+areaColumns+") VALUES (?, ?, "+marks(areaColumns)+")",
		append([]any{harborID, ordinal}, areaFields(a)...)...)
	if err != nil {
		return fmt.Errorf("area %s: %w", a.Name, err)
	}
	return nil
}

// removeAreas removes the areas that a change removes.
func removeAreas(ctx context.Context, tx *sql.Tx, harborID int64, removed []Change) error {
	for _, c := range removed {
		if c.Noun != NounArea {
			continue
		}
		if _, err := tx.ExecContext(ctx, "DELETE FROM area WHERE harbor_id = ? AND name = ?", harborID, c.Name); err != nil {
			return err
		}
	}
	return nil
}

// inWKB is a shape in a column, as well-known binary.
type inWKB struct{ of *orb.MultiPolygon }

func (w inWKB) Value() (driver.Value, error) { return wkb.Marshal(*w.of) }

func (w inWKB) Scan(v any) error {
	b, ok := v.([]byte)
	if !ok {
		return fmt.Errorf("%T in a column of shapes", v)
	}
	g, err := wkb.Unmarshal(b)
	if err != nil {
		return err
	}
	if *w.of, ok = g.(orb.MultiPolygon); !ok {
		return fmt.Errorf("a shape of type %s on file", g.GeoJSONType())
	}
	return nil
}
