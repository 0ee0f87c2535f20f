// API: asks the service. An answer that is no answer becomes a Refusal that says what happened in words.
/** @import { Problem, Reading, Units, Words } from "./types" */

export const TIMEOUT_MS = 20000;
export const UNREACHED = "The service cannot be reached.";

export class Refusal extends Error {
  /**
   * @param {string} words
   * @param {number} status 0 when the service could not be reached
   * @param {Problem} problem as the service tells it
   */
  constructor(words, status, problem = {}) {
    super(words);
    this.status = status;
    /** @type {Reading[]} */
    this.readings = Array.isArray(problem.readings) ? problem.readings : [];
    /** The same in the reader's units. @type {Words} */
    this.words = problem.words ?? { feet: words, metres: words };
    /** Why a boat does not fit. @type {Words[]} */
    this.reasons = Array.isArray(problem.reasons) ? problem.reasons : [];
    /** What others have changed meanwhile, and at which revision the harbor is now. @type {import("./recordtypes").Change[]} */
    this.changed = Array.isArray(problem.changed) ? problem.changed : [];
    this.revision = problem.revision ?? null;
    /** So many seconds are to pass before it is asked again; null: nothing is said of it. @type {number | null} */
    this.retryAfterS = null;
  }
}

/** What has gone wrong, in the reader's units. @param {Error} fault @param {Units} units */
export function faultIn(fault, units) {
  return fault instanceof Refusal ? fault.words[units] : fault.message;
}

/**
 * @param {string} path under /api/ @param {Record<string, string | number | null | undefined>} [query] empty values are left out
 * @param {AbortSignal} [signal]
 * @returns {Promise<any>}
 */
export async function ask(path, query = {}, signal) {
  const timeout = AbortSignal.timeout(TIMEOUT_MS);
  let response;
  try {
    response = await fetch(addressOf(path, query), {
      headers: { accept: "application/json" },
      signal: signal ? AbortSignal.any([signal, timeout]) : timeout,
    });
    if (response.ok) return await response.json();
  } catch (fault) {
    if (signal?.aborted) throw fault;
    throw new Refusal(timeout.aborted ? `The service has not answered for ${TIMEOUT_MS / 1000} seconds.` : UNREACHED, 0);
  }
  throw await refusalOf(response);
}

/** @param {string} path under /api/ @param {Record<string, string | number | null | undefined>} query empty values are left out */
export function addressOf(path, query) {
  const q = new URLSearchParams();
  for (const [key, value] of Object.entries(query)) if (value !== null && value !== undefined && value !== "") q.set(key, String(value));
  return "api/" + path + (q.size ? "?" + q : "");
}

/** @param {Response} response */
export async function refusalOf(response) {
  /** @type {Problem} */
  let problem = {};
  try {
    problem = await response.json();
  } catch {
    // An answer by somebody between us and the service; its status is all that is known.
  }
  const refusal = refusalFrom(problem, response.status);
  const pause = response.headers.get("retry-after");
  if (pause !== null && /^\d+$/.test(pause)) refusal.retryAfterS = Number(pause);
  return refusal;
}

/** @param {Problem} problem @param {number} status */
export function refusalFrom(problem, status) {
  const words = problem.detail || problem.title || `The service answered with status ${status}.`;
  return new Refusal(words, status, problem);
}

/** @param {string} slug @param {string} [noun] */
export function harborPath(slug, noun = "") {
  // The @ before the day of a past stands in a path as it is (RFC 3986, section 3.3).
  return "harbors/" + encodeURIComponent(slug).replace("%40", "@") + (noun ? "/" + noun : "");
}
