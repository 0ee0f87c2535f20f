// Public: what a harbor can show to the public, and what each kind means; the service keeps the rest back itself.

/** In the service's words for "public" of harbor.json. @type {{kind: string, title: string, words: string}[]} */
export const SHOWN = [
  { kind: "boat_name", title: "Names of boats", words: "Also of the boats of those who wait, where the list is shown." },
  { kind: "owner", title: "Names of owners", words: "Of each boat on a mooring." },
  { kind: "contact", title: "How to reach owners", words: "Phone, email, address and note; only where the owners' names are shown too." },
  { kind: "note", title: "Notes", words: "Of moorings and of the waiting list, and all that was written down, with its pictures." },
  { kind: "permit", title: "Permits", words: "Their year and last day." },
  { kind: "waiting", title: "The waiting list", words: "Who waits since when and for what, without names." },
  { kind: "waiting_names", title: "Names on the waiting list", words: "The list, with the names of those who wait." },
];

/** "names of boats and permits are shown to the public." @param {Set<string>} shown */
export function shownWords(shown) {
  const titles = SHOWN.filter(({ kind }) => shown.has(kind)).map(({ title }) => title.charAt(0).toLowerCase() + title.slice(1));
  if (!titles.length) return "nothing beyond the map is shown to the public.";
  const all = [titles.slice(0, -1).join(", "), titles.at(-1)].filter(Boolean).join(" and ");
  const single = titles.length === 1 && shown.has("waiting");
  return `${all} ${single ? "is" : "are"} shown to the public.`;
}
