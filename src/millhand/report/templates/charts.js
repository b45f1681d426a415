"use strict";
// Reads the charts of a page out: the mark under the pointer or the keyboard says its figures in the line above its chart,
// switches put marks out of sight, and the time axis of a round can be drawn out. All words and figures come from the page.
(() => {
  const NEAR = 22; // pixels from the pointer to a mark, at most

  // A fine drawing is never asked to be hit exactly: the nearest mark counts.
  function nearest(marks, x, y) {
    let found = null, least = NEAR;
    for (const mark of marks) {
      const box = mark.getBoundingClientRect();
      const away = Math.hypot(Math.max(box.left - x, 0, x - box.right), Math.max(box.top - y, 0, y - box.bottom));
      const middle = Math.hypot((box.left + box.right) / 2 - x, (box.top + box.bottom) / 2 - y) / 1e4;
      if (away + middle < least) [found, least] = [mark, away + middle];
    }
    return found;
  }

  function readable(figure) {
    const line = figure.querySelector(".readout");
    if (!line) return;
    const resting = line.textContent;
    line.hidden = false;

    for (const svg of figure.querySelectorAll(".wide svg, .narrow svg")) {
      const all = [...svg.querySelectorAll("[data-say]")];
      const there = () => all.filter((mark) => !mark.hasAttribute("data-off"));
      const told = new Set(); // what several marks say alike is met once on the way from mark to mark
      const stops = all.filter((mark) => !told.has(mark.dataset.say) && told.add(mark.dataset.say));
      if (!stops.length) continue;
      svg.setAttribute("role", "group");

      const say = (mark) => {
        for (const each of all) each.toggleAttribute("data-read", each === mark);
        line.textContent = mark ? mark.dataset.say : resting;
      };
      const enter = (mark) => {
        for (const each of stops) each.setAttribute("tabindex", each === mark ? "0" : "-1");
      };
      for (const mark of stops) {
        if (mark.localName !== "a") mark.setAttribute("role", "img");
        mark.setAttribute("aria-label", mark.dataset.say);
        mark.addEventListener("focus", () => { enter(mark); say(mark); });
        mark.addEventListener("blur", () => say(null));
      }
      enter(stops[0]);

      const point = (event) => say(nearest(there(), event.clientX, event.clientY));
      svg.addEventListener("pointermove", point);
      svg.addEventListener("pointerdown", point);
      svg.addEventListener("pointerleave", (event) => { if (event.pointerType === "mouse") say(null); });
      svg.addEventListener("keydown", (event) => {
        const open = stops.filter((mark) => !mark.hasAttribute("data-off"));
        const at = open.indexOf(document.activeElement);
        const to = { ArrowRight: at + 1, ArrowDown: at + 1, ArrowLeft: at - 1, ArrowUp: at - 1, Home: 0, End: open.length - 1 };
        if (event.key === "Escape") say(null);
        if (!(event.key in to) || event.ctrlKey || event.altKey || event.metaKey) return;
        event.preventDefault();
        const next = open[Math.min(Math.max(to[event.key], 0), open.length - 1)];
        if (next) next.focus();
      });
      svg.addEventListener("switched", () => {
        const first = stops.find((mark) => !mark.hasAttribute("data-off"));
        if (first) enter(first);
      });
    }
  }

  function switched(figure) {
    const buttons = [...figure.querySelectorAll("[data-switch]")];
    const apply = () => {
      const off = buttons.filter((each) => each.getAttribute("aria-pressed") === "false").map((each) => each.dataset.switch);
      for (const mark of figure.querySelectorAll("[data-in]")) {
        mark.toggleAttribute("data-off", mark.dataset.in.split(" ").some((group) => off.includes(group)));
      }
      for (const svg of figure.querySelectorAll("svg")) svg.dispatchEvent(new Event("switched"));
    };
    for (const button of buttons) {
      button.addEventListener("click", () => {
        button.setAttribute("aria-pressed", String(button.getAttribute("aria-pressed") === "false"));
        apply();
      });
    }
  }

  // Places along the axis are multiplied, nothing else: letters, patterns and heights stay.
  function drawnOut(figure) {
    const buttons = figure.querySelectorAll("[data-closer]");
    if (!buttons.length) return;
    const most = Math.max(...[...figure.querySelectorAll("[data-times]")].map((each) => Number(each.dataset.times)));
    const views = [...figure.querySelectorAll("svg.activity")].map((svg) => {
      const places = [];
      for (const each of svg.querySelectorAll("[x], [x1]")) {
        if (each.hasAttribute("data-stays")) continue;
        for (const name of ["x", "x1", "x2", "width"]) {
          if (each.hasAttribute(name)) places.push([each, name, Number(each.getAttribute(name))]);
        }
      }
      const [, , width, height] = svg.getAttribute("viewBox").split(" ").map(Number);
      const frame = svg.parentElement;
      frame.addEventListener("scroll", () => {
        for (const each of svg.querySelectorAll("[data-stays]")) each.setAttribute("x", 1 + frame.scrollLeft);
      });
      return { svg, frame, places, width, height };
    });
    let times = 1;
    const draw = () => {
      for (const { svg, frame, places, width, height } of views) {
        const from = frame.scrollWidth ? frame.scrollLeft / frame.scrollWidth : 0;
        for (const [each, name, value] of places) {
          each.setAttribute(name, name === "width" ? value * times : 1 + (value - 1) * times);
        }
        const whole = 2 + (width - 2) * times;
        svg.setAttribute("viewBox", `0 0 ${whole} ${height}`);
        svg.setAttribute("width", whole);
        for (const each of svg.querySelectorAll("[data-times]")) {
          each.classList.toggle("later", Number(each.dataset.times) !== times);
        }
        frame.classList.toggle("drawn-out", times > 1);
        if (times > 1) {
          frame.setAttribute("tabindex", "0");
          frame.scrollLeft = from * frame.scrollWidth;
        } else frame.removeAttribute("tabindex");
        for (const each of svg.querySelectorAll("[data-stays]")) each.setAttribute("x", 1 + frame.scrollLeft);
      }
      for (const button of buttons) button.disabled = Number(button.dataset.closer) > 1 ? times === most : times === 1;
    };
    const go = (to) => { times = Math.min(Math.max(to, 1), most); draw(); };
    for (const button of buttons) button.addEventListener("click", () => go(times * Number(button.dataset.closer)));
    addEventListener("beforeprint", () => go(1));
    draw();
  }

  for (const figure of document.querySelectorAll("figure")) {
    readable(figure);
    switched(figure);
    drawnOut(figure);
    for (const each of figure.querySelectorAll(".switches")) each.hidden = false;
  }
})();
