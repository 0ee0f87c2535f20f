// Action form: the one form by which something on file is changed: its own fields, who and why, what the service says to it, and a way to
// do it anyway. What is typed stays, whatever the service says.
/** @import { ActionResult, Page } from "../core/types" */
import { faultIn, harborPath, Refusal } from "../core/api.js";
import { el, put } from "../core/dom.js";
import { recall, remember } from "../core/memory.js";
import { send } from "../core/send.js";
import { fieldsInWords, sentence } from "../words/names.js";
import { changedMeanwhile, refusalWords } from "../words/refused.js";
import { readForm } from "./lengths.js";
import { signInPlace } from "./signinplace.js";

/** Under this name the browser keeps who wrote last, where nobody signs in. */
const WHO = "swingroom.who";

/** Who wrote last. */
export const whoWrote = () => recall(WHO);

/**
 * @typedef {{
 *   id: string, label: string, act: string, fields?: (HTMLElement | null | false | undefined)[], beside?: HTMLElement, foot?: HTMLElement,
 *   body(values: Record<string, string>): Record<string, unknown> | null,
 *   despite?: {words: string, label: string}, unfit: {title: string, next: string}, why?: "wanted" | "may be" | "none",
 * send?(body: Record<string, unknown>): Promise<any>, refused?(fault: Refusal): Promise<boolean | "again">, done(acted: ActionResult):
 * Promise<void>,
 * }} What
 * `id` begins the ids of its fields; `fields` stand above who and why, `beside` beside who, `foot` below the button; `body` null: nothing
 * is to be sent; `despite`: it may be done although
 * the check does not let it pass; `refused` true: the refusal has been told, "again": it is to be sent once more
 */

/** A field of a form. @param {string} id @param {string} name @param {string} words @param {Record<string, string | boolean>} [more] */
export function fieldOf(id, name, words, more = {}) {
  return el("label", { for: `${id}-${name}` }, words, el("input", { id: `${id}-${name}`, name, autocomplete: "off", ...more }));
}

/** Puts a field away, or brings it back: what was typed in it stays. @param {HTMLElement} label @param {boolean} shown */
export function showField(label, shown) {
  label.hidden = !shown;
  for (const input of label.querySelectorAll("input")) input.disabled = !shown;
}

