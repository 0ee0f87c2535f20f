package api

import (
	"bytes"
	"io"
	"time"

	"swingroom/api/paper"
	"swingroom/geo/room"
)

const pdfType = "application/pdf"

var paperParams = []param{{name: "scale", doc: "Scale of the chart, as 2500 or 1:2500; chosen so that it fits unless given."},
	{name: "paper", doc: "Size of the paper; by the harbor's units unless given: letter for feet, a4 for metres."}}

var sheetParams = append(append([]param{{name: "reason", doc: "Why the mooring is assigned, to be printed."},
	{name: "fit", doc: "true: with the fit check of the boat that lies there; with another boat's length, of her."},
	{name: "rode_m", doc: "Another rode tried with her, metres."}, {name: "radius_m", doc: "A swing radius stated for her, metres."}},
	paperParams...), boatParams...)

// sheetPDF is the sheet of a mooring to be put in the file and signed.
func (q *request) sheetPDF() error {
	s, i, err := q.mooring()
	if err != nil {
		return err
	}
	number := s.field.Harbor().Moorings[i].Number
	o := paper.SheetOptions{Options: paper.Options{Paper: q.paper(), At: time.Now(), Revision: s.info.Revision},
		Reason: q.query.Get("reason")}
	if q.query.Get("loa_m")+q.query.Get("length_all_m") != "" || lower(q.query.Get("fit")) == "true" {
		m, err := q.fitted(s)
		if err != nil {
			return err
		}
		fit := room.Fit(s.water(), m, s.lengths, q.gone)
		o.Trial = TrialOf(&fit, s.field.Harbor().Units)
	}
	return q.pdf("mooring "+number, func(w io.Writer, scale int) error {
		o.Scale = scale
		return paper.MooringSheet(w, s.field, number, o)
	})
}

// areaChartPDF is the chart of an area.
func (q *request) areaChartPDF() error {
	s, err := q.harbor()
	if err != nil {
		return err
	}
	area := q.query.Get("area")
	return q.pdf("chart "+area, func(w io.Writer, scale int) error {
		return paper.AreaChart(w, s.field, area, paper.Options{Paper: q.paper(), Scale: scale, At: time.Now(),
			Revision: s.info.Revision})
	})
}

func (q *request) paper() paper.Paper { return paper.Paper(lower(q.query.Get("paper"))) }

// pdf draws a document at the scale that is asked for and sends it, named for whoever saves it.
func (q *request) pdf(name string, draw func(w io.Writer, scale int) error) error {
	scale, err := paper.ParseScale(q.query.Get("scale"))
	if err != nil {
		return err
	}
	var body bytes.Buffer
	if err := draw(&body, scale); err != nil {
		return err
	}
	// A browser shows a PDF by a viewer of its own, which the page's policy against objects would stop.
	q.w.Header().Set("Content-Security-Policy", "default-src 'self'; object-src 'self'; base-uri 'none'; frame-ancestors 'none'")
	q.named("inline", name+".pdf")
	q.write(newAnswer(pdfType, body.Bytes()))
	return nil
}
