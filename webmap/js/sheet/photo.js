// Photos: pictures that are to go with a note: chosen, shown small, and sent one by one with how far each has come. One that is there is
// not sent again.
/** @import { Page } from "../core/types" */
import { harborPath, refusalFrom, UNREACHED, Refusal } from "../core/api.js";
import { el, put } from "../core/dom.js";
import { sentence } from "../words/names.js";

/** As many as one note may have (geo.Note). */
const MAX_PICTURES = 12;
/** As the service takes them: larger ones need not be sent. */
const MAX_BYTES = 12e6;
/** Of the small picture before it is sent, in pixels of the screen. */
const SMALL_PX = 120;

/** @typedef {{file: File, sha: string, row: HTMLElement, said: HTMLElement, bar: HTMLProgressElement}} Picked */

/** @param {Page} page @param {string} id begins the ids of its fields */
export function photoPicker(page, id) {
  /** @type {Picked[]} */
  let all = [];
  const told = el("p", { class: "field-fault", role: "alert" });
  const list = el("ul", { class: "picked", "aria-label": "Pictures to be sent" });
  const chooser = (/** @type {string} */ name, /** @type {string} */ words, /** @type {Record<string, string | boolean>} */ more) => {
    const input = el("input", {
      id: `${id}-${name}`,
      type: "file",
      accept: "image/jpeg,image/png,image/webp",
      class: "visually-hidden",
      change: () => {
        add([...(input.files ?? [])]);
        input.value = "";
      },
      ...more,
    });
    return el("label", { class: "plain chooser", for: input.id }, input, words);
  };
  const box = el(
    "div",
    { class: "photos" },
    el(
      "div",
      { class: "buttons" },
      chooser("camera", "Take a picture", { capture: "environment" }),
      chooser("files", "Choose pictures", { multiple: true }),
    ),
    list,
    told,
  );

  /** @param {File[]} files */
  function add(files) {
    told.textContent = "";
    for (const file of files) {
      if (all.length >= MAX_PICTURES) {
        told.textContent = `A note takes at most ${MAX_PICTURES} pictures; ${file.name} was left out.`;
        break;
      }
      if (file.size > MAX_BYTES) {
        const has = (file.size / 1e6).toFixed(0);
        told.textContent = `${file.name} has ${has} MB, and at most ${MAX_BYTES / 1e6} MB are taken; it was left out.`;
        continue;
      }
      all.push(pictured(file));
    }
    put(list, ...all.map((each) => each.row));
  }

  /** @param {File} file @returns {Picked} */
  function pictured(file) {
    const small = el("canvas", { class: "small", width: SMALL_PX, height: SMALL_PX, "aria-hidden": "true" });
    const said = el("span", { class: "quiet" }, "not sent yet");
    const bar = el("progress", { max: 100, hidden: true, "aria-label": "Sending " + file.name });
    const away = el(
      "button",
      {
        type: "button",
        class: "plain",
        "aria-label": "Remove " + file.name,
        click: () => {
          all = all.filter((each) => each !== made);
          put(list, ...all.map((each) => each.row));
        },
      },
      "Remove",
    );
    const made = { file, sha: "", said, bar, row: el("li", {}, small, el("span", { class: "name" }, file.name, said, bar), away) };
    drawSmall(file, small);
    return made;
  }

  return {
    box,
    count: () => all.length,
    /**
     * Sends what is not there yet.
     * @returns {Promise<string[]>} what the service calls them; a Refusal where one was not taken: those that were are kept
     */
    async send() {
      for (const each of all) if (!each.sha) await sendOne(page, each);
      return all.map((each) => each.sha);
    },
    clear() {
      all = [];
      put(list);
      told.textContent = "";
    },
  };
}

/** The page loads pictures from the service only, so that of a file is drawn. @param {File} file @param {HTMLCanvasElement} canvas */
async function drawSmall(file, canvas) {
  try {
    const picture = await createImageBitmap(file);
    const scale = Math.max(SMALL_PX / picture.width, SMALL_PX / picture.height);
    canvas
      .getContext("2d")
      ?.drawImage(
        picture,
        (SMALL_PX - picture.width * scale) / 2,
        (SMALL_PX - picture.height * scale) / 2,
        picture.width * scale,
        picture.height * scale,
      );
    picture.close();
  } catch {
    // The browser cannot show it; the service tells whether it can.
  }
}

/** @param {Page} page @param {Picked} picked */
async function sendOne(page, picked) {
  const { file, said, bar } = picked;
  bar.hidden = false;
  said.textContent = "";
  try {
    const { photo } = await upload(harborPath(page.data.info.slug, "photos"), file, (percent) => {
      bar.value = percent;
      said.textContent = percent < 100 ? percent + "\u00a0%" : "being checked …";
    });
    picked.sha = photo;
    said.textContent = "sent";
  } catch (problem) {
    const { message, status } = /** @type {Refusal} */ (problem);
    said.textContent = "not taken: " + sentence(message);
    throw new Refusal(`${file.name}: ${message}`, status);
  } finally {
    bar.hidden = true;
  }
}

/**
 * Only this way of asking tells how much has been sent.
 * @param {string} path under /api/
 * @param {File} file
 * @param {(percent: number) => void} progress
 * @returns {Promise<{photo: string}>}
 */
function upload(path, file, progress) {
  return new Promise((done, failed) => {
    const request = new XMLHttpRequest();
    request.open("POST", "api/" + path);
    request.setRequestHeader("accept", "application/json");
    request.setRequestHeader("content-type", file.type || "application/octet-stream");
    request.upload.onprogress = ({ loaded, total }) => progress(total ? Math.floor((100 * loaded) / total) : 0);
    request.onerror = request.onabort = () => failed(new Refusal(UNREACHED, 0));
    request.onload = () => {
      let answer = {};
      try {
        answer = JSON.parse(request.responseText);
      } catch {
        /* An answer by somebody between us and the service; its status is all that is known. */
      }
      if (request.status >= 200 && request.status < 300 && "photo" in answer) done(/** @type {{photo: string}} */ (answer));
      else failed(refusalFrom(answer, request.status));
    };
    request.send(file);
  });
}
