// Prefetch: asks for the harbor while the rest of the page is still on its way. It needs few modules, so it runs first.
import { parse } from "../core/address.js";
import { loadHarbor } from "../core/loadharbor.js";

/** The harbor of the address, asked for already. */
const { harbor, on } = parse(location.hash);
export const prefetched = loadHarbor(harbor, on);
// Whoever waits for it hears of a failure.
prefetched.catch(() => {});
