package geo

// Owner is one who has a boat, or waits for a place. A boat names its owner as it stands here.
type Owner struct {
	Name     string      `json:"name"`
	Phone    string      `json:"phone"`
	Email    string      `json:"email"`
	Address  string      `json:"address"`
	Resident Maybe[bool] `json:"resident"` // of the town that the harbor belongs to; unknown where it is not on record
	Note     string      `json:"note"`
}

// Validate returns every FieldError of the owner, joined.
func (o Owner) Validate() error {
	pr := problems{noun: "owner", name: o.Name}
	pr.named("name", o.Name)
	pr.text("phone", o.Phone, maxNameLength)
	pr.text("email", o.Email, maxNameLength)
	pr.text("address", o.Address, maxTextLength)
	pr.text("note", o.Note, maxTextLength)
	return pr.err()
}

// Owner finds an owner by name.
func (h *Harbor) Owner(name string) (*Owner, bool) {
	for i := range h.Owners {
		if h.Owners[i].Name == name {
			return &h.Owners[i], true
		}
	}
	return nil, false
}
