// Parts: what only serves something that is not open yet, each under the name by which core/later.js asks for it. Together they are one
// file, which the browser fetches once.
export * as sheet from "../sheet/sheetparts.js";
export * as answers from "../questions/answers.js";
export * as fitting from "../questions/fitcheck.js";
export * as weather from "../questions/weather.js";
export * as room from "../questions/openwaterparts.js";
export * as waiting from "../questions/waiting.js";
export * as whatif from "../questions/whatif.js";
export * as taking from "../sheet/takeplace.js";
export * as harbors from "./harbors.js";
export * as onrecord from "../sheet/foundrecord.js";
export * as live from "../people/live.js";
export * as publicPart from "../people/publicpart.js";
export * as person from "../people/person.js";
