package api_test

import (
	"net/http"
	"reflect"
	"strings"
	"testing"
	"testing/fstest"

	"swingroom/api"
	"swingroom/api/account"
	"swingroom/api/exchange"
)

func TestListsAreSentAsFilesThatImportReads(t *testing.T) {
	if testing.Short() {
		t.Skip("one request after another, which the race detector only makes long; run without -short")
	}
	h := demo(t)
	s := service(t, h)
	for _, units := range []string{"", "?units=feet", "?units=metres"} {
		for _, format := range exchange.Formats() {
			folder := fstest.MapFS{}
			for _, list := range exchange.Lists() {
				if !list.Read {
					continue
				}
				r := get(t, s, "/api/lists/"+list.Name+"."+string(format)+units)
				text := body(t, r)
				if r.StatusCode != 200 || r.Header.Get("Content-Type") != format.MediaType() ||
					r.Header.Get("Content-Disposition") != "attachment; filename*=UTF-8''tarrowick-harbor-"+list.Name+"."+string(format) {
					t.Errorf("%s: %d %v", list.Name, r.StatusCode, r.Header)
				}
				folder[list.Name+"."+string(format)] = &fstest.MapFile{Data: text}
			}
			in, err := exchange.ReadFolder(folder, exchange.Options{Base: h})
			if err != nil {
				t.Fatal(err)
			}
			if len(in.Problems) != 0 || !reflect.DeepEqual(in.Harbor, h) {
				t.Errorf("%s %s: %v; or it has changed something", format, units, in.Problems)
			}
		}
	}
	if text := string(body(t, get(t, s, "/api/harbors/tarrowick-harbor/lists/moorings.csv?units=metres"))); !strings.Contains(text,
		"loa_m") || strings.Contains(text, "loa_ft") {
		t.Error("the units are not those asked for")
	}
}

func TestTheListOfChangesTellsThemFieldByField(t *testing.T) {
	s, _ := writing(t, demo(t))
	if w := post(s, "/api/acts/edit",
		`{"noun":"owner","name":"Ada Aldermoor","set":{"phone":"=1+1"},"who":"clerk","why":"new number"}`); w.Code != 200 {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
	text := string(body(t, get(t, s, "/api/lists/history.csv")))
	if !strings.Contains(text, `,clerk,new number,owner,Ada Aldermoor,changed,phone,"'""+000 555 01000""","'""=1+1"""`) {
		t.Error(text[:min(len(text), 600)])
	}
	if !strings.HasPrefix(text, "\ufeffrevision,at,who,why,noun,name,what,field,before,after\n") ||
		strings.Count(text, "mooring,\"101\",added,,,\n") != 1 {
		t.Error(text[:min(len(text), 600)])
	}
}

func TestListsThatThereAreNotAndUnitsThatThereAreNot(t *testing.T) {
	s, _ := peopled(t, api.Options{})
	for path, status := range map[string]int{
		"/api/lists/boats.csv": http.StatusNotFound, "/api/lists/moorings.ods": http.StatusNotFound,
		"/api/lists/moorings.csv?units=fathoms": http.StatusBadRequest, "/api/lists/moorings.csv?unit=feet": http.StatusBadRequest,
		"/api/lists/history.csv": http.StatusUnauthorized,
	} {
		if w := sent(s, asked("GET", path, "")); w.Code != status {
			t.Errorf("%s: %d, want %d: %s", path, w.Code, status, w.Body)
		}
	}
	if w := sent(s, asked("GET", "/api/lists/history.xlsx", "", "Cookie", signedIn(t, s, account.Crew))); w.Code != 200 ||
		!strings.HasPrefix(w.Body.String(), "PK") {
		t.Errorf("%d", w.Code)
	}
}
