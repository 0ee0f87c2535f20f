package office

import "swingroom/geo/clearance"

// CheckQuestion is which troubles are asked for.
type CheckQuestion struct {
	Kind string `json:"kind"` // kinds with commas, see clearance.ParseKinds; all unless said
}

// Check is the report of the harbor: all troubles and what could not be checked, worst first. Errors: geo.ErrInvalid for a kind.
func (h *Harbor) Check(q CheckQuestion) (*clearance.Report, error) {
	chosen, err := clearance.ParseKinds(q.Kind)
	if err != nil {
		return nil, err
	}
	return h.Field.Report().Only(chosen), nil
}
