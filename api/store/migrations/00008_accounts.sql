-- +goose Up
-- Who may do what. Times are Unix time in milliseconds.
CREATE TABLE account (
  id              INTEGER PRIMARY KEY,
  name            TEXT NOT NULL,
  folded          TEXT NOT NULL UNIQUE, -- the name without case, accents and width: no two may look alike
  role            TEXT NOT NULL,
  hash            TEXT NOT NULL,        -- of the password: Argon2id with its parameters and salt
  created_ms      INTEGER NOT NULL,
  password_ms     INTEGER NOT NULL,     -- when the password was set
  disabled_ms     INTEGER,              -- NULL: it may sign in
  signed_in_ms    INTEGER,              -- last; NULL: never
  signed_in_from  TEXT NOT NULL DEFAULT ''
) STRICT;

CREATE TABLE session (
  token      TEXT PRIMARY KEY, -- SHA-256 of what the cookie holds
  data       TEXT NOT NULL,    -- JSON with the account's id
  expires_ms INTEGER NOT NULL
) STRICT;

CREATE TABLE token (
  id          INTEGER PRIMARY KEY,
  name        TEXT NOT NULL,
  folded      TEXT NOT NULL,
  role        TEXT NOT NULL,
  sha256      TEXT NOT NULL UNIQUE, -- of the secret, which is kept nowhere
  created_ms  INTEGER NOT NULL,
  created_by  TEXT NOT NULL,
  expires_ms  INTEGER NOT NULL,
  revoked_ms  INTEGER,              -- NULL: it holds until it expires
  used_ms     INTEGER               -- about when last; NULL: never
) STRICT;

-- A name that was revoked may be given again; its row stays.
CREATE UNIQUE INDEX token_in_use ON token (folded) WHERE revoked_ms IS NULL;

-- Sign-ins that failed; the newest are kept.
CREATE TABLE attempt (
  id      INTEGER PRIMARY KEY AUTOINCREMENT,
  at_ms   INTEGER NOT NULL,
  name    TEXT NOT NULL, -- as it was typed, cut
  address TEXT NOT NULL
) STRICT;
