package api

// sheet answers with one mooring. Its tag names the revision of the harbor that was looked at, so that an act can be tied to it.
func sheet(q *request) error {
	h, err := q.harbor()
	if err != nil {
		return err
	}
	sheet, err := h.Sheet(q.r.Context(), q.pathText("number"))
	if err != nil {
		return err
	}
	a, err := jsonAnswer(sheet)
	if err != nil {
		return err
	}
	a.about(h.Info.Revision)
	q.write(a)
	return nil
}

// record answers with one thing on record, and the tag by which it can be changed.
func record(q *request) error {
	h, err := q.harbor()
	if err != nil {
		return err
	}
	r, err := h.Record(q.r.Context(), q.pathText("noun"), q.pathText("name"))
	if err != nil {
		return err
	}
	return q.writeTagged(r, tagOf(r.Revision))
}
