"use strict";
(() => {
  const byId = (id) => document.getElementById(id);
  const all = (selector, root = document) => Array.from(root.querySelectorAll(selector));
  const root = document.documentElement;
  root.classList.add("js");

  // ---- the walk ----
  const stage = byId("stage");
  const hang = stage.querySelector(".hang");
  const slider = byId("slider");
  const near = Number(stage.dataset.near);
  const back = Number(stage.dataset.back);
  const frames = all(".frame", stage).map((figure) => ({ figure, m: Number(figure.dataset.m) }));
  const spots = all(".lost rect", stage).map((rect) => ({
    rect, id: rect.dataset.id, line: rect.dataset.kind === "line",
    reach: Number(rect.dataset.reach), carry: Number(rect.dataset.carry),
  }));
  const lines = spots.filter((spot) => spot.line);
  const still = matchMedia("(prefers-reduced-motion: reduce)");
  let metres = near;
  let sharp = false;

  const shareOf = (m) => (back > near ? Math.log(m / near) / Math.log(back / near) : 0);
  const metresAt = (share) => near * Math.pow(back / near, share);
  // rounded down, as everywhere else, so that no distance is overstated
  const inWords = (m) => (m < 0.9995 ? `${Math.floor(m * 100 + 1e-6)} cm` : `${(Math.floor(m * 10 + 0.005) / 10).toString()} m`);
  const listed = (ids) => (ids.length > 7 ? `${ids.slice(0, 6).join(", ")} and ${ids.length - 6} more` : ids.join(", "));

  function showFrames() {
    const at = frames.findIndex((frame) => frame.m > metres * 1.0001);
    const below = sharp ? 0 : at < 0 ? frames.length - 1 : Math.max(at - 1, 0);
    const above = sharp || at < 0 ? below : at;
    const mix = above === below ? 0 : Math.log(metres / frames[below].m) / Math.log(frames[above].m / frames[below].m);
    frames.forEach(({ figure }, n) => {
      const on = n === below || (n === above && mix > 0);
      figure.classList.toggle("on", on);
      figure.style.opacity = n === above && above !== below ? mix.toFixed(3) : "1";
      figure.style.transform = "";
    });
    hang.classList.toggle("true", sharp);
    if (sharp) {
      // a screen of 96 px an inch, 60 cm away
      const long = (Number(stage.dataset.longMm) * 0.6 / (metres * Number(stage.dataset.blunt))) * 96 / 25.4;
      const shown = Math.max(hang.clientWidth, hang.clientHeight) / 1.1;
      frames[0].figure.style.transform = `scale(${Math.min(1, long / shown).toFixed(4)})`;
    }
  }

  function markLost(quietly) {
    for (const { rect, reach, carry } of spots) {
      const gone = metres > reach;
      rect.classList.toggle("fresh", gone && !quietly && !rect.classList.contains("gone"));
      rect.classList.toggle("gone", gone);
      rect.classList.toggle("unnoticed", metres > carry);
    }
  }

  // what is read is told while walking; a screen reader hears of it once the viewer stands
  let saying = 0;
  function tell() {
    const read = lines.filter((line) => metres <= line.reach).length;
    const gone = lines.filter((line) => metres > line.reach && metres <= line.carry).map((line) => line.id);
    const unseen = spots.filter((spot) => metres > spot.carry).map((spot) => spot.id);
    const found = `${lines.length} ${lines.length === 1 ? "line" : "lines"}`;
    const parts = [`From ${inWords(metres)}: ${lines.length ? `${read} of ${found} can be read` : "nothing to read"}.`];
    if (gone.length) parts.push(`No longer read: ${listed(gone)}.`);
    if (unseen.length) parts.push(`No longer noticed: ${listed(unseen)}.`);
    if (sharp) parts.push("Sharp, as large as it looks from there, if you sit 60 cm from a screen of 96 pixels an inch.");
    const told = parts.join(" ");
    byId("told").textContent = told;
    clearTimeout(saying);
    saying = setTimeout(() => { byId("said").textContent = told; }, 400);
  }

  function stand(m, { fromSlider = false, quietly = false } = {}) {
    metres = Math.min(Math.max(m, near), back);
    const share = shareOf(metres);
    if (!fromSlider) slider.value = String(Math.round(share * Number(slider.max)));
    slider.setAttribute("aria-valuetext", inWords(metres));
    byId("distance").textContent = inWords(metres);
    root.style.setProperty("--share", share.toFixed(4));
    showFrames();
    markLost(quietly);
    tell();
  }

  slider.addEventListener("input", () => {
    stop();
    stand(metresAt(Number(slider.value) / Number(slider.max)), { fromSlider: true });
  });
  all("[data-m]").filter((button) => button.tagName === "BUTTON").forEach((button) =>
    button.addEventListener("click", () => { stop(); stand(Number(button.dataset.m)); }));

  let playing = 0;
  const play = byId("play");
  function stop() {
    cancelAnimationFrame(playing);
    clearTimeout(playing);
    playing = 0;
    play.textContent = "Walk back";
  }
  play.addEventListener("click", () => {
    if (playing) { stop(); return; }
    let share = shareOf(metres) > 0.99 ? 0 : shareOf(metres);
    let last = 0;
    play.textContent = "Stand still";
    if (still.matches) {
      const stops = frames.map((frame) => frame.m).filter((m) => shareOf(m) > share || share === 0);
      const step = () => { if (stops.length) { stand(stops.shift()); playing = setTimeout(step, 1200); } else stop(); };
      playing = 1;
      step();
      return;
    }
    const step = (now) => {
      share += last ? (now - last) / 9000 : 0;
      last = now;
      stand(metresAt(Math.min(share, 1)));
      if (share < 1) playing = requestAnimationFrame(step); else stop();
    };
    playing = requestAnimationFrame(step);
  });

  document.addEventListener("keydown", (event) => {
    const way = { ArrowLeft: -1, ArrowRight: 1 }[event.key];
    const busy = event.target.closest("input, textarea, select, .scrolls") || event.altKey || event.ctrlKey || event.metaKey;
    if (event.key === "Escape") choose(null);
    if (!way || busy) return;
    event.preventDefault();
    stop();
    stand(metresAt(shareOf(metres) + way / 40));
  });

  for (const [id, name] of [["show-lost", "hide-lost"], ["show-marks", "hide-marks"]]) {
    const box = byId(id);
    const apply = () => hang.classList.toggle(name, !box.checked);
    box.addEventListener("change", apply);
    apply();
  }
  byId("show-true").addEventListener("change", (event) => { sharp = event.target.checked; stand(metres, { quietly: true }); });
  addEventListener("resize", () => showFrames());

  // ---- findings, remarks and elements ----
  const spot = stage.querySelector(".spot");
  const heads = all(".finding h3 button");
  const remarks = all(".remarks h3 button");
  const elements = all("button.element");
  const space = "http://www.w3.org/2000/svg";

  function outline(boxes, kind) {
    spot.replaceChildren();
    spot.setAttribute("class", `spot ${kind}`);
    for (const [x0, y0, x1, y1] of boxes) {
      for (let n = 0; n < 2; n += 1) {
        const rect = document.createElementNS(space, "rect");
        for (const [key, value] of Object.entries({ x: x0 - 7, y: y0 - 7, width: x1 - x0 + 14, height: y1 - y0 + 14, rx: 4 })) {
          rect.setAttribute(key, String(value));
        }
        spot.append(rect);
      }
    }
  }

  const numbers = (text) => text.split(";").filter(Boolean).map((box) => box.split(" ").map(Number));
  const panelOf = (head) => byId(head.getAttribute("aria-controls"));
  const kindOf = (head) => ["fail", "warn", "note"].find((kind) => head.closest(".finding").classList.contains(kind));

  function choose(button) {
    heads.forEach((head) => {
      head.setAttribute("aria-expanded", String(head === button));
      panelOf(head).hidden = head !== button;
    });
    [...remarks, ...elements].forEach((other) => other.setAttribute("aria-pressed", String(other === button)));
    light(button);
  }

  function light(button) {
    const rank = button && button.dataset.rank;
    hang.classList.toggle("choosing", Boolean(rank));
    all(".marks .mark", stage).forEach((mark) => mark.classList.toggle("chosen", mark.dataset.for === rank));
    if (!button) { outline([], ""); return; }
    if (button.dataset.boxes !== undefined) {
      const kind = heads.includes(button) ? kindOf(button) : "element";
      outline(numbers(button.dataset.boxes), kind);
    } else {
      const boxes = all(`.marks .mark[data-for="${rank}"] .box`, stage).map((box) => {
        const [x, y, w, h] = ["x", "y", "width", "height"].map((name) => Number(box.getAttribute(name)));
        return [x, y, x + w, y + h];
      });
      outline(boxes, "remark");
    }
  }

  heads.forEach((head) => {
    panelOf(head).hidden = true;
    head.addEventListener("click", () => {
      const opens = head.getAttribute("aria-expanded") !== "true";
      choose(opens ? head : null);
      if (opens && head.getBoundingClientRect().top < 0) head.scrollIntoView({ block: "start" });
    });
  });
  remarks.forEach((button) => button.addEventListener("click", () =>
    choose(button.getAttribute("aria-pressed") === "true" ? null : button)));
  elements.forEach((button) => {
    button.setAttribute("aria-pressed", "false");
    button.addEventListener("click", () => {
      const on = button.getAttribute("aria-pressed") !== "true";
      elements.forEach((other) => other.setAttribute("aria-pressed", String(other === button && on)));
      light(on ? button : heads.find((head) => head.getAttribute("aria-expanded") === "true") || null);
      const box = hang.getBoundingClientRect();
      if (on && (box.bottom < 80 || box.top > innerHeight - 80)) {
        hang.scrollIntoView({ block: "nearest", behavior: still.matches ? "auto" : "smooth" });
      }
    });
  });
  all(".marks .mark", stage).forEach((mark) => mark.addEventListener("click", () => {
    const button = [...heads, ...remarks].find((head) => head.dataset.rank === mark.dataset.for);
    choose(button);
    button.scrollIntoView({ block: "nearest" });
  }));

  const asked = heads.find((head) => `#${head.getAttribute("aria-controls")}` === location.hash);
  choose(asked || heads[0] || null);
  stand(near, { quietly: true });
})();
