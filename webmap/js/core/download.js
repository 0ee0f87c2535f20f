// Download: a file that is made in the page.

/** After so long the browser has taken it. */
const TAKEN_MS = 30000;

/** @param {string} name @param {string} type @param {string} text */
export function download(name, type, text) {
  const address = URL.createObjectURL(new Blob([text], { type: type + ";charset=utf-8" }));
  const link = document.createElement("a");
  link.href = address;
  link.download = name.replace(/[\\/:*?"<>|]/g, "-");
  link.click();
  setTimeout(() => URL.revokeObjectURL(address), TAKEN_MS);
}
