// Refusal: what the page says where the service gave no answer, or none that is of use. It is fetched with the map: it is needed just when
// nothing more can be fetched.
/** @import { Page, Reading } from "../core/types" */
import { faultIn, Refusal } from "../core/api.js";
import { el } from "../core/dom.js";
import { sentence } from "../words/names.js";

/**
 * A refusal says what happened, what was kept, what to do.
 * @param {Error} fault @param {Page} page @param {(text: string) => void} [retry] takes a reading, or "" to ask the same again
 */
export function refusalAnswer(fault, page, retry) {
  const readings = fault instanceof Refusal ? fault.readings : [];
  const status = fault instanceof Refusal ? fault.status : -1;
  const unreached = status === 0 || status >= 500;
  const withheld = status === 401 || status === 403;
  return {
    title: unreached ? "No answer" : withheld ? "Not for everybody" : "This was not accepted",
    make: () => [
      el(
        "div",
        { class: "refusal" },
        el("p", {}, sentence(faultIn(fault, page.units()))),
        el(
          "p",
          {},
          withheld
            ? page.me.canSignIn()
              ? "What you typed is kept. Sign in, and it is asked again."
              : "What you typed is kept."
            : unreached
              ? "What you typed is kept. Ask again when the service is back."
              : readings.length
                ? "Which of these did you mean?"
                : "What you typed is kept; change it and ask again.",
        ),
        ...readings.map((each) =>
          el("button", { type: "button", class: "reading", click: () => retry?.(readingText(each)) }, readingWords(each)),
        ),
        withheld && page.me.canSignIn() && el("button", { type: "button", click: () => page.signIn(() => retry?.("")) }, "Sign in"),
        unreached && retry && el("button", { type: "button", click: () => retry("") }, "Ask again"),
      ),
    ],
  };
}

/** @param {Reading} reading what is shown */
function readingWords(reading) {
  if (typeof reading === "string") return reading;
  return [reading.words ?? reading.text, reading.ddm ?? reading.dd].filter(Boolean).join(" — ") || readingText(reading);
}

/** @param {Reading} reading what is asked next */
function readingText(reading) {
  if (typeof reading === "string") return reading;
  if (reading.lat_deg !== undefined && reading.lon_deg !== undefined) return `${reading.lat_deg.toFixed(7)}, ${reading.lon_deg.toFixed(7)}`;
  return reading.dd ?? reading.ddm ?? reading.text ?? reading.words ?? "";
}

/**
 * Tells a refusal under the questions, to the eye and to the ear.
 * @param {Page} page
 * @param {Error} fault
 * @param {(text: string) => void} retry as above
 */
export function tellRefusal(page, fault, retry) {
  const { title, make } = refusalAnswer(fault, page, retry);
  page.answer(title, make);
  page.say(`${title}. ${faultIn(fault, page.units())}`);
}
