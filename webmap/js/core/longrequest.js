// Long request: asks what takes seconds. The answer comes as a stream of server-sent events that tell how far the search has come, and can
// be stopped by its name.
/** @import { Problem } from "./types" */
import { addressOf, refusalFrom, refusalOf, Refusal, UNREACHED } from "./api.js";
import { send } from "./send.js";

/**
 * Reads a stream of events as it comes in, in pieces of any size (HTML standard, section 9.2.6): the fields event and data, and an empty
 * line that ends each.
 * @param {(event: string, data: string) => void} emit
 */
export function eventReader(emit) {
  let rest = "";
  let event = "";
  /** @type {string[]} */
  let data = [];

  /** @param {string} line */
  function take(line) {
    if (!line) {
      if (data.length) emit(event || "message", data.join("\n"));
      event = "";
      data = [];
      return;
    }
    const colon = line.indexOf(":");
    const name = colon < 0 ? line : line.slice(0, colon);
    const value = colon < 0 ? "" : line.slice(colon + 1).replace(/^ /, "");
    if (name === "event") event = value;
    else if (name === "data") data.push(value);
  }

  /** @param {string} text */
  return (text) => {
    const lines = (rest + text).split(/\r\n|\n/);
    rest = lines.pop() ?? "";
    for (const line of lines) take(line);
  };
}

/**
 * @param {string} path under /api/ @param {Record<string, string | number | null | undefined>} query
 * @param {{begun(search: string): void, progress(done: number, total: number): void}} told @param {AbortSignal} signal
 * @returns {Promise<any>} what was found
 */
export async function watch(path, query, told, signal) {
  let response;
  try {
    response = await fetch(addressOf(path, query), { headers: { accept: "text/event-stream" }, signal });
  } catch (fault) {
    if (signal.aborted) throw fault;
    throw new Refusal(UNREACHED, 0);
  }
  if (!response.ok) throw await refusalOf(response);
  // What has been worked out before comes at once, and whole.
  if (!response.headers.get("content-type")?.startsWith("text/event-stream") || !response.body) return response.json();
  return read(response.body, told, signal);
}

/** @param {ReadableStream<Uint8Array>} body @param {Parameters<typeof watch>[2]} told @param {AbortSignal} signal */
async function read(body, told, signal) {
  /** @type {{found: any} | null} */
  let answer = null;
  /** @type {Refusal | null} */
  let failed = null;
  const feed = eventReader((event, text) => {
    const data = JSON.parse(text);
    if (event === "begun") told.begun(data.search);
    else if (event === "progress") told.progress(data.done, data.total);
    else if (event === "found") answer = { found: data };
    else if (event === "failed") failed = refusalFrom(/** @type {Problem} */ (data), data.status ?? 500);
  });
  const reader = body.getReader();
  const decoder = new TextDecoder();
  try {
    for (;;) {
      const { value, done } = await reader.read();
      if (done) break;
      feed(decoder.decode(value, { stream: true }));
    }
  } catch (fault) {
    if (signal.aborted) throw fault;
  }
  if (failed) throw failed;
  if (!answer) throw new Refusal("The search broke off before it was done.", 0);
  return /** @type {{found: any}} */ (answer).found;
}

/** Ends a search, which then answers with the best so far. @param {string} search its name */
export async function stopSearch(search) {
  await send("searches/" + encodeURIComponent(search) + "/stop", {});
}