/** @param {Page} page @param {What} what */
export function actionForm(page, what) {
  const { id } = what;
  const told = el("div", { id: id + "-told", class: "told", role: "alert" });
  const who = fieldOf(id, "who", "Your initials", { required: true, value: whoWrote() });
  const why = fieldOf(id, "why", "Why", { required: (what.why ?? "wanted") === "wanted" });
  const despite = fieldOf(id, "despite", what.despite?.words ?? "", { required: true });
  const submit = el("button", { type: "submit", class: "primary", id: id + "-send" }, what.label);
  const line = el("div", { class: "fields" }, what.beside ?? who, what.beside ? who : why);
  if (what.why === "none") showField(why, false);
  const form = /** @type {HTMLFormElement} */ (
    el("form", { class: "ask act", novalidate: true }, ...(what.fields ?? []), line, what.beside && why, told, despite, submit, what.foot)
  );
  const place = signInPlace(page, id);
  const box = el("div", { class: "act-box" }, form, place.box);
  let revision = page.data.info.revision;
  let sending = false;

  let placed = false;
  /** @returns {void | "gone"} */
  const named = () => {
    placed ||= form.isConnected;
    if (placed && !form.isConnected) return "gone";
    return showField(who, !page.me.get().accounts);
  };
  page.me.on(named);
  named();
  doubt(false);

  form.addEventListener("submit", (event) => {
    event.preventDefault();
    go();
  });

  /** Sends what is typed, again if what was refused has been mended. */
  async function go() {
    while (await sendOnce());
  }

  /** @returns {Promise<boolean>} whether it is to be sent again */
  async function sendOnce() {
    const values = readForm(form, page.units());
    if (!values || sending) return false;
    const own = what.body(values);
    if (!own) return false;
    sending = true;
    put(told, el("p", { class: "quiet" }, "Asking the service …"));
    place.away();
    try {
      const body = { ...own, ...pick(values, ["who", "why", "despite"]) };
      /** @type {ActionResult} */
      const acted = await (what.send?.(body) ?? send(harborPath(page.data.info.slug, what.act), body, revision));
      if (values.who) remember(WHO, values.who);
      put(told);
      await what.done(acted);
      return false;
    } catch (fault) {
      return await refuse(/** @type {Error} */ (fault));
    } finally {
      sending = false;
    }
  }

  /** Shows or hides what is asked where the check does not let it pass. @param {boolean} doubted */
  function doubt(doubted) {
    showField(despite, doubted);
    submit.textContent = doubted ? (what.despite?.label ?? what.label) : what.label;
    submit.classList.toggle("grave", doubted);
  }

  /** @param {string} title @param {...(Node | string | null)} lines */
  function tell(title, ...lines) {
    put(
      told,
      el(
        "div",
        { class: "refusal" },
        el("p", {}, el("strong", {}, title)),
        ...lines.map((each) => each && (each instanceof Node && !(each instanceof Text) ? each : el("p", {}, each))),
      ),
    );
    told.scrollIntoView({ block: "nearest" });
    page.say(told.textContent ?? "");
  }

  /** @param {Error} fault @returns {Promise<boolean>} whether it is to be sent again */
  async function refuse(fault) {
    const refusal = fault instanceof Refusal ? fault : new Refusal(fault.message, 0);
    const mended = await what.refused?.(refusal);
    if (!mended) await tellRefused(refusal);
    return mended === "again";
  }

  /** @param {Refusal} refusal */
  async function tellRefused(refusal) {
    const units = page.units();
    const words = sentence(fieldsInWords(faultIn(refusal, units)));
    if (refusal.status === 409) {
      doubt(Boolean(what.despite));
      tell(
        what.unfit.title,
        refusal.reasons.length
          ? el("ul", { class: "reasons" }, ...refusal.reasons.map((each) => el("li", {}, sentence(each[units]))))
          : words,
        what.unfit.next,
      );
    } else if (refusal.status === 412) {
      const others = changedMeanwhile(refusal.changed);
      tell("The harbor has changed meanwhile.", others, "Bringing the map up to date …");
      const fresh = await page.refresh();
      if (fresh) look();
      tell(
        "The harbor has changed meanwhile.",
        others,
        fresh
          ? "The map shows it as it is now. What you typed is kept: look at it again, and send it once more."
          : "The map could not be brought up to date. What you typed is kept.",
      );
    } else if (refusal.status === 401) {
      await page.me.look();
      tell("You are not signed in any more.", "What you typed is kept. Sign in below, then send it again.");
      place.offer(() => {
        put(told, el("p", { class: "quiet" }, "You are signed in. Send it again."));
        submit.focus();
      });
    } else {
      const { title, next } = refusalWords(refusal, page.me.get());
      tell(title, words, next);
    }
  }

  /** From now on what is sent was made from what the map shows now. */
  function look() {
    revision = page.data.info.revision;
  }

  return {
    box,
    form,
    submit,
    doubt,
    tell,
    look,
    clear() {
      put(told);
      place.away();
    },
    isSending: () => sending,
    /** Empties all fields but who writes. */
    empty() {
      form.querySelectorAll("input").forEach((input) => {
        if (input.name !== "who") input.value = "";
      });
    },
    /** Who wrote last has been typed elsewhere. */
    recall() {
      const input = form.querySelector("input[name=who]");
      if (input instanceof HTMLInputElement && !input.value) input.value = whoWrote();
    },
  };
}

/** @param {Record<string, string>} values @param {string[]} names */
function pick(values, names) {
  return Object.fromEntries(names.filter((name) => values[name] !== undefined).map((name) => [name, values[name]]));
}
