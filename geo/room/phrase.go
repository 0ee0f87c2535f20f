package room

import (
	"fmt"

	"swingroom/geo"
)

// phrase is a part of a sentence in the reader's units.
type phrase func(geo.Units) string

// inUnits is a length in the reader's units.
func inUnits(l geo.Metres) phrase {
	return func(u geo.Units) string { return geo.Figure(float64(l), "m", u) }
}

// say makes a phrase of a format and what stands in it: phrases are written in the reader's units.
func say(format string, args ...any) phrase {
	return func(u geo.Units) string {
		told := make([]any, len(args))
		for i, a := range args {
			told[i] = inSentence(a, u)
		}
		return fmt.Sprintf(format, told...)
	}
}

// inSentence is what stands in a sentence: a phrase in the reader's units, and anything else as it is.
func inSentence(a any, u geo.Units) any {
	if p, is := a.(phrase); is {
		return p(u)
	}
	return a
}

// withParts adds to a phrase what is new of a tackle.
func withParts(words phrase, parts []phrase) phrase {
	if len(parts) == 0 {
		return words
	}
	return say("%s, with %s", words, joined(parts))
}

// thereWith is what is new of a tackle elsewhere; empty where nothing is.
func thereWith(parts []phrase) phrase {
	if len(parts) == 0 {
		return say("")
	}
	return say(" there with %s", joined(parts))
}

// joined is a list of phrases: a, b and c.
func joined(parts []phrase) phrase {
	return func(u geo.Units) string {
		text := ""
		for i, p := range parts {
			switch {
			case i == 0:
			case i == len(parts)-1:
				text += " and "
			default:
				text += ", "
			}
			text += p(u)
		}
		return text
	}
}
