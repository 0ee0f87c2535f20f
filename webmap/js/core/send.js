// Send: posts what changes something, as a JSON object.
import { Refusal, refusalOf, TIMEOUT_MS, UNREACHED } from "./api.js";

/** What has been done from this page: acts that are under way, and the revisions that they made. */
const own = { underWay: 0, revisions: /** @type {Set<number>} */ (new Set()) };

/**
 * @param {string} path under /api/ @param {Record<string, unknown>} body
 * @param {number | null} [revision] the state of the harbor that was looked at: what has been changed since is not written over; null: it
 *   does not matter
 * @returns {Promise<any>} null where the service has nothing to say. A Refusal of status 0 leaves open whether it was done.
 */
export async function send(path, body, revision = null) {
  const timeout = AbortSignal.timeout(TIMEOUT_MS);
  own.underWay++;
  try {
    const response = await reach(
      "api/" + path,
      {
        method: "POST",
        body: JSON.stringify(body),
        signal: timeout,
        headers: { accept: "application/json", "content-type": "application/json", "if-match": revision === null ? "*" : tagOf(revision) },
      },
      timeout,
    );
    if (!response.ok) throw await refusalOf(response);
    const answer =
      response.status === 204
        ? null
        : await response.json().catch(() => {
            throw new Refusal(UNREACHED, 0);
          });
    if (answer && typeof answer.revision === "number") made(answer.revision);
    return answer;
  } finally {
    own.underWay--;
  }
}

/** An act has made a revision. The page says which, for whoever drives it from outside. @param {number} revision */
function made(revision) {
  own.revisions.add(revision);
  document.documentElement.dataset.written = String(revision);
}

/** @param {string} address @param {RequestInit} how @param {AbortSignal} timeout */
async function reach(address, how, timeout) {
  try {
    return await fetch(address, how);
  } catch {
    throw new Refusal(timeout.aborted ? `The service has not answered for ${TIMEOUT_MS / 1000} seconds.` : UNREACHED, 0);
  }
}

/** The entity tag of a state of the harbor (RFC 9110, section 8.8.3). @param {number} revision */
export const tagOf = (revision) => `"r${revision}"`;

/** How often it is looked whether an act under way has been answered. */
const LOOK_MS = 50;

/** Whether a revision was made by this page. Of an act that is under way it is not known before its answer. @param {number} revision */
export async function isOwn(revision) {
  while (own.underWay && !own.revisions.has(revision)) await new Promise((done) => setTimeout(done, LOOK_MS));
  return own.revisions.has(revision);
}
