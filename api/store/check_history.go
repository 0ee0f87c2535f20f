package store

import (
	"bytes"
	"context"
	"database/sql"
	"encoding/json"
	"fmt"

	"swingroom/geo"
)

// recordKey is a record of one harbor.
type recordKey struct {
	harborID int64
	Key
}

func (k recordKey) String() string { return fmt.Sprintf("%s %q", k.Noun, k.Name) }

// lastRecords are what the history left of each record.
type lastRecords map[recordKey][]byte

// checkHistory compares every row of history with the row before it of the same record, whose after is its before, and the last with what
// the tables say: all that is on record stands in the file twice.
func checkHistory(ctx context.Context, tx *sql.Tx) (found string, err error) {
	last := lastRecords{}
	err = each(ctx, tx, func(rows *sql.Rows) (err error) {
		if found == "" {
			found, err = last.follow(rows)
		}
		return err
	}, "SELECT id, harbor_id, noun, name, before, after FROM history ORDER BY id")
	if found != "" || err != nil {
		return found, err
	}
	all, err := listHarbors(ctx, tx)
	if err != nil {
		return "", err
	}
	for _, info := range all {
		if found, err := last.checkHarbor(ctx, tx, info); found != "" || err != nil {
			return found, err
		}
	}
	return "", nil
}

// follow reads one row of history, which has to go on where the last one of its record ended.
func (last lastRecords) follow(rows *sql.Rows) (found string, err error) {
	var id int64
	var key recordKey
	var before, after []byte
	if err := rows.Scan(&id, &key.harborID, &key.Noun, &key.Name, &before, &after); err != nil {
		return "", err
	}
	if !sameRecord(key.Noun, last[key], before) {
		return fmt.Sprintf("row %d of the history: what it says of %v before is not what was left there", id, key), nil
	}
	last[key] = after
	return "", nil
}

// checkHarbor compares the tables of a harbor with the end of its history.
func (last lastRecords) checkHarbor(ctx context.Context, tx *sql.Tx, info Info) (found string, err error) {
	now, err := snapshotOnFile(ctx, tx, info.id)
	if err != nil {
		return "", err
	}
	for _, r := range now.records {
		if key := (recordKey{info.id, r.Key}); !sameRecord(r.Noun, last[key], r.body) {
			return fmt.Sprintf("%v is not as the history left it", key), nil
		}
	}
	for key, after := range last {
		if key.harborID == info.id && after != nil && !now.has(key.Noun, key.Name) {
			return fmt.Sprintf("%v is not there any more, and the history does not say why", key), nil
		}
	}
	return checkRevision(ctx, tx, info)
}

// checkRevision compares the revision and the time of a harbor with the end of its history.
func checkRevision(ctx context.Context, tx *sql.Tx, info Info) (found string, err error) {
	var revision, changedMS int64
	err = tx.QueryRowContext(ctx, "SELECT coalesce(max(revision), 0), coalesce(max(at_ms), 0) FROM history WHERE harbor_id = ?",
		info.id).Scan(&revision, &changedMS)
	if err == nil && (revision != info.Revision || changedMS != info.Changed.UnixMilli()) {
		found = fmt.Sprintf("harbor %s is at revision %d, and the history ends with %d", info.Slug, info.Revision, revision)
	}
	return found, err
}

// sameRecord compares JSON of a noun by what this program reads from it: an earlier version may have written fewer fields. nil is no
// record.
func sameRecord(noun string, a, b []byte) bool {
	if (a == nil) != (b == nil) {
		return false
	}
	if bytes.Equal(a, b) {
		return true
	}
	same, known := sameWhenRead[noun]
	return known && same(a, b)
}

// sameWhenRead compares what is read from two records of a noun.
var sameWhenRead = map[string]func(a, b []byte) bool{
	NounHarbor: func(a, b []byte) bool {
		return alike(a, b, func(x, y *harborRecord) {
			if len(x.Waiting) == 0 || len(y.Waiting) == 0 { // each who waits has a history of their own since version 7
				x.Waiting, y.Waiting = nil, nil
			}
		})
	},
	NounArea:    alikeAs[areaRecord],
	NounKeepOut: alikeAs[keepOutRecord],
	NounMooring: alikeAs[geo.Mooring],
	NounOwner:   alikeAs[geo.Owner],
	NounNote:    alikeAs[geo.Note],
	NounWaiting: alikeAs[geo.Waiting],
}

func alikeAs[T any](a, b []byte) bool { return alike(a, b, func(_, _ *T) {}) }

// alike reads both and writes them again; between the two, settle evens out what may differ. A field that the noun does not have is a
// difference: its name may have been another.
func alike[T any](a, b []byte, settle func(x, y *T)) bool {
	var x, y T
	if !readsWhole(a, &x) || !readsWhole(b, &y) {
		return false
	}
	settle(&x, &y)
	p, errX := json.Marshal(x)
	q, errY := json.Marshal(y)
	return errX == nil && errY == nil && sameJSON(p, q)
}

// readsWhole reads a record, and reports whether all that it says is said in it as it is written now, letter for letter: fewer fields are
// those of an earlier version.
func readsWhole[T any](body []byte, to *T) bool {
	d := json.NewDecoder(bytes.NewReader(body))
	d.DisallowUnknownFields()
	if d.Decode(to) != nil {
		return false
	}
	now, err := json.Marshal(to)
	var x, y any
	return err == nil && json.Unmarshal(body, &x) == nil && json.Unmarshal(now, &y) == nil && isPart(x, y)
}

// isPart reports whether all of some JSON is in other JSON.
func isPart(x, y any) bool {
	switch x := x.(type) {
	case map[string]any:
		of, ok := y.(map[string]any)
		return ok && hasMembers(of, x)
	case []any:
		of, ok := y.([]any)
		return ok && hasPlaces(of, x)
	}
	return x == y
}

func hasMembers(of, x map[string]any) bool {
	for name, v := range x {
		there, known := of[name]
		noneWaits := v == nil && name == "waiting" // it was written so before version 7
		if !known && !noneWaits || !isPart(v, there) {
			return false
		}
	}
	return true
}

func hasPlaces(of, x []any) bool {
	if len(x) != len(of) {
		return false
	}
	for i := range x {
		if !isPart(x[i], of[i]) {
			return false
		}
	}
	return true
}
