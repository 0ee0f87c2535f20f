package geojson_test

import (
	"encoding/json"
	"fmt"

	"swingroom/api/exchange"
	"swingroom/api/geojson"
	"swingroom/api/office"
	"swingroom/api/store"
	"swingroom/fixtures"
	"swingroom/geo/clearance"
)

// The moorings of a harbor become points that any map program reads.
func Example() {
	in, err := exchange.ReadFolder(fixtures.Tarrowick(), exchange.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	field, err := clearance.NewField(in.Harbor)
	if err != nil {
		fmt.Println(err)
		return
	}
	var collection struct {
		Type     string
		Features []struct {
			ID       string
			Geometry struct {
				Type        string
				Coordinates []float64 // longitude, latitude
			}
			Properties map[string]any
		}
	}
	text := geojson.Moorings(office.SnapshotOf(field, store.Info{}))
	if err := json.Unmarshal(text, &collection); err != nil {
		fmt.Println(err)
		return
	}
	first := collection.Features[0]
	fmt.Println(collection.Type, len(collection.Features))
	fmt.Println(first.ID, first.Geometry.Type, first.Geometry.Coordinates, first.Properties["area"])
	// Output:
	// FeatureCollection 491
	// 101 Point [-41.4959333 44.2116467] Landing Reach
}
