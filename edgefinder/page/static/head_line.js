/** The line at the head: the pattern, its size, undo and redo, what is saved, done. */

import { inTurn, showSize, step } from "./asking.js";
import { byId, el } from "./dom.js";
import { showOutside, shut } from "./notices.js";
import { postDone } from "./server.js";
import { shown, whenChanged } from "./shown.js";

const IN_FIELD = "input:not([type=checkbox]):not([type=range]), textarea, select, dialog";

export function startHead() {
  byId("size").addEventListener("change", (event) => showSize(event.currentTarget.value));
  for (const name of ["undo", "redo"]) {
    byId(name).addEventListener("click", () => {
      if (shown.state[name] !== null) step(name);
    });
    byId(name).addEventListener("blur", () => {
      byId(name).disabled = (shown.state?.[name] ?? null) === null;
    });
  }
  byId("done").addEventListener("click", finish);
  addEventListener("keydown", onKey);
  whenChanged("state", draw);
}

function draw() {
  const state = shown.state;
  const name = state.name || state.file;
  document.title = `${name} – edgefinder`;
  byId("pattern-name").textContent = name;
  const size = byId("size");
  size.replaceChildren(
    ...state.sizes.map((one) => el("option", { value: one.size }, one.title)),
  );
  size.value = state.size;
  size.disabled = false;
  size.parentElement.hidden = state.sizes.length < 2;
  label("undo", "Undo", state.undo);
  label("redo", "Redo", state.redo);
  const saved = byId("saved");
  saved.textContent = state.problem ? "Not saved" : `Saved in ${state.file}`;
  saved.classList.toggle("is-unsaved", Boolean(state.problem));
  showOutside(() => step("save"));
}

function label(id, word, what) {
  const node = byId(id);
  // A button that is disabled loses the focus: it keeps it until it is left.
  node.disabled = what === null && node !== document.activeElement;
  node.setAttribute("aria-disabled", String(what === null));
  node.title = what ?? "";
  node.setAttribute("aria-label", what ? `${word}: ${what}` : word);
}

function onKey(event) {
  if (!(event.ctrlKey || event.metaKey) || event.altKey || !shown.state) return;
  if (event.target.closest?.(IN_FIELD)) return;
  const pressed = event.key.toLowerCase();
  const name = pressed === "y" || (pressed === "z" && event.shiftKey)
    ? "redo"
    : pressed === "z"
    ? "undo"
    : "";
  if (!name) return;
  event.preventDefault();
  if (shown.state[name] !== null) step(name);
}

async function finish() {
  const file = shown.state?.file ?? "the job file";
  const isUnsaved = Boolean(shown.state?.problem);
  if (isUnsaved) {
    byId("save-again")?.focus();
    return;
  }
  if (await inTurn(postDone)) {
    shut(`Done. Everything is in ${file}; this page can be closed.`, true);
  }
}
