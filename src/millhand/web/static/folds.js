"use strict";
// Folds of the call sheet: all at once, kept in the address and for this window, so that an addition closes none of them.

const folds = [...document.querySelectorAll("details[data-fold]")];
const place = "folds " + location.pathname;
const asked = new URLSearchParams(location.search).get("open");

function now() {
  const open = folds.filter((each) => each.open);
  if (open.length === folds.length) return "all";
  return open.map((each) => each.dataset.fold).join(".") || "none";
}

function put(which) {
  const names = which.split(".");
  for (const each of folds) each.open = which === "all" || names.includes(each.dataset.fold);
}

function keep() {
  const which = now();
  const address = new URL(location.href);
  address.searchParams.set("open", which);
  history.replaceState(history.state, "", address);
  try { sessionStorage.setItem(place, which); } catch { /* a window that keeps nothing: the address does */ }
  for (const each of document.querySelectorAll("input[name=unfolded]")) each.value = which;
}

function stored() {
  try { return sessionStorage.getItem(place); } catch { return null; }
}

const before = asked === null ? stored() : null;
if (before) put(before);
if (before || asked) keep();
let shown = now();

for (const each of folds) {
  each.addEventListener("toggle", () => {
    if (now() !== shown) { shown = now(); keep(); }
  });
}

document.addEventListener("click", (event) => {
  const control = event.target.closest("a[data-unfold]");
  if (!control) return;
  event.preventDefault();
  put(control.dataset.unfold);
});

// Fields that came into a fold are to be seen.
document.addEventListener("htmx:oobAfterSwap", () => {
  for (const each of document.querySelectorAll(".inside[data-came]")) {
    each.removeAttribute("data-came");
    each.closest("details").open = true;
  }
});
