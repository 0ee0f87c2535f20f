package account_test

import (
	"errors"
	"strings"
	"testing"

	"swingroom/api/account"
)

func TestPasswordsAreTakenByLengthAndNotByTheirCharacters(t *testing.T) {
	for _, c := range []struct {
		name, password string
		refused        string // a part of the words; empty: taken
	}{
		{"eleven characters", "kelp otter1", "11 characters"},
		{"twelve characters", "kelp otter12", ""},
		{"twelve with a run of spaces in them", "kelp    otte", "9 characters"},
		{"twelve emoji", "⚓🌊🦀🐙🐟🦞🧭🚤🛶🐚🌙⛅", ""},
		{"words of another script", "станция прибой", ""},
		{"only letters", "kelpotterlantern", ""},
		{"only digits", "840275193664", ""},
		{"spaces at the ends", " kelp otter 1 ", ""},
		{"64 characters of kanji", strings.Repeat("錨海船綱", 15) + "潮月星風", ""},
		{"128 characters", "kelp otter" + strings.Repeat(" z9y", 29) + "xy", ""},
		{"129 characters", "kelp otter" + strings.Repeat(" z9y", 29) + "xyz", "129 characters"},
		{"not text", "kelp otter \xff\xfe", "not text"},
		{"one of the commonest", "1qaz2wsx3edc", "first that anybody"},
		{"a common one in capitals", "QWERTY123456", "first that anybody"},
		{"a common one with a year", "password2026", "first that anybody"},
		{"a common one in marks", "!!!!!letmein!!!!!", "first that anybody"},
		{"a common one twice", "dragondragon", "first that anybody"},
		{"one character", "aaaaaaaaaaaa", "first that anybody"},
		{"a short run again and again", "abc1abc1abc1", "first that anybody"},
		{"the account's name in it", "my QUAY warden boat", "name is in it"},
		{"the account's name in full width", "ｑｕａｙ　ｗａｒｄｅｎ　５", "name is in it"},
	} {
		err := account.CheckPassword("Quay Warden", c.password)
		if (err == nil) != (c.refused == "") ||
			err != nil && (!errors.Is(err, account.ErrPassword) || !strings.Contains(err.Error(), c.refused)) {
			t.Errorf("%s: %v; want %q", c.name, err, c.refused)
		}
	}
	if err := account.CheckPassword("Jo", "major journey off"); err != nil {
		t.Errorf("a name of two letters is in many words: %v", err)
	}
}

func TestNoWordOfARefusalGivesThePasswordAway(t *testing.T) {
	for _, password := range []string{"kelp otter1", "password2026", "quay warden boat", strings.Repeat("kelp otter ", 20)} {
		if err := account.CheckPassword("quay warden", password); err == nil || strings.Contains(err.Error(), password) {
			t.Errorf("%v", err)
		}
	}
}
