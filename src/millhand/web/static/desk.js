"use strict";
// What the pages do beyond htmx: fields that were kept say so, and what a failed request leaves is told.

document.documentElement.classList.add("scripted");

function tell(words) {
  const standing = document.getElementById("standing") || document.getElementById("main");
  if (!standing) return;
  const line = document.createElement("p");
  line.className = "wrong";
  line.textContent = words;
  standing.prepend(line);
}

document.addEventListener("htmx:sendError", () => {
  tell("The server does not answer. What you typed stands here; keep it once the server runs again.");
});

document.addEventListener("htmx:responseError", (event) => {
  const status = event.detail.xhr.status;
  if (event.detail.requestConfig.verb === "get") tell("It could not be shown: " + status + ". Ask for it again in a moment.");
  else tell("It was not kept: " + status + ". Load the page again; what you typed stands in the field.");
});

// What is said to a field stands in its last line; the field itself follows it.
function follow() {
  for (const said of document.querySelectorAll(".field > .said")) {
    const kind = said.dataset.kind;
    const field = said.parentElement;
    said.className = "said " + kind;
    field.className = "field " + kind;
    const input = field.querySelector("[name=text]");
    if (kind === "wrong") input.setAttribute("aria-invalid", "true");
    else input.removeAttribute("aria-invalid");
  }
  const base = document.getElementById("base");
  if (!base) return;
  for (const each of document.querySelectorAll("form input[name=base]")) each.value = base.value;
}

// A form that is sent while a field is being kept waits for it, so that it rests on the newest revision. It is not sent
// where the field could not be kept, or where its change stands aside and the page goes there.
let keeping = 0;
let held = null;

// Forms of fields with something typed that is not kept yet, each with how often something was typed there.
const typed = new Map();
const sent = new WeakMap();

document.addEventListener("input", (event) => {
  const form = event.target.closest("form[hx-post]");
  if (form) typed.set(form, (typed.get(form) || 0) + 1);
});

function keeps(event) {
  return event.detail.requestConfig.verb === "post";
}

document.addEventListener("htmx:beforeSend", (event) => {
  if (!keeps(event)) return;
  keeping += 1;
  sent.set(event.detail.elt, typed.get(event.detail.elt));
});

document.addEventListener("htmx:afterRequest", (event) => {
  if (!keeps(event)) return;
  keeping -= 1;
  const form = event.detail.elt;
  if (event.detail.successful && typed.get(form) === sent.get(form)) typed.delete(form);
  if (!event.detail.successful || event.detail.xhr.getResponseHeader("HX-Redirect")) held = null;
  setTimeout(settle);
});

// What was held is sent once all is kept; a page that others changed meanwhile is loaded once nothing would be lost.
function settle() {
  if (keeping > 0) return;
  if (held) {
    const [form, button] = held;
    held = null;
    form.requestSubmit(button);
    return;
  }
  for (const form of typed.keys()) if (!form.isConnected) typed.delete(form);
  if (typed.size === 0 && document.getElementById("between")) location.reload();
}

document.addEventListener("submit", (event) => {
  if (keeping === 0 || !event.target.matches("form[method=post]:not([hx-post])")) return;
  event.preventDefault();
  held = [event.target, event.submitter];
});

// A replaced line keeps the class of the old one where nothing else of the page is replaced; its kind is its own.
document.addEventListener("htmx:oobAfterSwap", follow);

document.addEventListener("keydown", (event) => {
  if ((event.ctrlKey || event.metaKey) && event.key === "s") {
    const form = document.activeElement && document.activeElement.closest("form");
    if (form && form.method === "post") {
      event.preventDefault();
      form.requestSubmit();
    }
  }
});

// What the place that the address leads to is folded in is open, in a browser that does not see to it as well.
function unfoldTarget() {
  const target = location.hash && document.getElementById(decodeURIComponent(location.hash.slice(1)));
  const folds = [];
  for (let each = target && target.closest("details"); each; each = each.parentElement.closest("details")) folds.push(each);
  if (!folds.some((each) => !each.open)) return;
  for (const each of folds) each.open = true;
  target.scrollIntoView();
}
window.addEventListener("hashchange", unfoldTarget);
unfoldTarget();
