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

// A form that is sent while a field is being kept waits for it, so that it rests on the newest revision.
let keeping = 0;
let held = null;

const keeps = (event) => event.detail.requestConfig.verb === "post";

document.addEventListener("htmx:beforeSend", (event) => { if (keeps(event)) keeping += 1; });
document.addEventListener("htmx:afterRequest", (event) => {
  if (!keeps(event)) return;
  keeping -= 1;
  setTimeout(() => {
    if (!held || keeping > 0) return;
    const [form, button] = held;
    held = null;
    form.requestSubmit(button);
  });
});

document.addEventListener("submit", (event) => {
  if (keeping === 0 || !event.target.matches("form:not([hx-post])") || !event.target.elements.base) return;
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
