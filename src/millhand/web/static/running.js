"use strict";
// Plays one simulated shift in the plan. All that is shown is read from its record; nothing is worked out but sums.

(async () => {
  const player = document.getElementById("player");
  if (!player) return;
  const span = Number(player.dataset.span);
  const windowWide = Number(player.dataset.window);
  const calm = matchMedia("(prefers-reduced-motion: reduce)");
  const control = (id) => document.getElementById(id);
  const all = (selector) => Array.from(player.querySelectorAll(selector));

  let record;
  try {
    const answer = await fetch(player.dataset.record, { credentials: "same-origin" });
    if (!answer.ok) throw new Error(String(answer.status));
    record = await answer.json();
  } catch {
    player.querySelector(".still-words").textContent +=
      " The record of the shift did not come, so it cannot be played: load the page again.";
    return;
  }

  const words = record.words;
  const machines = record.stations.filter((each) => each.states.length);
  const owners = machines.concat(record.attendants);
  const stateWords = (each) => (each.hands === undefined ? words.states.station : words.states.attendant);
  const notable = record.events.filter((each) => each[2]);
  const state = { now: 0, playing: false, last: 0, drawn: -1, spoken: 0, kept: 0, lane: -1 };

  // The place of the latest entry that is not after a moment; -1 where there is none.
  function latest(marks, now) {
    let low = 0;
    let high = marks.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (marks[middle][0] <= now) low = middle + 1;
      else high = middle;
    }
    return low - 1;
  }

  const at = (marks, now) => marks[Math.max(0, latest(marks, now))];

  function clock(seconds) {
    const whole = Math.floor(record.start_s + seconds + 1e-6) % 86400;
    const two = (number) => String(number).padStart(2, "0");
    return two(Math.floor(whole / 3600)) + ":" + two(Math.floor(whole / 60) % 60) + ":" + two(whole % 60);
  }

  const plain = (name) => name.replaceAll("_", " ").replace(/^([a-z]+)(\d+)$/, "$1 $2");

  function set(element, text) {
    if (element && element.textContent !== text) element.textContent = text;
  }

  // How long each owner was in each state before each change, so that a sum up to any moment is one look.
  for (const owner of owners) {
    const sums = {};
    owner.before = owner.states.map(([since, name], index) => {
      const copy = { ...sums };
      const until = index + 1 < owner.states.length ? owner.states[index + 1][0] : span;
      sums[name] = (sums[name] || 0) + until - since;
      return copy;
    });
  }

  function secondsIn(owner, now) {
    const index = Math.max(0, latest(owner.states, now));
    const [since, name] = owner.states[index];
    return { ...owner.before[index], [name]: (owner.before[index][name] || 0) + now - since };
  }

  function wayAt(arm, now) {
    const [since, start, goal, share, until] = at(arm.ways, now);
    if (until === null) return { start, goal, share };
    const gone = until > since ? Math.min(1, (now - since) / (until - since)) : 1;
    return { start, goal, share: share + (1 - share) * gone };
  }

  const holdWords = { r: "a raw part", b: "a part half done", f: "a finished part" };
  const holdLooks = { r: "raw", b: "begun", f: "done" };

  function moreWords(owner, now) {
    if (owner.kind === "arm") {
      const way = wayAt(owner, now);
      const place = way.share >= 1 ? "at " + plain(way.goal) : plain(way.start) + " to " + plain(way.goal);
      const held = Array.from(at(owner.holds, now)[1], (each) => holdWords[each]).join(" and ");
      return place + "; holds " + (held || "nothing");
    }
    const visit = visitOf(owner, now);
    return visit ? visit.words + (visit.where ? ", " + plain(visit.where) : "") : "";
  }

  function visitOf(person, now) {
    const [, name, where] = at(person.duties, now);
    if (!name || name.startsWith("absence")) return null;
    return { words: words.duties[name], where };
  }

  function numberWords(station, now) {
    const out = record.out[Math.max(0, latest(record.out, now))][1];
    if (!station.parts.length) return station.kind === "sink" ? out + " out" : "no limit";
    const count = at(station.parts, now)[1];
    return station.capacity > 1 ? count + " of " + station.capacity : String(count);
  }

  function between(start, goal, share) {
    const mix = (a, b) => a + (b - a) * share;
    const foot = [mix(start[0], goal[0]), mix(start[1], goal[1])];
    const ends = [start, goal].map((each) => [each[2] - each[0], each[3] - each[1]]);
    const angles = ends.map(([x, y]) => Math.atan2(y, x));
    const whole = 2 * Math.PI;
    const turn = ((((angles[1] - angles[0] + Math.PI) % whole) + whole) % whole) - Math.PI;
    const angle = angles[0] + turn * share;
    const length = mix(Math.hypot(...ends[0]), Math.hypot(...ends[1]));
    return [...foot, foot[0] + Math.cos(angle) * length, foot[1] + Math.sin(angle) * length];
  }

  const plans = all("svg.running").map((svg) => ({
    svg,
    places: JSON.parse(svg.dataset.places),
    doors: JSON.parse(svg.dataset.doors),
  }));

  function drawPlan(plan, now) {
    const find = (selector) => plan.svg.querySelector(selector);
    for (const each of record.stations) {
      const field = find(`[data-look="${each.name}"]`);
      const say = find(`[data-say="${each.name}"]`);
      if (each.states.length) {
        const told = words.states.station[at(each.states, now)[1]];
        if (field) field.setAttribute("fill", `url(#run-${told[0]})`);
        set(say, told[1]);
        const part = find(`[data-part="${each.name}"]`);
        if (part) part.classList.toggle("none", !at(each.parts, now)[1]);
      } else set(say, numberWords(each, now));
    }
    for (const each of record.attendants) {
      if (each.kind === "arm") drawArm(plan, find(`[data-arm="${each.name}"]`), each, now);
      else drawPerson(plan, find(`[data-person="${each.name}"]`), each, now);
    }
  }

  function drawArm(plan, group, arm, now) {
    if (!group) return;
    const way = wayAt(arm, now);
    const home = plan.places.home;
    const share = calm.matches ? Math.floor(way.share) : way.share;
    const [x, y, handX, handY] = between(plan.places[way.start] || home, plan.places[way.goal] || home, share);
    const line = group.querySelector(".run-arm");
    line.setAttribute("x1", x);
    line.setAttribute("y1", y);
    line.setAttribute("x2", handX);
    line.setAttribute("y2", handY);
    const foot = group.querySelector(".run-foot");
    foot.setAttribute("cx", x);
    foot.setAttribute("cy", y);
    const name = group.querySelector(".run-name");
    name.setAttribute("x", x);
    name.setAttribute("y", y + 4);
    group.querySelector(".run-grip").setAttribute("transform", `translate(${handX} ${handY})`);
    const held = at(arm.holds, now)[1];
    for (const part of group.querySelectorAll("[data-hand]")) {
      part.setAttribute("class", "run-part " + (holdLooks[held[Number(part.dataset.hand)]] || "none"));
    }
  }

  function drawPerson(plan, group, person, now) {
    if (!group) return;
    const visit = visitOf(person, now);
    const place = visit && plan.doors[visit.where];
    group.classList.toggle("none", !place);
    if (!place) return;
    const [x, y] = place;
    group.setAttribute("transform", `translate(${x} ${y})`);
    set(group.querySelector("text"), visit.words);
  }

  function drawLists(now) {
    for (const each of record.stations) {
      const cell = player.querySelector(`[data-now="${each.name}"]`);
      if (!cell) continue;
      if (each.states.length) {
        const told = words.states.station[at(each.states, now)[1]];
        cell.querySelector(".look rect").setAttribute("fill", `url(#run-${told[0]})`);
        set(cell.querySelector(".words"), told[2]);
      } else set(cell.querySelector(".words"), numberWords(each, now));
    }
    for (const each of record.attendants) {
      const cell = player.querySelector(`[data-now="${each.name}"]`);
      if (!cell) continue;
      const told = words.states.attendant[at(each.states, now)[1]];
      cell.querySelector(".look rect").setAttribute("fill", `url(#run-${told[0]})`);
      set(cell.querySelector(".words"), told[2]);
      set(cell.querySelector(".more"), moreWords(each, now));
    }
    set(control("out"), String(at(record.out, now)[1]));
  }

  function percent(share) {
    const narrow = "\u202f%";
    if (!share) return "–";
    return share < 0.005 ? "<1" + narrow : Math.floor(share * 100 + 0.5) + narrow;
  }

  function drawShares(now) {
    for (const owner of owners) {
      const spent = secondsIn(owner, now);
      for (const row of player.querySelectorAll(`[data-shares="${owner.name}"] [data-state]`)) {
        set(row.cells[1], percent(now > 0 ? (spent[row.dataset.state] || 0) / now : 0));
      }
    }
  }

  const SVG = "http://www.w3.org/2000/svg";
  function shape(name, values) {
    const made = document.createElementNS(SVG, name);
    for (const [key, value] of Object.entries(values)) made.setAttribute(key, value);
    return made;
  }

  function drawLanes(now) {
    const number = Math.min(Math.floor(now / windowWide), Math.max(0, Math.ceil(span / windowWide) - 1));
    const start = number * windowWide;
    const end = start + windowWide;
    for (const svg of all("svg.lanes")) {
      const wide = Number(svg.getAttribute("width")) - 2;
      const scale = wide / windowWide;
      if (state.lane !== number) fillLanes(svg, start, end, scale);
      const x = 1 + (now - start) * scale;
      const cursor = svg.querySelector(".cursor");
      cursor.setAttribute("x1", x);
      cursor.setAttribute("x2", x);
    }
    if (state.lane !== number) set(control("window"), clock(start) + " to " + clock(Math.min(end, span)));
    state.lane = number;
  }

  function fillLanes(svg, start, end, scale) {
    for (const owner of owners) {
      const lane = svg.querySelector(`[data-lane="${owner.name}"]`);
      const bars = [];
      for (let index = Math.max(0, latest(owner.states, start)); index < owner.states.length; index += 1) {
        const [since, name] = owner.states[index];
        if (since >= end) break;
        const until = index + 1 < owner.states.length ? owner.states[index + 1][0] : span;
        const left = Math.max(since, start);
        const right = Math.min(until, end);
        if (right <= left) continue;
        bars.push(shape("rect", {
          x: 1 + (left - start) * scale, y: lane.dataset.top, width: (right - left) * scale,
          height: svg.dataset.high, fill: `url(#run-${stateWords(owner)[name][0]})`,
        }));
      }
      lane.replaceChildren(...bars);
    }
    const ticks = svg.querySelector(".ticks");
    const base = Number(ticks.dataset.base);
    const made = [];
    for (let part = 0; part <= 4; part += 1) {
      const x = 1 + (windowWide / 4) * part * scale;
      made.push(shape("line", { x1: x, x2: x, y1: base - 4, y2: base + 2 }));
      if (part % 2 && svg.closest(".narrow")) continue;
      const text = shape("text", { x, y: base + 15, "text-anchor": ["start", "middle", "middle", "middle", "end"][part] });
      text.textContent = clock(start + (windowWide / 4) * part);
      made.push(text);
    }
    ticks.replaceChildren(...made);
  }

  function draw() {
    const now = state.now;
    for (const plan of plans) drawPlan(plan, now);
    drawLists(now);
    drawShares(now);
    drawLanes(now);
    const slider = control("when");
    slider.value = String(now);
    slider.setAttribute("aria-valuetext", clock(now));
    set(control("clock"), clock(now));
    const last = latest(notable, now);
    set(control("event"), last < 0 ? "" : clock(notable[last][0]) + "  " + words.events[notable[last][1]]);
    player.dataset.now = String(now);
  }

  // What a screen reader is told: where somebody went to, and while it plays not more often than every five seconds.
  function tell(text, always) {
    const moment = performance.now();
    if (!always && moment - state.spoken < 5000) return;
    state.spoken = moment;
    control("told").textContent = text;
  }

  function keep() {
    history.replaceState(null, "", "#t=" + Math.round(state.now * 10) / 10);
  }

  function go(now, text) {
    state.now = Math.min(span, Math.max(0, now));
    draw();
    keep();
    if (text) tell(text, true);
  }

  function play(wanted) {
    state.playing = wanted && state.now < span;
    const button = control("play");
    set(button.querySelector("span"), state.playing ? "⏸" : "▶");
    set(button.querySelector(".word"), state.playing ? "Pause" : "Play");
    if (state.playing) {
      state.last = performance.now();
      requestAnimationFrame(frame);
    } else {
      keep();
      tell("Paused at " + clock(state.now), true);
    }
  }

  function frame(moment) {
    if (!state.playing) return;
    const least = calm.matches ? 1000 : 30;
    const gone = Math.max(0, moment - state.last);
    if (gone >= least) {
      const before = latest(notable, state.now);
      state.now = Math.min(span, state.now + (Math.min(gone, 2000) / 1000) * Number(control("speed").value));
      state.last = moment;
      draw();
      const last = latest(notable, state.now);
      if (last > before) tell(clock(notable[last][0]) + ", " + words.events[notable[last][1]], false);
      if (moment - state.kept > 2000) {
        state.kept = moment;
        keep();
      }
    }
    if (state.now >= span) play(false);
    else requestAnimationFrame(frame);
  }

  function step(forward) {
    const events = control("notable").checked ? notable : record.events;
    let index = latest(events, forward ? state.now : state.now - 1e-6);
    if (forward) index += 1;
    if (index < 0 || index >= events.length) {
      go(forward ? span : 0, forward ? "The end of the shift" : "The beginning of the shift");
      return;
    }
    go(events[index][0], clock(events[index][0]) + ", " + words.events[events[index][1]]);
  }

  function fromAddress() {
    const found = /^#t=(\d+(?:\.\d+)?)$/.exec(location.hash);
    return found ? Number(found[1]) : null;
  }

  control("play").addEventListener("click", () => play(!state.playing));
  control("back").addEventListener("click", () => step(false));
  control("next").addEventListener("click", () => step(true));
  control("when").addEventListener("input", (event) => {
    state.now = Number(event.target.value);
    draw();
  });
  control("when").addEventListener("change", keep);
  window.addEventListener("hashchange", () => {
    const wanted = fromAddress();
    if (wanted !== null && Math.abs(wanted - state.now) > 0.06) go(wanted, "");
  });
  player.querySelector(".controls").addEventListener("keydown", (event) => {
    const tag = event.target.tagName;
    if (event.altKey || event.ctrlKey || event.metaKey || tag === "SELECT") return;
    if (event.key === " " && tag !== "BUTTON" && event.target.type !== "checkbox") play(!state.playing);
    else if (event.key === "ArrowLeft") step(false);
    else if (event.key === "ArrowRight") step(true);
    else if (event.key === "Home") go(0, "The beginning of the shift");
    else if (event.key === "End") go(span, "The end of the shift");
    else return;
    event.preventDefault();
  });

  player.querySelector(".controls").hidden = false;
  player.querySelector(".still-words").hidden = true;
  const wanted = fromAddress();
  state.now = Math.min(span, wanted === null ? Number(player.dataset.still) : wanted);
  draw();
  player.dataset.ready = "yes";
})();
