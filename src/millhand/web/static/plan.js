"use strict";
// Pieces of a plan are moved by the pointer or the arrow keys; the fields of the form follow, and the server answers.

const STEP_MM = 50;
const SMALL_STEP_MM = 10;
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
let held = null;
let focused = null;

function gripOf(event) {
  return event.target instanceof Element ? event.target.closest(".grip") : null;
}

// One piece was moved: it and all others keep their places from here on.
function put(grip, east, north) {
  for (const each of document.querySelectorAll(".grip")) {
    const own = each.dataset.piece === grip.dataset.piece;
    for (const [axis, by] of [["x", east], ["y", north]]) {
      const field = document.getElementById(each.dataset.piece + "_" + axis);
      const at = Number(each.dataset[axis]) + (own ? by : 0);
      if (own) each.dataset[axis] = String(Math.round(at));
      field.value = Math.round(at) + " mm";
    }
  }
  focused = grip.dataset.piece;
  document.getElementById("byhand").dispatchEvent(new Event("change", { bubbles: true }));
}

// From dots on the screen to millimetres on the floor.
function millimetres(grip) {
  const svg = grip.ownerSVGElement;
  const dots = svg.getBoundingClientRect().width / svg.viewBox.baseVal.width;
  return 1000 / (Number(svg.dataset.scale) * dots);
}

document.addEventListener("pointerdown", (event) => {
  const grip = gripOf(event);
  if (!grip || event.button) return;
  held = { grip: grip, x: event.clientX, y: event.clientY };
  grip.setPointerCapture(event.pointerId);
});

document.addEventListener("pointermove", (event) => {
  if (!held) return;
  const svg = held.grip.ownerSVGElement;
  const dots = svg.getBoundingClientRect().width / svg.viewBox.baseVal.width;
  const [x, y] = [(event.clientX - held.x) / dots, (event.clientY - held.y) / dots];
  held.grip.setAttribute("transform", "translate(" + x + " " + y + ")");
});

document.addEventListener("pointerup", (event) => {
  if (!held) return;
  const { grip, x, y } = held;
  held = null;
  const scale = millimetres(grip);
  const [east, north] = [(event.clientX - x) * scale, (y - event.clientY) * scale];
  if (Math.abs(east) + Math.abs(north) >= 1) put(grip, east, north);
});

document.addEventListener("pointercancel", () => {
  if (held) held.grip.removeAttribute("transform");
  held = null;
});

document.addEventListener("keydown", (event) => {
  const grip = gripOf(event);
  if (!grip) return;
  if (event.key === "Enter" || event.key === " ") {
    event.preventDefault();
    document.getElementById(grip.dataset.piece + "_x").focus();
    return;
  }
  const way = ARROWS[event.key];
  if (!way || event.ctrlKey || event.metaKey || event.altKey) return;
  event.preventDefault();
  const step = event.shiftKey ? SMALL_STEP_MM : STEP_MM;
  put(grip, way[0] * step, way[1] * step);
});

// The plan is a new one after each answer; whoever moved a piece goes on with it.
document.addEventListener("htmx:afterSwap", () => {
  const active = document.activeElement;
  if (!focused || (active && active !== document.body)) return;
  const grip = document.querySelector('.grip[data-piece="' + focused + '"]');
  if (grip) grip.focus({ preventScroll: true });
});
