/** Files to take away: made by the same code as the commands make them. */

import { inTurn } from "./asking.js";
import { button, byId, el } from "./dom.js";
import { say } from "./notices.js";
import { postFile } from "./server.js";

const FILES = {
  html: "Sheet (HTML)",
  pdf: "Sheet (PDF)",
  xlsx: "Spreadsheet",
  csv: "Tables (CSV)",
  charts: "Cutting charts",
};

export function startFiles() {
  byId("files-list").append(
    ...Object.entries(FILES).map(([kind, text]) =>
      button(`file-${kind}`, text, () => hand(kind, text), { "data-file": kind })
    ),
  );
  const drawer = byId("files");
  drawer.addEventListener("keydown", (event) => {
    if (event.key !== "Escape" || !drawer.open) return;
    drawer.open = false;
    drawer.firstElementChild.focus();
  });
  document.addEventListener("pointerdown", (event) => {
    if (!drawer.contains(event.target)) drawer.open = false;
  });
}

async function hand(kind, text) {
  say(`${text}: being made…`);
  const file = await inTurn(() => postFile(kind));
  if (!file) {
    say(`${text}: not made.`);
    return;
  }
  const href = URL.createObjectURL(file.data);
  const link = el("a", { href, download: file.name });
  link.click();
  // The browser has taken it by then.
  setTimeout(() => URL.revokeObjectURL(href), 60_000);
  say(`${file.name} is handed to the browser, which keeps it where it keeps downloads.`);
}
