// Public part: what the harbor shows to whoever has not signed in, chosen kind by kind. Two who choose at once lose nothing: where they
// differ, only one of them has changed anything.
/** @import { Page } from "../core/types" */
/** @import { RecordAnswer } from "../core/recordtypes" */
import { actionForm } from "../controls/actionform.js";
import { byWhom } from "../controls/editconflict.js";
import { ask, harborPath } from "../core/api.js";
import { el, put } from "../core/dom.js";
import { send } from "../core/send.js";
import { sentence } from "../words/names.js";
import { SHOWN, shownWords } from "../words/public.js";

let made = 0;

/** @param {Page} page */
export function publicPart(page) {
  const id = `public-${++made}`;
  const box = el("div", { class: "public-part" });
  const saved = el("div", { class: "told saved", role: "status" });
  const path = harborPath(page.data.info.slug, "records/harbor/-");
  /** @type {{revision: number, shown: Set<string>}} as it stands on record */
  let base = { revision: 0, shown: new Set() };
  const boxes = new Map(
    SHOWN.map(({ kind, title, words }) => {
      const input = el("input", {
        type: "checkbox",
        id: `${id}-${kind}`,
        value: kind,
        "aria-describedby": `${id}-${kind}-words`,
        change: () => put(saved),
      });
      return [
        kind,
        {
          input,
          label: el(
            "label",
            { class: "pick", for: input.id },
            input,
            el("span", {}, el("strong", {}, title), el("span", { class: "quiet", id: `${id}-${kind}-words` }, words)),
          ),
        },
      ];
    }),
  );

  const act = actionForm(page, {
    id,
    label: "Save it",
    act: "acts/edit",
    fields: [
      el(
        "fieldset",
        { class: "kinds" },
        el("legend", { class: "visually-hidden" }, "Shown to the public"),
        ...[...boxes.values()].map(({ label }) => label),
      ),
    ],
    body() {
      if (!changed().length) {
        act.tell("Nothing is changed.", "What is ticked is what the public sees already.");
        return null;
      }
      return { noun: "harbor", name: "", set: { public: SHOWN.map(({ kind }) => kind).filter((kind) => boxes.get(kind)?.input.checked) } };
    },
    unfit: { title: "This cannot be saved.", next: "What you ticked is kept." },
    send: (body) => send(harborPath(page.data.info.slug, "acts/edit"), body, base.revision),
    refused,
    async done() {
      put(saved, el("p", {}, `Saved: ${shownWords(ticked())}`));
      page.say(saved.textContent ?? "");
      /** @type {HTMLInputElement} */ (act.form.querySelector("input[name=why]")).value = "";
      await Promise.all([read().catch(() => {}), page.refresh()]);
    },
  });
  fetchIt();

  const ticked = () => new Set(SHOWN.map(({ kind }) => kind).filter((kind) => boxes.get(kind)?.input.checked));
  /** The kinds that are ticked otherwise than they stand on record. */
  function changed() {
    const now = ticked();
    return SHOWN.filter(({ kind }) => now.has(kind) !== base.shown.has(kind));
  }

  async function fetchIt() {
    put(box, el("p", { class: "quiet" }, "Asking what is shown …"));
    try {
      await read();
    } catch (problem) {
      return put(
        box,
        el(
          "div",
          { class: "refusal", role: "alert" },
          el("p", {}, sentence(/** @type {Error} */ (problem).message)),
          el("button", { type: "button", class: "plain", click: fetchIt }, "Ask again"),
        ),
      );
    }
    put(
      box,
      el("p", {}, "Numbers, places, circles, tackle and the sizes of boats are always shown. Nothing else is, unless it is ticked here."),
      !page.me.get().accounts &&
        el(
          "p",
          { class: "quiet" },
          "Nobody signs in here yet: whoever sits at this machine sees everything. " +
            "It takes effect as soon as others can reach the service.",
        ),
      act.box,
      saved,
    );
  }

  /**
   * Takes over what stands on record; what was ticked otherwise than before stays so.
   * @returns {Promise<string[]>} the kinds that others have changed
   */
  async function read() {
    /** @type {RecordAnswer} */
    const { revision, record } = await ask(path);
    const mine = new Set(changed().map(({ kind }) => kind));
    const was = base.shown;
    base = { revision, shown: new Set(Array.isArray(record.public) ? record.public.map(String) : []) };
    for (const [kind, { input }] of boxes) if (!mine.has(kind)) input.checked = base.shown.has(kind);
    return SHOWN.map(({ kind }) => kind).filter((kind) => was.has(kind) !== base.shown.has(kind));
  }

  /** @param {import("../core/api.js").Refusal} refusal @returns {Promise<boolean | "again">} */
  async function refused({ status, changed: changes }) {
    if (status !== 412) return false;
    let theirs;
    try {
      theirs = await read();
    } catch (problem) {
      act.tell("It has been changed meanwhile.", sentence(/** @type {Error} */ (problem).message), "What you ticked is kept.");
      return true;
    }
    // Something else of the harbor's record: that is no matter of this form.
    if (!theirs.length) return "again";
    const last = changes.filter(({ noun }) => noun === "harbor").at(-1) ?? null;
    act.tell(
      "Somebody else has changed what the public sees meanwhile.",
      el(
        "ul",
        { class: "reasons" },
        ...SHOWN.filter(({ kind }) => theirs.includes(kind)).map(({ kind, title }) =>
          el("li", {}, `${title}: ${base.shown.has(kind) ? "shown" : "not shown"} now (${byWhom(last)})`),
        ),
      ),
      changed().length
        ? "What you ticked is kept, and what they changed is in it. Look at it once more, then save it."
        : "It is now as you wanted it; there is nothing left to save.",
    );
    return true;
  }

  return box;
}
