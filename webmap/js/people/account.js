// Accounts: who may sign in, which scripts may, and which sign-ins failed. For a harbormaster only; the service asks again for every part
// of it.
/** @import { Page } from "../core/types" */
/** @import { Account, FailedSignIn, Token } from "../core/recordtypes" */
import { fieldOf } from "../controls/actionform.js";
import { disclosure } from "../controls/disclosure.js";
import { readForm } from "../controls/lengths.js";
import { lengthOf, showing } from "../controls/password.js";
import { ask } from "../core/api.js";
import { el, put } from "../core/dom.js";
import { roleWords } from "../core/permissions.js";
import { send } from "../core/send.js";
import { sentence } from "../words/names.js";
import { dayWords, whenWords } from "../words/times.js";
import { publicPart } from "./publicpart.js";

const ROLES = ["crew", "yard", "harbormaster"];
/** So many failed sign-ins are shown. */
const FAILED = 20;

/** @param {Page} page */
export function accountsPart(page) {
  const folds = [
    disclosure("Accounts", () => accountList(page)),
    disclosure("Tokens for scripts", () => tokenList(page)),
    disclosure("Failed sign-ins", failedList),
  ];
  // A past is not changed.
  if (page.me.may("accounts")) folds.push(disclosure("What the public sees", () => publicPart(page)));
  return el("div", { class: "accounts" }, ...folds.flatMap((each) => [each.button, each.box]));
}

/**
 * A list that is asked for and written, and again after each change.
 * @template T
 * @param {() => Promise<T>} get
 * @param {(came: T, again: () => Promise<void>) => Node[]} write
 */
function listed(get, write) {
  const box = el("div", { class: "listed" });
  const told = el("div", { class: "told", role: "alert" });
  async function again() {
    try {
      put(box, ...write(await get(), again), told);
      put(told);
    } catch (problem) {
      put(box, refusal(/** @type {Error} */ (problem)), el("button", { type: "button", class: "plain", click: again }, "Ask again"));
    }
  }
  put(box, el("p", { class: "quiet" }, "Asking the service …"));
  again();
  return {
    box,
    /** @param {() => Promise<unknown>} act */
    async change(act) {
      put(told);
      try {
        await act();
        await again();
      } catch (problem) {
        put(told, refusal(/** @type {Error} */ (problem)));
      }
    },
  };
}

/** @param {Error} problem */
const refusal = (problem) =>
  el("div", { class: "refusal" }, el("p", {}, sentence(problem.message)), el("p", {}, "What you typed is kept."));

/** @param {string} id @param {string} value @param {string} label */
function roleChoice(id, value, label) {
  return el(
    "select",
    { id, "aria-label": label },
    ...ROLES.map((each) => el("option", { value: each, selected: each === value }, roleWords(each))),
  );
}

/** @param {Page} page */
function accountList(page) {
  const list = listed(
    () => ask("accounts"),
    ({ accounts }) => [
      el("ul", { class: "account-rows" }, ...(accounts ?? []).map((/** @type {Account} */ each, /** @type {number} */ i) => row(each, i))),
    ],
  );
  const own = page.me.get().name;

  /** @param {Account} account @param {number} i */
  function row({ name, role, disabled, created, signed_in }, i) {
    const choice = roleChoice(`account-role-${i}`, role, `Role of ${name}`);
    choice.disabled = name === own;
    choice.addEventListener("change", () => list.change(() => send("accounts", { name, role: choice.value })));
    return el(
      "li",
      { class: disabled ? "disabled" : null },
      el(
        "span",
        { class: "name" },
        el("strong", {}, name),
        el(
          "span",
          { class: "quiet" },
          [disabled && "may not sign in", signed_in ? "last signed in " + whenWords(signed_in) : "made " + whenWords(created)]
            .filter(Boolean)
            .join(" · "),
        ),
      ),
      choice,
      name === own
        ? el("span", { class: "quiet" }, "you")
        : el(
            "button",
            { type: "button", class: "plain", click: () => list.change(() => send("accounts", { name, disabled: !disabled })) },
            disabled ? "Enable again" : "Keep out",
          ),
    );
  }

  const adding = disclosure("Add an account", () => {
    const password = el("input", {
      id: "account-password",
      name: "password",
      type: "password",
      autocomplete: "new-password",
      required: true,
      "aria-label": "Password",
    });
    return addForm(
      "account",
      [password],
      ["First password"],
      (values, role) => list.change(() => send("accounts", { name: values.name, role, password: values.password })),
      lengthOf(password),
      showing(password),
    );
  });
  return el("div", {}, list.box, adding.button, adding.box);
}

