package api

import (
	"context"

	"swingroom/api/geojson"
	"swingroom/api/office"
)

// Health says that the service answers.
type Health struct {
	Status  string                `json:"status"`
	Harbors []office.HarborOnFile `json:"harbors"`
	Backup  *BackupHealth         `json:"backup"` // null: none are scheduled
}

// HarborList is the harbors on file.
type HarborList struct {
	Harbors []office.HarborOnFile `json:"harbors"`
}

func health(q *request) error {
	return q.writeJSON(Health{Status: "ok", Harbors: q.service.office.Harbors(), Backup: q.service.backupHealth()})
}

func harbors(q *request) error { return q.writeJSON(HarborList{Harbors: q.service.office.Harbors()}) }

func summary(h *office.Harbor, _ nothing) (office.HarborInfo, error) { return h.Summary(), nil }

func largest(h *office.Harbor, ctx context.Context, _ nothing) (office.Largest, error) {
	return h.Largest(ctx)
}

// boxQuestion is of which part of the map a collection is asked for.
type boxQuestion struct {
	Box string `json:"bbox"`
}

// collection is the handler of a GeoJSON collection: the whole is answered from what is ready, a part of it as it is asked for.
func collection(c geojson.Collection) handler {
	return takes(func(q *request, in boxQuestion) error {
		h, err := q.harbor()
		if err != nil {
			return err
		}
		box, err := geojson.ParseBox(in.Box)
		if err != nil {
			return err
		}
		if box != nil {
			q.write(newAnswer(geojson.MediaType, c.Of(h.Snapshot, box)))
			return nil
		}
		whole := h.Once(c.Name, func() any { return newAnswer(geojson.MediaType, c.Of(h.Snapshot, nil)) })
		q.write(whole.(*answer))
		return nil
	})
}

// weather answers with the field as it lies in one weather.
func weather(q *request, in office.WeatherQuestion) error {
	h, err := q.harbor()
	if err != nil {
		return err
	}
	lies, err := h.Weather(in)
	if err != nil {
		return err
	}
	q.write(newAnswer(geojson.MediaType, geojson.Weather(lies, h.Field)))
	return nil
}

// openWater answers with the whole water in which an anchor may stand.
func openWater(q *request, in office.RoomQuestion) error {
	h, err := q.harbor()
	if err != nil {
		return err
	}
	water, err := h.OpenWater(q.r.Context(), in)
	if err != nil {
		return err
	}
	q.write(newAnswer(geojson.MediaType, geojson.OpenWater(&water)))
	return nil
}

// changedMoorings answers with every mooring as it would be with a change: the same features as the moorings themselves.
func changedMoorings(q *request, in office.ChangeQuestion) error {
	h, err := q.harbor()
	if err != nil {
		return err
	}
	changed, err := h.Changed(in)
	if err != nil {
		return err
	}
	q.write(newAnswer(geojson.MediaType, geojson.Moorings(changed)))
	return nil
}
