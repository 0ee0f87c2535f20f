// Early: asks for the harbor while the rest of the page is still on its way. It needs few modules, so it runs first.
import { parse } from "./address.js";
import { enter } from "./enter.js";

/** The harbor of the address, asked for already. */
export const early = enter(parse(location.hash).harbor);
// Whoever waits for it hears of a failure.
early.catch(() => {});
