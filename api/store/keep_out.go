package store

import (
	"context"
	"database/sql"
	"fmt"

	"swingroom/geo"
)

const keepOutColumns = "name, kind, reason, setback_m, shape"

// keepOutFields are what keepOutColumns hold, to be read or written.
func keepOutFields(k *geo.KeepOut) []any {
	return []any{&k.Name, &k.Kind, &k.Reason, &k.Setback, inWKB{&k.Shape}}
}

func scanKeepOut(rows *sql.Rows) (k geo.KeepOut, err error) {
	err = rows.Scan(keepOutFields(&k)...)
	return k, err
}

func readKeepOuts(ctx context.Context, tx *sql.Tx, harborID int64) ([]geo.KeepOut, error) {
	return list(ctx, tx, scanKeepOut, "SELECT "+keepOutColumns+" FROM keep_out WHERE harbor_id = ? ORDER BY ordinal", harborID)
}

// writeKeepOuts writes all of them anew: they are few.
func writeKeepOuts(ctx context.Context, tx *sql.Tx, harborID int64, all []geo.KeepOut) error {
	if _, err := tx.ExecContext(ctx, "DELETE FROM keep_out WHERE harbor_id = ?", harborID); err != nil {
		return err
	}
	for i := range all {
		k := &all[i]
		_, err := tx.ExecContext(ctx, "INSERT INTO keep_out (harbor_id, ordinal, "+keepOutColumns+") VALUES (?, ?, "+marks(keepOutColumns)+
			")",
			append([]any{harborID, i}, keepOutFields(k)...)...)
		if err != nil {
			return fmt.Errorf("%s %s: %w", k.Kind, k.Name, err)
		}
	}
	return nil
}
