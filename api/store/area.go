package store

import (
	"context"
	"database/sql"
	"fmt"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/encoding/wkb"

	"swingroom/geo"
)

const areaColumns = "name, shape, rule, scope, formula_loa, formula_depth, formula_constant_m, margin_m, keel_margin_m, largest_loa_m, " +
	"largest_draft_m, lying, " +
	"design_wind_ms, gust, scatter_deg, stream_ms, stream_deg, calm_off"

func readAreas(ctx context.Context, tx *sql.Tx, harborID int64) ([]geo.Area, error) {
	rows, err := tx.QueryContext(ctx, "SELECT "+areaColumns+" FROM area WHERE harbor_id = ? ORDER BY ordinal", harborID)
	if err != nil {
		return nil, err
	}
	return collect(rows, func(rows *sql.Rows) (a geo.Area, err error) {
		var shape []byte
		r, d := &a.Rules, &a.Rules.Design
		if err = rows.Scan(&a.Name, &shape, &r.Swing.Kind, &r.Swing.ScopeRatio, &r.Swing.LOARatio, &r.Swing.DepthRatio, &r.Swing.Constant,
			&r.Margin,
			&r.KeelMargin, maybe[geo.Metres]{&r.LargestLOA}, maybe[geo.Metres]{&r.LargestDraft}, &r.Lying,
			maybe[geo.MetresPerSecond]{&d.Wind}, maybe[float64]{&d.GustRatio}, maybe[float64]{&d.ScatterDeg},
			maybe[geo.MetresPerSecond]{&d.Stream}, maybe[float64]{&d.StreamDeg},
			&d.CalmOff); err == nil {
			a.Shape, err = shapeOf(shape)
		}
		return a, err
	})
}

func writeArea(ctx context.Context, tx *sql.Tx, harborID int64, ordinal int, a *geo.Area) error {
	shape, err := wkb.Marshal(a.Shape)
	if err != nil {
		return fmt.Errorf("area %s: %w", a.Name, err)
	}
	r, d := &a.Rules, &a.Rules.Design
	_, err = tx.ExecContext(ctx, "INSERT OR REPLACE INTO area (harbor_id, ordinal, "+areaColumns+
		") VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
		harborID, ordinal, a.Name, shape, r.Swing.Kind, r.Swing.ScopeRatio, r.Swing.LOARatio, r.Swing.DepthRatio, float64(r.Swing.Constant),
		float64(r.Margin),
		float64(r.KeelMargin), null(r.LargestLOA), null(r.LargestDraft), r.Lying,
		null(d.Wind), null(d.GustRatio), null(d.ScatterDeg), null(d.Stream), null(d.StreamDeg), d.CalmOff)
	return err
}

const keepOutColumns = "name, kind, reason, setback_m, shape"

func readKeepOuts(ctx context.Context, tx *sql.Tx, harborID int64) ([]geo.KeepOut, error) {
	rows, err := tx.QueryContext(ctx, "SELECT "+keepOutColumns+" FROM keep_out WHERE harbor_id = ? ORDER BY ordinal", harborID)
	if err != nil {
		return nil, err
	}
	return collect(rows, func(rows *sql.Rows) (k geo.KeepOut, err error) {
		var shape []byte
		if err = rows.Scan(&k.Name, &k.Kind, &k.Reason, &k.Setback, &shape); err == nil {
			k.Shape, err = shapeOf(shape)
		}
		return k, err
	})
}

// writeKeepOuts writes all of them anew: they are few.
func writeKeepOuts(ctx context.Context, tx *sql.Tx, harborID int64, all []geo.KeepOut) error {
	if _, err := tx.ExecContext(ctx, "DELETE FROM keep_out WHERE harbor_id = ?", harborID); err != nil {
		return err
	}
	for i, k := range all {
		shape, err := wkb.Marshal(k.Shape)
		if err != nil {
			return fmt.Errorf("%s %s: %w", k.Kind, k.Name, err)
		}
		if _, err := tx.ExecContext(ctx, "INSERT INTO keep_out (harbor_id, ordinal, "+keepOutColumns+") VALUES (?, ?, ?, ?, ?, ?, ?)",
			harborID, i, k.Name, k.Kind, k.Reason, float64(k.Setback), shape); err != nil {
			return err
		}
	}
	return nil
}

func shapeOf(b []byte) (orb.MultiPolygon, error) {
	g, err := wkb.Unmarshal(b)
	if err != nil {
		return nil, err
	}
	m, ok := g.(orb.MultiPolygon)
	if !ok {
		return nil, fmt.Errorf("a shape of type %s on file", g.GeoJSONType())
	}
	return m, nil
}
