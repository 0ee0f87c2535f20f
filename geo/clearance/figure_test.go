package clearance_test

import (
	"testing"

	"swingroom/geo/clearance"
)

func TestAFieldIsNamedByTheLongestEndingThatItHas(t *testing.T) {
	for range 50 { // the same at every call, too
		for field, want := range map[string]string{
			"top_chain_size_m": "top chain size", "top_chain_m": "top chain length", "pennant_size": "pennant size",
			"pennant_material":  "pennant material",
			"ground_chain_left": "ground chain wear", "anchor_kg": "anchor's weight", "loa_m": "boat's length",
			"soundings.csv": "soundings",
		} {
			if got := clearance.FieldWords(field); got != want {
				t.Fatalf("%s: %q, want %q", field, got, want)
			}
		}
	}
}
