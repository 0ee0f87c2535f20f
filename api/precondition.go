package api

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"swingroom/api/office"
	"swingroom/api/store"
)

// errUnconditional: an act does not say what its author has looked at.
var errUnconditional = errors.New(`If-Match is expected: the ETag of what was looked at, such as "r57", or * to leave it to the check`)

// tagOf is the strong ETag of a record, or of a harbor, that was last changed at a revision. The ETag of a larger answer about a harbor
// begins alike and goes on with the hash of its bytes: r57-HASH.
func tagOf(revision int64) string { return fmt.Sprintf(`"r%d"`, revision) }

// precondition is the revision that the author of an act has looked at, by the body where a header cannot be set, or by If-Match (RFC 9110,
// section 13.1.1). Weak tags match nothing.
func (q *request) precondition() (int64, error) {
	if q.values.has("revision") {
		return q.values.revision()
	}
	header := strings.Join(q.r.Header.Values("If-Match"), ",")
	if strings.TrimSpace(header) == "" {
		return 0, errUnconditional
	}
	return readTags(header)
}

// readTags gives the newest revision among the tags of an If-Match header. The error is store.ErrStale where none of them is one of ours.
func readTags(header string) (int64, error) {
	if strings.TrimSpace(header) == "*" {
		return office.AnyRevision, nil
	}
	newest := int64(-1)
	for tag := range strings.SplitSeq(header, ",") {
		if revision, ok := readTag(strings.TrimSpace(tag)); ok {
			newest = max(newest, revision)
		}
	}
	if newest < 0 {
		return 0, fmt.Errorf("%w: %.60q is no tag of this service", store.ErrStale, header)
	}
	return newest, nil
}

// readTag is the revision that a tag of ours names.
func readTag(tag string) (int64, bool) {
	text, ok := strings.CutPrefix(tag, `"r`)
	text, closed := strings.CutSuffix(text, `"`)
	digits, _, _ := strings.Cut(text, "-") // what follows is the hash of an answer's bytes
	revision, err := strconv.ParseUint(digits, 10, 62)
	if !ok || !closed || err != nil || strconv.FormatUint(revision, 10) != digits {
		return 0, false
	}
	return int64(revision), true
}
