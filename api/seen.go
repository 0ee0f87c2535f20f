package api

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"swingroom/api/store"
)

// anyRevision is said to have been looked at by one who leaves it to the act's own check.
const anyRevision = -1

// errUnconditional: an act does not say what its author has looked at.
var errUnconditional = errors.New(`If-Match is wanted: the ETag of what was looked at, as "r57", or * to leave it to the check`)

// tagOf is the strong ETag of a record, or of a harbor, that was last changed at a revision.
func tagOf(revision int64) string { return fmt.Sprintf(`"r%d"`, revision) }

// seen is the revision that the author of an act has looked at, by If-Match (RFC 9110, section 13.1.1), or by the body where a header
// cannot be set. Weak tags match nothing.
func (q *request) seen() (int64, error) {
	if text := strings.TrimSpace(q.query.Get("revision")); text != "" {
		revision, err := strconv.ParseInt(text, 10, 64)
		if err != nil || revision < 0 {
			return 0, fmt.Errorf("%w: revision=%q; a number is wanted", errBody, text)
		}
		return revision, nil
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
		return anyRevision, nil
	}
	newest := int64(-1)
	for tag := range strings.SplitSeq(header, ",") {
		digits, ok := strings.CutPrefix(strings.TrimSpace(tag), `"r`)
		digits, closed := strings.CutSuffix(digits, `"`)
		if revision, err := strconv.ParseUint(digits, 10, 62); ok && closed && err == nil && tagOf(int64(revision)) == `"r`+digits+`"` {
			newest = max(newest, int64(revision))
		}
	}
	if newest < 0 {
		return 0, fmt.Errorf("%w: %.60q is no tag of this service", store.ErrStale, header)
	}
	return newest, nil
}
