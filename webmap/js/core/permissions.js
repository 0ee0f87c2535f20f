// Permissions: who asks, as the service knows them, and what they may do. The service has the last word; this only keeps from offering what
// it would refuse.
/** @import { May, Me, Person } from "./recordtypes" */
import { ask } from "./api.js";

/** Until the service has said who asks: everything is offered, and the service refuses what it has to. @type {Person} */
const NOT_KNOWN = { name: "", role: "harbormaster", accounts: false, may: null };

/** @param {() => boolean} past whether the field is shown as it stood on another day @returns {Me} */
export function createPermissions(past) {
  let person = NOT_KNOWN;
  /** @type {((person: Person) => void | "gone")[]} */
  let listeners = [];

  /** @param {Person} next */
  function take(next) {
    person = next;
    listeners = listeners.filter((listener) => listener(person) !== "gone");
  }

  async function look() {
    try {
      take(await ask("me"));
    } catch {
      // What cannot be asked for is found out when something is done.
    }
  }

  return {
    get: () => person,
    known: look(),
    may: (/** @type {May} */ what) => !past() && (person.may === null || person.may.includes(what)),
    reads: () => person.may === null || person.may.includes("names"),
    canSignIn: () => person.accounts && person.role === "public",
    look,
    take,
    on(listener) {
      listeners.push(listener);
    },
  };
}

/** @type {Record<string, string>} */
const ROLES = { harbormaster: "harbormaster", yard: "yard", crew: "crew", public: "not signed in" };

/** @param {string} role */
export const roleWords = (role) => ROLES[role] ?? role;
