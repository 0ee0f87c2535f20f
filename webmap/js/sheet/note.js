// Notes: what was written down about a mooring, newest first, with its pictures; and a short form for one more.
/** @import { Page, Sheet } from "../core/types" */
/** @import { Note } from "../core/recordtypes" */
import { actionForm } from "../controls/actionform.js";
import { disclosure } from "../controls/disclosure.js";
import { fault } from "../controls/lengths.js";
import { harborPath } from "../core/api.js";
import { el, put, renew } from "../core/dom.js";
import { send } from "../core/send.js";
import { whenWords } from "../words/times.js";
import { photoPicker } from "./photo.js";

/** So many are shown before the rest is asked for. */
const FIRST = 5;

/** @param {Page} page */
export function createNotes(page) {
  const box = el("section", { id: "notes" });
  const title = el("h3", {}, "Notes and pictures");
  const list = el("ul", { class: "notes" });
  const told = el("div", { class: "told saved", role: "status" });
  let whole = false;
  /** @type {{number: string, fold: ReturnType<typeof disclosure>} | null} */
  let writing = null;

  /** @param {string} number */
  function fold(number) {
    if (writing?.number === number) return writing.fold;
    const made = disclosure("Write a note", () =>
      noteForm(page, number, async (words) => {
        made.away();
        put(told, el("p", {}, words));
        page.say(words);
        await page.refresh();
      }),
    );
    writing = { number, fold: made };
    return made;
  }

  return {
    /** @param {Sheet} sheet */
    part({ mooring: { number }, notes }) {
      const all = [...(notes ?? [])].sort((a, b) => b.at.localeCompare(a.at));
      const { me } = page;
      const show = () =>
        put(
          list,
          ...(whole ? all : all.slice(0, FIRST)).map((each) => noteItem(page, each)),
          all.length > FIRST &&
            !whole &&
            el(
              "li",
              {},
              el(
                "button",
                {
                  type: "button",
                  class: "plain",
                  click: () => {
                    whole = true;
                    show();
                  },
                },
                `All ${all.length} notes`,
              ),
            ),
        );
      show();
      const folded = me.may("notes") || (writing?.number === number && writing.fold.isOpen()) ? fold(number) : null;
      if (!all.length && !folded) {
        renew(box, []);
        box.hidden = true;
        return box;
      }
      box.hidden = false;
      renew(box, [
        title,
        ...(all.length ? [list] : notes ? [el("p", { class: "quiet" }, "Nothing has been written down yet.")] : []),
        told,
        ...(folded ? [el("div", { class: "buttons" }, folded.button), folded.box] : []),
      ]);
      return box;
    },
    forget() {
      writing = null;
      whole = false;
      put(told);
    },
  };
}

/** @param {Page} page @param {Note} note */
function noteItem(page, { at, by, text, photos }) {
  const pictures = photos ?? [];
  const address = (/** @type {string} */ sha) => "api/" + harborPath(page.data.info.slug, "photos/" + sha);
  return el(
    "li",
    { class: "note" },
    el("p", { class: "quiet" }, [by, whenWords(at)].filter(Boolean).join(" · ")),
    text && el("p", { class: "note-text" }, text),
    pictures.length > 0 &&
      el(
        "div",
        { class: "thumbs" },
        ...pictures.map((sha, i) =>
          el(
            "a",
            { href: address(sha), target: "_blank", rel: "noopener" },
            el("img", {
              src: address(sha),
              loading: "lazy",
              decoding: "async",
              alt: `Picture ${i + 1} of ${pictures.length} of the note by ${by || "somebody"}, ${whenWords(at)}`,
            }),
          ),
        ),
      ),
  );
}

let made = 0;

/** @param {Page} page @param {string} number @param {(words: string) => Promise<void>} done */
function noteForm(page, number, done) {
  const id = `note-${++made}`;
  const text = el("textarea", { id: id + "-text", rows: 4 });
  const pictures = photoPicker(page, id);
  const act = actionForm(page, {
    id,
    label: "Save the note",
    act: "acts/note",
    why: "none",
    fields: [el("label", { for: text.id }, "Note", text), pictures.box],
    body: () =>
      text.value.trim() || pictures.count() ? { mooring: number, text: text.value.trim() } : fault(text, "A text or a picture is needed."),
    unfit: { title: "The note was not accepted.", next: "What you typed is kept; change it and send it again." },
    async send(body) {
      const photos = await pictures.send();
      return send(harborPath(page.data.info.slug, "acts/note"), { ...body, photos: photos.join(",") });
    },
    async done() {
      pictures.clear();
      await done("The note is on record.");
    },
  });
  return act.box;
}
