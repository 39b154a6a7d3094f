/** Fields of a job file: each is sent when it is left, mistakes are shown at it. */

import { beforeSteps, change } from "./asking.js";
import { byId, el, foldAway, textInput } from "./dom.js";
import { withoutPath } from "./notices.js";
import { shown } from "./shown.js";

/**
 * What is typed and not taken, by the id of its field, and what is wrong with it.
 *
 * @type {Map<string, {value: string, mistakes: string[], isRefused: boolean}>}
 */
const typed = new Map();

beforeSteps(() => {
  for (const [id, { isRefused }] of [...typed]) {
    if (isRefused) forget(id);
  }
});

/** What a number is not written with, though a script would take "0x9" for one too. */
const NO_NUMBER = /[^\d.eE+-]/;
const LONGEST_PLACEHOLDER = 23; // letters that a narrow field shows whole

/**
 * @typedef {object} Where a table of the job file
 * @property {string} kind
 * @property {string} name
 * @property {string} id begins the ids of its fields
 * @property {import("./types.js").Written} written
 */

/**
 * Make the field of one key.
 *
 * @param {Where} where
 * @param {import("./types.js").FieldSpec} spec
 * @param {string[]} [choices] that a text is chosen from
 * @returns {HTMLElement}
 */
export function field(where, spec, choices = spec.choices) {
  const id = `${where.id}-${spec.key}`;
  const draft = typed.get(id);
  const written = asText(where.written[spec.key]);
  const control = controlOf(spec, choices, draft?.value ?? written, {
    id,
    "data-kind": where.kind,
    "data-name": where.name,
    "data-key": spec.key,
    required: spec.required,
    "aria-describedby": `${id}-help`,
    "aria-errormessage": `${id}-wrong`,
    on: {
      input: () => keepTyped(id, written),
      change: () => send(where, spec, id),
      keydown: (event) => {
        if (event.key !== "Escape" || !typed.has(id)) return;
        event.stopPropagation();
        setValue(event.currentTarget, written);
        forget(id);
      },
    },
  });
  const name = el(
    "label",
    { for: id },
    spec.label,
    spec.unit ? ` (${spec.unit})` : "",
    spec.required ? el("span", { class: "needed" }, " needed") : null,
  );
  const block = el(
    "div",
    { class: `field kind-${spec.kind.replaceAll(" ", "-")}` },
    name,
    control,
    el("p", { id: `${id}-help`, class: "help" }, help(spec, choices)),
    el("p", { id: `${id}-wrong`, class: "wrong", hidden: true }),
  );
  showWrong(control, block.lastElementChild, draft?.mistakes ?? []);
  return block;
}

/** Words of the reference without the marks of the file: "[fabric]" is "fabric". */
function plain(text) {
  return text.replace(/\[+(\w+)\]+/g, "$1").replaceAll("`", "").replaceAll("_", " ");
}

/** What an empty field stands for. */
function usual(spec) {
  return plain(spec.default).replace(/^none: /, "").replace(/^required /, "needed ");
}

function help(spec, choices) {
  const says = spec.default && !choices.length && spec.kind !== "true or false";
  if (!says) return plain(spec.meaning);
  const then = usual(spec);
  const words = then.startsWith("needed ") ? `N${then.slice(1)}` : `If empty: ${then}`;
  return `${plain(spec.meaning)}. ${words}`;
}

function controlOf(spec, choices, value, given) {
  if (spec.kind === "true or false") {
    return el("input", { type: "checkbox", ...given, required: false, checked: value === "yes" });
  }
  if (choices.length) {
    const all = value && !choices.includes(value) ? [value, ...choices] : choices;
    const none = spec.required ? [] : [el("option", { value: "" }, unsaid(spec))];
    const options = all.map((one) => el("option", { value: one }, one));
    const select = el("select", given, ...none, ...options);
    select.value = value;
    return select;
  }
  if (spec.kind.startsWith("list of")) {
    const rows = Math.max(2, value.split("\n").length);
    return el("textarea", { ...given, rows, value, spellcheck: "false", required: false });
  }
  return textInput({
    ...given,
    value,
    placeholder: usual(spec).length <= LONGEST_PLACEHOLDER ? usual(spec) : null,
    inputmode: isNumber(spec) ? "decimal" : null,
  });
}

function unsaid(spec) {
  return spec.default ? `as usual: ${usual(spec)}` : "not said";
}

/** What is written, as it stands in a field. */
function asText(value) {
  if (value === undefined || value === null) return "";
  if (value === true) return "yes";
  if (value === false) return "no";
  return Array.isArray(value) ? value.join("\n") : String(value);
}

/** What stands in a field, as it is written; null where nothing is. */
function asValue(control, spec) {
  if (control.type === "checkbox") return control.checked ? true : null;
  const text = control.value.trim();
  if (!text) return null;
  if (control instanceof HTMLTextAreaElement) {
    const lines = text.split("\n").map((line) => line.trim()).filter(Boolean);
    // A word that stands for a whole list is no list.
    return lines.length === 1 && lines[0] === "usual" ? lines[0] : lines;
  }
  return isNumber(spec) ? asNumber(text, spec.unit) : text;
}

