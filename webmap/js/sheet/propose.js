// Propose: the yard puts a swap before the harbormaster. Nobody's place changes; what is proposed stands as a note on the sheet, with what
// the fit check says of it.
/** @import { ActionResult, Page, Remedy } from "../core/types" */
import { actionForm, fieldOf } from "../controls/actionform.js";
import { el } from "../core/dom.js";
import { sentence } from "../words/names.js";

let made = 0;

/** Whether who asks may propose a swap, and not simply do it. @param {Page} page */
export const proposes = (page) => page.me.may("swaps") && !page.me.may("moorings");

/**
 * The boats that a way out moves, as a ring: the boat of each goes to the next, that of the last to the first, and a vacant mooring comes
 * last. Null for a way that moves no boats round.
 * @param {Remedy} way @param {string} number the mooring on which the boat was tried @returns {string[] | null}
 */
export function ringOf({ kind, mooring, moorings }, number) {
  if (kind === "swap" || kind === "other_place") return [number, mooring];
  if (kind !== "ring") return null;
  const third = moorings.map((each) => each.number).find((each) => each !== number && each !== mooring);
  return third ? [number, mooring, third] : null;
}

/**
 * @param {Page} page
 * @param {string[]} ring with one number, that of the other mooring is asked
 * @param {(acted: ActionResult) => Promise<void>} done
 */
export function proposeForm(page, ring, done) {
  const id = `propose-${++made}`;
  const asks = ring.length === 1;
  return actionForm(page, {
    id,
    label: "Propose it",
    act: "acts/propose",
    fields: [
      asks
        ? fieldOf(id, "other", "With the boat on mooring", { required: true, autocapitalize: "off", inputmode: "text" })
        : el("p", {}, roundWords(page, ring)),
      el(
        "p",
        { class: "quiet" },
        "The harbormaster decides: nobody's place changes by it. It is noted on the sheet with the result of the fit check " +
          "of the boats that are on record; of any other boat say so under Why.",
      ),
    ],
    body: ({ other }) => ({ ring: [...ring, ...(other ? [other] : [])].join(",") }),
    unfit: { title: "This cannot be proposed.", next: "Ask again: the harbor may have changed since." },
    done,
  }).box;
}

/** "Wren from 104 to 105, Heron from 105 to 104." @param {Page} page @param {string[]} ring */
function roundWords(page, ring) {
  return sentence(
    ring
      .flatMap((from, i) => {
        const buoy = page.data.byNumber.get(from);
        const to = ring[(i + 1) % ring.length];
        return buoy?.status === "vacant" ? [] : [`${buoy?.boat || "the boat"} from ${from} to ${to}`];
      })
      .join(", "),
  );
}
