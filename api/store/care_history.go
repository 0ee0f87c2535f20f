package store

import (
	"bytes"
	"context"
	"database/sql"
	"encoding/json"
	"fmt"

	"swingroom/geo"
)

// thing is a noun of one harbor under its name.
type thing struct {
	harborID   int64
	noun, name string
}

func (t thing) String() string { return fmt.Sprintf("%s %q", t.noun, t.name) }

// historyHolds holds every row of history against the row before it of the same thing, whose after is its before, and the last against what
// the tables say: all that is on record stands in the file twice.
func historyHolds(ctx context.Context, tx *sql.Tx) (found string, err error) {
	last := map[thing][]byte{}
	rows, err := tx.QueryContext(ctx, "SELECT id, harbor_id, noun, name, before, after FROM history ORDER BY id")
	if err != nil {
		return "", err
	}
	defer rows.Close()
	for rows.Next() {
		var id int64
		var t thing
		var before, after []byte
		if err := rows.Scan(&id, &t.harborID, &t.noun, &t.name, &before, &after); err != nil {
			return "", err
		}
		if !sameRecord(t.noun, last[t], before) {
			return fmt.Sprintf("row %d of the history: what it says of %v before is not what was left there", id, t), nil
		}
		last[t] = after
	}
	if err := rows.Err(); err != nil {
		return "", err
	}
	all, err := infos(ctx, tx)
	if err != nil {
		return "", err
	}
	for _, info := range all {
		if found, err := tablesHold(ctx, tx, info, last); found != "" || err != nil {
			return found, err
		}
	}
	return "", nil
}

// tablesHold holds a harbor against the last of its history.
func tablesHold(ctx context.Context, tx *sql.Tx, info Info, last map[thing][]byte) (found string, err error) {
	now, err := onFile(ctx, tx, info.id)
	if err != nil {
		return "", err
	}
	for _, r := range now.records {
		t := thing{info.id, r.noun, r.name}
		if !sameRecord(r.noun, last[t], r.body) {
			return fmt.Sprintf("%v is not as the history left it", t), nil
		}
	}
	for t, after := range last {
		if _, there := now.index[[2]string{t.noun, t.name}]; t.harborID == info.id && after != nil && !there {
			return fmt.Sprintf("%v is not there any more, and the history does not say why", t), nil
		}
	}
	var revision, changedMS int64
	if err := tx.QueryRowContext(ctx, "SELECT coalesce(max(revision), 0), coalesce(max(at_ms), 0) FROM history WHERE harbor_id = ?",
		info.id).Scan(&revision, &changedMS); err != nil {
		return "", err
	}
	if revision != info.Revision || changedMS != info.Changed.UnixMilli() {
		return fmt.Sprintf("harbor %s is at revision %d, and the history ends with %d", info.Slug, info.Revision, revision), nil
	}
	return "", nil
}

// sameRecord compares JSON of a noun by what this program reads from it: an earlier version may have written fewer fields. nil is no
// record.
func sameRecord(noun string, a, b []byte) bool {
	if (a == nil) != (b == nil) {
		return false
	}
	return bytes.Equal(a, b) || readAlike(noun, a, b)
}

func readAlike(noun string, a, b []byte) bool {
	switch noun {
	case NounHarbor:
		return alike[harborRecord](a, b, func(x, y *harborRecord) {
			if len(x.Waiting) == 0 || len(y.Waiting) == 0 { // each who waits has a history of her own since version 7
				x.Waiting, y.Waiting = nil, nil
			}
		})
	case NounArea:
		return alike[areaRecord](a, b, nil)
	case NounKeepOut:
		return alike[keepOutRecord](a, b, nil)
	case NounMooring:
		return alike[geo.Mooring](a, b, nil)
	case NounOwner:
		return alike[geo.Owner](a, b, nil)
	case NounNote:
		return alike[geo.Note](a, b, nil)
	case NounWaiting:
		return alike[geo.Waiting](a, b, nil)
	}
	return false
}

// alike reads both and writes them again. A field that the noun does not have is a difference: its name may have been another.
func alike[T any](a, b []byte, settle func(x, y *T)) bool {
	var x, y T
	for _, side := range []struct {
		from []byte
		to   *T
	}{{a, &x}, {b, &y}} {
		d := json.NewDecoder(bytes.NewReader(side.from))
		d.DisallowUnknownFields()
		if d.Decode(side.to) != nil {
			return false
		}
	}
	p, errX := json.Marshal(x)
	q, errY := json.Marshal(y)
	if errX != nil || errY != nil || !within(a, p) || !within(b, q) {
		return false
	}
	if settle != nil {
		settle(&x, &y)
		p, errX = json.Marshal(x)
		q, errY = json.Marshal(y)
	}
	return errX == nil && errY == nil && sameFigures(p, q)
}

// within reports whether all that a record says is said in it as it is written now, letter for letter: fewer fields are those of an earlier
// version.
func within(record, now []byte) bool {
	var x, y any
	return json.Unmarshal(record, &x) == nil && json.Unmarshal(now, &y) == nil && isPart(x, y)
}

func isPart(x, y any) bool {
	switch x := x.(type) {
	case map[string]any:
		of, ok := y.(map[string]any)
		for name, v := range x {
			there, known := of[name]
			// it was written where nobody waits, before version 7
			if ok = ok && (known || v == nil && name == "waiting") && isPart(v, there); !ok {
				break
			}
		}
		return ok
	case []any:
		of, ok := y.([]any)
		if ok = ok && len(x) == len(of); ok {
			for i := range x {
				ok = ok && isPart(x[i], of[i])
			}
		}
		return ok
	}
	return x == y
}
