package account_test

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"

	"swingroom/api/account"
	"swingroom/api/store"
)

// must ends an example where something fails.
func must(err error) {
	if err != nil {
		panic(err)
	}
}

// Who is this, and what may they do? Somebody signs in with a password; the cookie of the session then tells who asks.
func ExampleAuthenticator() {
	ctx := context.Background()
	dir, err := os.MkdirTemp("", "swingroom-example-")
	must(err)
	defer os.RemoveAll(dir)
	db, err := store.Open(ctx, filepath.Join(dir, "harbor.db"))
	must(err)
	defer db.Close()
	auth, err := account.NewAuthenticator(ctx, account.Options{Store: db})
	must(err)
	_, err = auth.Add(ctx, "Quay Warden", "harbormaster", "seven tall masts at noon")
	must(err)
	_, err = auth.Add(ctx, "Deck Hand", "crew", "grey gulls over the bar")
	must(err)

	answer := httptest.NewRecorder()
	request := httptest.NewRequest(http.MethodPost, "/", nil)
	_, err = auth.SignIn(answer, request, "Deck Hand", "not the password", "192.0.2.7")
	fmt.Println(errors.Is(err, account.ErrCredentials), err)
	_, err = auth.SignIn(answer, request, "deck hand", "grey gulls over the bar", "192.0.2.7")
	must(err)

	next := httptest.NewRequest(http.MethodGet, "/", nil)
	next.AddCookie(answer.Result().Cookies()[0])
	person, _, err := auth.InSession(next)
	must(err)
	fmt.Printf("%s is %s\n", person.Name, person.Role)
	fmt.Println("notes:", person.Role.Can(account.Notes), "owners:", person.Role.Can(account.Owners))
	// Output:
	// true name and password do not belong together
	// Deck Hand is crew
	// notes: true owners: false
}