/**
 * @param {string} id @param {HTMLInputElement[]} more @param {string[]} labels of these
 * @param {(values: Record<string, string>, role: string) => Promise<void>} make @param {...Node} after what stands behind these
 */
function addForm(id, more, labels, make, ...after) {
  const role = roleChoice(id + "-role", "crew", "Role");
  const form = /** @type {HTMLFormElement} */ (
    el(
      "form",
      { class: "ask act", novalidate: true },
      fieldOf(id, "name", "Name", { required: true, autocapitalize: "none" }),
      el("label", { for: role.id }, "Role", role),
      ...more.map((input, i) => el("label", { for: input.id }, labels[i], input)),
      ...after,
      el("button", { type: "submit", class: "primary" }, "Make it"),
    )
  );
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    const values = readForm(form, "metres");
    if (values) await make(values, role.value);
  });
  return form;
}

/** @param {Page} page */
function tokenList(page) {
  const secret = el("div", { class: "told saved", role: "status" });
  const list = listed(
    () => ask("tokens"),
    ({ tokens }) =>
      tokens?.length
        ? [
            el(
              "ul",
              { class: "account-rows" },
              ...tokens.map((/** @type {Token} */ { name, role, expires, last_used }) =>
                el(
                  "li",
                  {},
                  el(
                    "span",
                    { class: "name" },
                    el("strong", {}, name),
                    el(
                      "span",
                      { class: "quiet" },
                      [
                        roleWords(role),
                        "to " + dayWords(expires.slice(0, 10)),
                        last_used ? "last used " + whenWords(last_used) : "never used",
                      ].join(" · "),
                    ),
                  ),
                  el(
                    "button",
                    { type: "button", class: "plain", click: () => list.change(() => send("tokens", { name, revoke: true })) },
                    "Revoke",
                  ),
                ),
              ),
            ),
          ]
        : [el("p", { class: "quiet" }, "There is none.")],
  );
  const adding = disclosure("Make a token", () =>
    addForm("token", [el("input", { id: "token-expires", name: "expires", type: "date", required: true })], ["Last day"], (values, role) =>
      list.change(async () => {
        const made = await send("tokens", { name: values.name, role, expires: values.expires });
        put(
          secret,
          el("p", {}, "The secret of the token, shown this once:"),
          el("p", {}, el("code", { id: "token-secret" }, made.secret)),
          el("p", { class: "quiet" }, "A script sends it as Authorization: Bearer …, a map program as the password."),
        );
        page.say("The token is made; its secret is shown.");
      }),
    ),
  );
  return el("div", {}, list.box, secret, adding.button, adding.box);
}

function failedList() {
  return listed(
    () => ask("sign-ins/failed"),
    ({ failed }) =>
      failed?.length
        ? [
            el(
              "ul",
              { class: "account-rows" },
              ...failed
                .slice(0, FAILED)
                .map((/** @type {FailedSignIn} */ { at, name, from }) =>
                  el(
                    "li",
                    {},
                    el(
                      "span",
                      { class: "name" },
                      el("strong", {}, name || "no name"),
                      el("span", { class: "quiet" }, `${whenWords(at)} · from ${from}`),
                    ),
                  ),
                ),
            ),
          ]
        : [el("p", { class: "quiet" }, "None.")],
  ).box;
}
