// Package api serves a harbor's field as GeoJSON and JSON over HTTP, and the page that draws it. What is asked and what is done is worked
// out by package office; this package finds out who asks, decodes, calls and encodes.
//
// # Paths
//
// Each path is one row of the table in routes.go. The router, the check of parameters, the least role and the OpenAPI 3.1 description at
// /openapi.json are all made from that table, so a path that is not in the description does not exist, and a parameter that is not in it is
// refused. Paths about a harbor begin with /api/harbors/NAME/. Under /api/ alone they take the only harbor on file; /api/harbor is that
// harbor itself. NAME@2026-03-01 is the harbor as it stood at the end of that day, or at a time, and is read-only.
//
// Collections are GeoJSON by RFC 7946 in longitude and latitude, and take bbox=west,south,east,north. Every feature has every property of
// its collection; null is 'not known'. Names carry their unit: depth_m is metres below chart datum, bearing_true_deg is degrees true. A
// swing circle comes as a polygon for show, with centre, radius and number of corners beside it, because its corners lie on the circle and
// the polygon is therefore a little smaller.
//
// # Acts
//
// What changes the record is posted as a JSON object of plain values (set of an edit is an object). It needs why, and the header If-Match
// with the ETag of what its author has looked at, such as "r57", or * to leave it to the act's own check. Who did it is who has signed in,
// and without accounts what the body says in who. 409 says that a boat does not fit, with reasons; despite gives a reason for doing it
// anyway. 412 says that something the act touches was changed since, with who changed what, field by field. 200 means that it is on disk.
//
// # Searches
//
// capacity, what_if/gained and waiting take seconds. Asked for text/event-stream they tell how far they have come: begun with the search's
// name, progress with done and total, and then found with the answer or failed with a problem. POST /api/searches/NAME/stop ends one, which
// then answers with the best so far. A search whose asker has gone ends by itself.
//
// # Errors
//
// Errors are application/problem+json by RFC 9457. One table, in problem.go, says which kind of error has which status.
package api
