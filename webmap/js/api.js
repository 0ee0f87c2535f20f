// API: asks the service. An answer that is no answer becomes a Refusal that says what happened in words.
/** @import { Problem, Reading } from "./types" */

const TIMEOUT_MS = 20000;

export class Refusal extends Error {
  /** @param {string} words @param {number} status 0 when the service could not be reached @param {Reading[]} readings */
  constructor(words, status, readings = []) {
    super(words);
    this.status = status;
    this.readings = readings;
  }
}

/**
 * @param {string} path under /api/ @param {Record<string, string | number | null | undefined>} [query] empty values are left out
 * @param {AbortSignal} [signal]
 * @returns {Promise<any>}
 */
export async function ask(path, query = {}, signal) {
  const q = new URLSearchParams();
  for (const [key, value] of Object.entries(query)) if (value !== null && value !== undefined && value !== "") q.set(key, String(value));
  const timeout = AbortSignal.timeout(TIMEOUT_MS);
  let response;
  try {
    response = await fetch("api/" + path + (q.size ? "?" + q : ""), {
      headers: { accept: "application/json" },
      signal: signal ? AbortSignal.any([signal, timeout]) : timeout,
    });
    if (response.ok) return await response.json();
  } catch (fault) {
    if (signal?.aborted) throw fault;
    throw new Refusal(timeout.aborted
      ? `The service has not answered for ${TIMEOUT_MS / 1000} seconds.`
      : "The service cannot be reached.", 0);
  }
  throw await refusalOf(response);
}

/** @param {Response} response */
async function refusalOf(response) {
  /** @type {Problem} */
  let problem = {};
  try {
    problem = await response.json();
  } catch {
    // An answer by somebody between us and the service; its status is all that is known.
  }
  const words = problem.detail || problem.title || `The service answered with status ${response.status}.`;
  return new Refusal(words, response.status, Array.isArray(problem.readings) ? problem.readings : []);
}

/** @param {string} slug @param {string} [noun] */
export function harborPath(slug, noun = "") {
  return "harbors/" + encodeURIComponent(slug) + (noun ? "/" + noun : "");
}
