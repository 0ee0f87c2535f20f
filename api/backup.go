package api

import (
	"errors"
	"time"

	"swingroom/api/store"
)

// BackupHealth is how the scheduled backups stand. Where they are kept is not told: everybody may ask.
type BackupHealth struct {
	Last         *time.Time `json:"last"`          // when the newest whole one was made; null: there is none
	FailingSince *time.Time `json:"failing_since"` // null: the last try went well
	Words        string     `json:"words"`
}

// backupHealth is null where no backups are scheduled.
func (s *Service) backupHealth() *BackupHealth {
	if s.backups == nil {
		return nil
	}
	state := s.backups.State()
	h := &BackupHealth{Words: "the first backup is being made"}
	if !state.Last.IsZero() {
		last := state.Last.UTC()
		h.Last, h.Words = &last, "backups are made as scheduled"
	}
	if state.Err == nil {
		return h
	}
	since := state.Failing.UTC()
	h.FailingSince, h.Words = &since, "backups fail; the log of the service says why"
	for _, kind := range []error{store.ErrFull, store.ErrReadOnly, store.ErrDamaged} {
		if errors.Is(state.Err, kind) {
			h.Words = "backups fail: " + kind.Error()
		}
	}
	return h
}
