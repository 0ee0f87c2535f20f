package room_test

import (
	"context"
	"errors"
	"testing"

	"swingroom/geo/room"
)

// Every search says when it was stopped, so that a partial answer is taken for no other; open water is then not shown at all.
func TestEveryStoppedSearchSaysSo(t *testing.T) {
	w := demo(t)
	f := w.Field()
	area := must(f.Harbor().Area("Town Cove"))
	q, err := w.Ask(asks(area)[0])
	if err != nil {
		t.Fatal(err)
	}
	change, err := room.Try(f, room.Change{Area: area.Name, ScopeRatio: 1.5})
	if err != nil {
		t.Fatal(err)
	}
	i, _ := f.Index("301")
	for name, search := range map[string]func(ctx context.Context) error{
		"best":     func(ctx context.Context) error { _, err := q.Best(ctx, 5, 20); return err },
		"why not":  func(ctx context.Context) error { _, _, err := q.WhyNot(ctx); return err },
		"misses":   func(ctx context.Context) error { _, err := q.NearMisses(ctx, 5, 20); return err },
		"as it is": func(ctx context.Context) error { _, err := q.CapacityAsIs(ctx, nil); return err },
		"afresh":   func(ctx context.Context) error { _, err := q.CapacityAfresh(ctx, room.Free, nil); return err },
		"moved": func(ctx context.Context) error {
			_, err := q.CapacityMoved(ctx, laid(w, area.Name)[:1], nil)
			return err
		},
		"gained":  func(ctx context.Context) error { _, err := change.Gained(ctx, "", nil); return err },
		"lengths": func(ctx context.Context) error { _, err := room.NewLengths(f).All(ctx, nil); return err },
		"serve":   func(ctx context.Context) error { _, err := room.Serve(ctx, f, nil, nil); return err },
		"fit": func(ctx context.Context) error {
			fit, err := room.Fit(ctx, w, longer(f.Harbor().Moorings[i], 1.5), nil)
			if len(fit.Unsearched) == 0 {
				t.Error("a fit check that is stopped does not tell what was not looked for")
			}
			return err
		},
	} {
		if err := search(stopped(t)); !errors.Is(err, context.Canceled) || !room.Partial(err) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if r, err := q.Region(stopped(t)); !errors.Is(err, room.ErrStopped) || room.Partial(err) || len(r.Polygons) > 0 {
		t.Errorf("open water: %v, %d polygons", err, len(r.Polygons))
	}
}
