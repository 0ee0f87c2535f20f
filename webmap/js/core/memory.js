// Memory: what the browser keeps for the next visit. It may refuse to; then nothing is kept, and nothing is lost.

/** @param {string} name @returns {string} */
export function recall(name) {
  try {
    return localStorage.getItem(name) ?? "";
  } catch {
    return "";
  }
}

/** @param {string} name @param {string} value */
export function remember(name, value) {
  try {
    localStorage.setItem(name, value);
  } catch {
    // Private windows and full disks: it is typed once more.
  }
}
