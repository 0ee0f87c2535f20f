package api

import (
	"swingroom/geo/room"
)

// waiting answers with the waiting list held against the vacant moorings. It is worked out once for each state of the harbor.
func (q *request) waiting() error {
	s, err := q.harbor()
	if err != nil {
		return err
	}
	serving := s.serving(func() room.Serving { return room.Serve(s.field, nil) })
	return q.writeJSON(serving)
}
