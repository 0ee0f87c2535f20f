// Waiting: how the waiting list is told.
/** @import { Offer, Serving } from "../core/types" */
import { count } from "./names.js";

/** "24 wait; 15 of them get a place". @param {Serving} serving */
export function servedWords(serving) {
  const given = serving.given ?? [];
  const placed = given.filter((each) => each.mooring).length;
  if (!given.length) return "Nobody is waiting";
  const some = placed ? placed.toLocaleString("en") : "None";
  const share = placed === given.length ? "All" : some;
  return `${share} of the ${count(given.length, "boat")} that wait ${placed === 1 ? "gets" : "get"} a place`;
}

const MONTHS = ["January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"];

/** "waiting since 6 April 2017"; a date that is not one of the calendar's stays as it is. @param {string} since */
export function sinceWords(since) {
  const parts = /^(\d{4})-(\d{2})-(\d{2})$/.exec(since);
  if (!parts) return since && "waiting since " + since;
  const month = MONTHS[Number(parts[2]) - 1];
  return month ? `waiting since ${Number(parts[3])} ${month} ${parts[1]}` : "waiting since " + since;
}

/**
 * Those with a taker come first, by how long the taker has waited; else as the service has them.
 * @param {Serving} serving
 * @returns {Offer[]}
 */
export function offersInOrder(serving) {
  return [...(serving.offers ?? [])].sort((a, b) => Number(!a.name) - Number(!b.name) || a.since.localeCompare(b.since));
}
