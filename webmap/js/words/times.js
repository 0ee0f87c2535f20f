// Times: moments and days as a person here writes them.

/**
 * "26 November 2026, 14:05 GMT+1": in the time of whoever reads, and that time is named.
 * @param {string} at RFC 3339
 * @param {string} [zone] of the reader, unless the browser's
 * @returns {string}
 */
export function whenWords(at, zone) {
  const moment = new Date(at);
  if (Number.isNaN(moment.getTime())) return at;
  const day = moment.toLocaleDateString("en-GB", { day: "numeric", month: "long", year: "numeric", timeZone: zone });
  const time = moment.toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit", timeZoneName: "short", timeZone: zone });
  return `${day}, ${time}`;
}

/** "1 March 2026" of a day on the calendar, whatever the clock here says. @param {string} date as 2026-03-01 */
export function dayWords(date) {
  const day = new Date(date + "T00:00:00Z");
  return /^\d{4}-\d\d-\d\d$/.test(date) && !Number.isNaN(day.getTime())
    ? day.toLocaleDateString("en-GB", { day: "numeric", month: "long", year: "numeric", timeZone: "UTC" })
    : date;
}

/** The day that it is here, as 2026-05-01. */
export function today(now = new Date()) {
  return [now.getFullYear(), now.getMonth() + 1, now.getDate()].map((each) => String(each).padStart(2, "0")).join("-");
}
