// Send: posts what changes something, as a JSON object of plain values.
import { Refusal, refusalOf, TIMEOUT_MS, UNREACHED } from "./api.js";

/**
 * @param {string} path under /api/ @param {Record<string, string | number | boolean>} body
 * @returns {Promise<any>} null where the service has nothing to say. A Refusal of status 0 leaves open whether it was done.
 */
export async function send(path, body) {
  const timeout = AbortSignal.timeout(TIMEOUT_MS);
  let response;
  try {
    response = await fetch("api/" + path, {
      method: "POST", headers: { accept: "application/json", "content-type": "application/json" }, body: JSON.stringify(body), signal: timeout,
    });
    if (response.ok) return response.status === 204 ? null : await response.json();
  } catch {
    throw new Refusal(timeout.aborted ? `The service has not answered for ${TIMEOUT_MS / 1000} seconds.` : UNREACHED, 0);
  }
  throw await refusalOf(response);
}
