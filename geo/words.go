package geo

// Words is one sentence in the units that a reader may have chosen. It is made from figures at the last moment, shown as it is, and never
// parsed or compared.
type Words struct {
	Feet   string `json:"feet"`   // feet, inches, pounds, pounds-force
	Metres string `json:"metres"` // metres, millimetres, kilograms, newtons
}

// In is the sentence in some units.
func (w Words) In(u Units) string {
	if u == UnitsFeet {
		return w.Feet
	}
	return w.Metres
}

// WordsOf makes a sentence in both units.
func WordsOf(say func(Units) string) Words {
	return Words{Feet: say(UnitsFeet), Metres: say(UnitsMetres)}
}

// Plain is a sentence without figures: it reads the same in both units.
func Plain(text string) Words { return Words{Feet: text, Metres: text} }
