// Refused: what is said where an act is not done.
/** @import { Change, Person } from "../core/recordtypes" */
import { nounWords } from "./record.js";
import { whenWords } from "./times.js";

/**
 * What happened, and what to do now.
 * @param {{status: number, retryAfterS: number | null}} refusal @param {Person} person @returns {{title: string, next: string}}
 */
export function refusalWords({ status, retryAfterS }, person) {
  if (status === 403 && person.accounts)
    return { title: "You may not do this.", next: "What you typed is kept. Somebody who may do it can sign in at the top, or be asked." };
  if (status === 403)
    return {
      title: "This service is read-only.",
      next: "What you typed is kept. Do it on the machine on which the service runs, at its own address.",
    };
  if (status === 413) return { title: "That is too much at once.", next: "What you typed is kept; send less of it." };
  if (status === 429)
    return {
      title: "Too many requests in a short time.",
      next: `What you typed is kept. Wait ${retryAfterS ? pauseWords(retryAfterS) : "a while"}, then send it again.`,
    };
  if (status === 507)
    return {
      title: "There is no room left where the records are kept.",
      next: "What you typed is kept; nothing of it was saved. Send it again when there is room.",
    };
  if (status === 0 || status >= 500)
    return {
      title: "It is not known whether this was done.",
      next: "What you typed is kept. Look on the map and in the history whether it is there before you send it again.",
    };
  return { title: "This was not accepted.", next: "What you typed is kept; change it and send it again." };
}

/** @param {number} seconds */
export function pauseWords(seconds) {
  return seconds < 90 ? `${seconds}\u00a0seconds` : `${Math.ceil(seconds / 60)}\u00a0minutes`;
}

/**
 * "N. N., 26 November 2026, 14:05: permits. Mooring 217", one after another.
 * @param {Change[]} changes
 * @returns {string | null} null: nothing is known of it
 */
export function changedMeanwhile(changes) {
  if (!changes.length) return null;
  return changes
    .map(
      ({ noun, name, who, at, why }) =>
        `${nounWords(noun, name)} was changed by ${who || "somebody"}, ${whenWords(at)}${why ? ": " + why : ""}.`,
    )
    .join(" ");
}
