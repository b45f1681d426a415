"use strict";
// Pieces of a plan are moved by the pointer or the arrow keys; the fields of the form follow, and the server answers.

const STEP_MM = 50;
const SMALL_STEP_MM = 10;
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
let lifted = null;
let focused = null;

function gripOf(event) {
  return event.target instanceof Element ? event.target.closest(".grip") : null;
}

// One piece was moved: it and all others keep their places from here on.
function put(piece, east, north) {
  for (const each of document.querySelectorAll(".grip")) {
    if (each.dataset.piece === piece) {
      each.dataset.x = String(Math.round(Number(each.dataset.x) + east));
      each.dataset.y = String(Math.round(Number(each.dataset.y) + north));
    }
    for (const axis of ["x", "y"]) {
      document.getElementById(each.dataset.piece + "_" + axis).value = each.dataset[axis] + " mm";
    }
  }
  focused = piece;
  document.getElementById("byhand").dispatchEvent(new Event("change", { bubbles: true }));
}

// Dots of the screen to one of the drawing, and to one metre of the floor.
function scalesOf(grip) {
  const svg = grip.ownerSVGElement;
  const dots = svg.getBoundingClientRect().width / svg.viewBox.baseVal.width;
  return { dots: dots, metre: Number(svg.dataset.scale) * dots };
}

document.addEventListener("pointerdown", (event) => {
  const grip = gripOf(event);
  if (!grip || event.button) return;
  lifted = { grip: grip, x: event.clientX, y: event.clientY, ...scalesOf(grip) };
  grip.focus({ preventScroll: true });
  event.preventDefault();
});

document.addEventListener("pointermove", (event) => {
  if (!lifted) return;
  const [x, y] = [(event.clientX - lifted.x) / lifted.dots, (event.clientY - lifted.y) / lifted.dots];
  lifted.grip.setAttribute("transform", "translate(" + x + " " + y + ")");
});

// An answer to an earlier move may have come meanwhile: the plan is a new one then, and the way counts all the same.
document.addEventListener("pointerup", (event) => {
  if (!lifted) return;
  const { grip, x, y, metre } = lifted;
  lifted = null;
  const [east, north] = [((event.clientX - x) * 1000) / metre, ((y - event.clientY) * 1000) / metre];
  if (Math.abs(east) + Math.abs(north) >= 1) put(grip.dataset.piece, east, north);
});

document.addEventListener("pointercancel", () => {
  if (lifted) lifted.grip.removeAttribute("transform");
  lifted = null;
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
  put(grip.dataset.piece, way[0] * step, way[1] * step);
});

// The plan is a new one after each answer; whoever moved a piece goes on with it.
document.addEventListener("htmx:afterSwap", () => {
  const active = document.activeElement;
  if (!focused || (active && active !== document.body)) return;
  const grip = document.querySelector('.grip[data-piece="' + focused + '"]');
  if (grip) grip.focus({ preventScroll: true });
});