const isNumber = ({ kind }) => kind === "number" || kind === "whole number";

/** A comma before one or two digits, or more than three: three may be thousands. */
const DECIMAL_COMMA = /^([+-]?\d*),(?=(\d{1,2}|\d{4,})$)/;

/** A number that the server can check; it says what is wrong with any other text. */
export function asNumber(said, unit = "%") {
  const bare = unit === "%" ? said.replace(/\s*%\s*$/, "") : said;
  const text = bare.trim().replace(DECIMAL_COMMA, "$1.");
  const number = Number(text);
  return text && !NO_NUMBER.test(text) && Number.isFinite(number) ? number : said;
}

const valueOf = (control) =>
  control.type === "checkbox" ? (control.checked ? "yes" : "no") : control.value;

function setValue(control, text) {
  if (control.type === "checkbox") control.checked = text === "yes";
  else control.value = text;
}

function keepTyped(id, written) {
  const value = valueOf(byId(id));
  if (value === written) typed.delete(id);
  else typed.set(id, { value, mistakes: typed.get(id)?.mistakes ?? [], isRefused: false });
}

function forget(id) {
  typed.delete(id);
  const control = byId(id);
  if (control) showWrong(control, byId(`${id}-wrong`), []);
}

/** @param {Where} where */
async function send(where, spec, id) {
  const control = byId(id);
  const value = asValue(control, spec);
  const before = valueOf(control);
  if (asText(where.written[spec.key]) === asText(value)) {
    setValue(control, asText(where.written[spec.key]));
    forget(id);
    return;
  }
  const wanted = { do: "set", kind: where.kind, name: where.name, key: spec.key, value };
  let mistakes = [];
  typed.set(id, { value: before, mistakes, isRefused: false });
  const wentWell = await change(
    wanted,
    () => {
      // Told before the forms are drawn again with what is written now.
      typed.delete(id);
      return words(where, spec, value);
    },
    (lines) => {
      mistakes = lines.map(withoutPath);
    },
  );
  if (wentWell) {
    redraw(where, spec, id);
    sendRefused(where);
  } else if (mistakes.length) {
    typed.set(id, { value: before, mistakes, isRefused: true });
    const now = byId(id);
    if (now) showWrong(now, byId(`${id}-wrong`), mistakes);
  }
}

/** Send again what was refused of a table: what it needed may be written now. */
function sendRefused(where) {
  for (const [id, { isRefused }] of [...typed]) {
    if (!isRefused || !id.startsWith(`${where.id}-`)) continue;
    byId(id)?.dispatchEvent(new Event("change"));
  }
}

/** A field that was drawn while its value was on its way shows what is written. */
function redraw(where, spec, id) {
  const control = byId(id);
  if (!control) return;
  const table = tableNow(where, control);
  if (table && document.activeElement !== control) setValue(control, asText(table[spec.key]));
  showWrong(control, byId(`${id}-wrong`), []);
}

function tableNow(where, control) {
  const tables = shown.state.written[where.kind];
  if (!Array.isArray(tables)) return tables;
  return tables.find((one) => one.name === control.dataset.name);
}

function words(where, spec, value) {
  const of = where.name || (where.kind === "fabric" ? "the fabric" : "the pattern");
  if (value === null) return `${spec.label} of ${of}: as usual again.`;
  const said = value === true ? "yes" : Array.isArray(value) ? value.join(", ") : value;
  return `${spec.label} of ${of}: ${said}.`;
}

/** @param {string[]} mistakes */
function showWrong(control, place, mistakes) {
  if (mistakes.length) control.setAttribute("aria-invalid", "true");
  else control.removeAttribute("aria-invalid");
  place.hidden = mistakes.length === 0;
  place.textContent = mistakes.join(" ");
  if (mistakes.length) place.setAttribute("role", "alert");
  else place.removeAttribute("role");
}

/**
 * Make the fields of a table, the rare ones folded away.
 *
 * @param {Where} where
 * @param {Iterable<string>} usualKeys that stand open
 * @param {Record<string, string[]>} [choices] that texts are chosen from, by key
 */
export function fields(where, usualKeys, choices = {}) {
  const specs = shown.forms[where.kind];
  const open = new Set(usualKeys);
  const make = (spec) => field(where, spec, choices[spec.key] ?? spec.choices);
  const rare = specs.filter((spec) => !open.has(spec.key));
  return [
    el("div", { class: "fields" }, ...specs.filter((spec) => open.has(spec.key)).map(make)),
    rare.length ? rareFields(`${where.id}-rare`, rare, make) : null,
  ];
}

/** Fields that are made when they are unfolded: a pattern may have a hundred runs. */
function rareFields(id, specs, make) {
  const isOpen = byId(id)?.open ?? false;
  const box = el("div", { id: `${id}-fields`, class: "fields" }, ...(isOpen ? specs.map(make) : []));
  const toggle = () => {
    const now = byId(`${id}-fields`);
    if (!now.childElementCount) now.append(...specs.map(make));
  };
  return foldAway(id, `Rarely needed (${specs.length})`, [box], { on: { toggle } });
}
