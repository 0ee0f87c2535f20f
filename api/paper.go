package api

import (
	"bytes"
	"context"
	"io"
	"time"

	"swingroom/api/office"
	"swingroom/api/paper"
)

const pdfType = "application/pdf"

// onPaper is how a document is printed.
type onPaper struct {
	Scale string `json:"scale"` // as 2500 or 1:2500; chosen so that it fits unless given
	Size  string `json:"paper"` // by the harbor's units unless given
}

func (p onPaper) size() paper.Paper { return paper.Paper(lower(p.Size)) }

// sheetQuestion is what is printed on a mooring's sheet.
type sheetQuestion struct {
	Reason string `json:"reason"` // why the mooring is assigned
	Fit    bool   `json:"fit"`    // with the fit check of the boat that lies there; with another boat's length, of that
	onPaper
	triedBoat
}

// triedBoat is a boat that is tried, without the name of it and its owner: they are not printed.
type triedBoat struct {
	office.Dimensions
	office.Stated
}

// sheetPDF is the sheet of a mooring to be put in the file and signed.
func sheetPDF(q *request, in sheetQuestion) error {
	h, err := q.harbor()
	if err != nil {
		return err
	}
	ctx := q.r.Context()
	i, err := h.Index(ctx, q.pathText("number"))
	if err != nil {
		return err
	}
	number := h.Field.Harbor().Moorings[i].Number
	o := paper.SheetOptions{Options: paper.Options{Paper: in.size(), At: time.Now(), Revision: h.Info.Revision}, Reason: in.Reason}
	if o.Trial, err = in.trial(ctx, h, number); err != nil {
		return err
	}
	return q.pdf("mooring "+number, in.onPaper, func(w io.Writer, scale int) error {
		o.Scale = scale
		return paper.MooringSheet(w, h.Field, number, o)
	})
}

// trial is the fit check that is printed; nil: none is.
func (in *sheetQuestion) trial(ctx context.Context, h *office.Harbor, number string) (*paper.Trial, error) {
	tried := office.Tried{Boat: office.Boat{Dimensions: in.Dimensions}, Stated: in.Stated}
	if !in.Fit && !tried.IsSaid() {
		return nil, nil
	}
	fit, err := h.Fit(ctx, number, tried)
	if err != nil {
		return nil, err
	}
	return office.TrialOf(&fit, h.Field.Harbor().Units), nil
}

// chartQuestion is the area whose chart is printed.
type chartQuestion struct {
	Area string `json:"area"` // empty for the moorings that are in none
	onPaper
}

// areaChartPDF is the chart of an area.
func areaChartPDF(q *request, in chartQuestion) error {
	h, err := q.harbor()
	if err != nil {
		return err
	}
	return q.pdf("chart "+in.Area, in.onPaper, func(w io.Writer, scale int) error {
		return paper.AreaChart(w, h.Field, in.Area, paper.Options{Paper: in.size(), Scale: scale, At: time.Now(),
			Revision: h.Info.Revision})
	})
}

// historyQuestion is on what paper a history is printed.
type historyQuestion struct {
	Size string `json:"paper"`
}

// historyPDF is the history of a mooring to be printed; that of one that was given up too.
func historyPDF(q *request, in historyQuestion) error {
	h, err := q.harbor()
	if err != nil {
		return err
	}
	number := q.pathText("number")
	acts, err := h.MooringHistory(q.r.Context(), number)
	if err != nil {
		return err
	}
	p := onPaper{Size: in.Size}
	return q.pdf("history of mooring "+number, p, func(w io.Writer, _ int) error {
		return paper.MooringHistory(w, h.Field.Harbor(), number, acts,
			paper.Options{Paper: p.size(), At: time.Now(), Revision: h.Info.Revision})
	})
}

// pdf draws a document at the scale that is asked for and sends it, named for whoever saves it.
func (q *request) pdf(name string, p onPaper, draw func(w io.Writer, scale int) error) error {
	scale, err := paper.ParseScale(p.Scale)
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
