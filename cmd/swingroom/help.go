package main

import "github.com/alecthomas/kong"

const description = `Keeps a harbor's mooring field on an accurate map: which boats can touch, where a boat fits, which buoy is this.

A planning aid, not for navigation. Local codes and the harbormaster's permit govern; work on tackle is for licensed practice.

Exit codes: 0 done · 1 failed · 2 wrong usage · 3 the answer is no (import refused, nothing found, check --fail-on, fit) · 4 fit: it cannot be said.`

// groups are the headings under which the help lists the commands.
var groups = []kong.Group{
	{Key: "begin", Title: "To begin:"},
	{Key: "ask", Title: "Questions; nothing is changed:"},
	{Key: "print", Title: "On paper:"},
	{Key: "keep", Title: "The file and who may use it:"},
}

// helpTexts are what several commands say of a flag, and what is too long for the line on which its flag stands.
var helpTexts = kong.Vars{
	"listen": defaultListen,
	"day":    "2026-03-01",
	"moment": "2026-07-01T09:30-04:00, or 2026-07-01 09:30 in UTC",

	"harbor_help": "Harbor, by the short name that import printed; not needed when the database holds only one.",
	"levels_help": "Water levels: low, high, now or metres above chart datum, with commas; low, the middle and high unless given.",
	"kind_help": "Only troubles of these kinds, with commas: conflict, hazard, tackle, limit, record; unsaid for what cannot be " +
		"said. All unless given.",
	"fail_on_help": "Exit with 3 when a trouble is found of those that are shown: never, certain, or any.",
	"like_help": "For --gained, the mooring whose boat and tackle make the class; the area's middle boat by length unless " +
		"given.",
	"open_help": "Positions at which a mooring may be set, with semicolons: each is held against the list like a vacant " +
		"mooring.",
	"layout_help": "as_is: the moorings stay; moved: those of --move are laid again; hexagonal, square or free: the whole area " +
		"anew.",
	"accept_good_help": "Take the good rows of moorings.csv and write the others to FILE, to be mended and imported.",

	"listen_help": "Address to listen on. The default answers to this machine only. Any other needs an account of a " +
		"harbormaster, and TLS here or in a proxy.",
	"demo_listen_help": "Address to listen on; when the default one is taken, a free port is chosen.",
	"proxy_help": "A proxy that speaks TLS hands all requests on and adds the asker's address to X-Forwarded-For. Nobody else may " +
		"reach the address.",
	"backup_folder_help": "Folder in which the backup gets a folder of its own, named for the file and the time; made if it is " +
		"not there.",
	"backup_to_help": "Folder for backups that are made while serving, the first at once where the newest is older than the " +
		"interval.",
	"backup_keep_help": "How many are kept; older ones of this database are removed once a new one is whole.",
	"restore_help":     "Where the file is there already, move it aside under a name with the date. It is never deleted.",
}
