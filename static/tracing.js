// A pressure trace read off and looked at closely; without this script the fields and links below the plot do the same.
// The drawn readings are taken from the drawing itself. Pointing shows the nearest one, a click keeps a mark, two marks
// tell what lies between them; dragging along the plot asks the server for that stretch.
"use strict";

(() => {
  const HINT = "Point at the plot to read it off. A click keeps a mark, a second one tells the difference. Drag along it to look closer.";
  const KEYS = { ArrowLeft: -1, ArrowRight: 1, PageDown: -50, PageUp: 50, Home: -Infinity, End: Infinity };
  const DRAG = 8, NEAR = 4;  // px that are no click any more; places in the drawing that a pointer may miss by

  const made = (tag, properties, ...inner) => {
    const it = Object.assign(document.createElement(tag), properties);
    it.append(...inner);
    return it;
  };
  const drawn = (tag, attributes = {}, ...inner) => {
    const it = document.createElementNS("http://www.w3.org/2000/svg", tag);
    Object.entries(attributes).forEach(([name, value]) => it.setAttribute(name, value));
    it.append(...inner);
    return it;
  };
  const size = (number) => Math.floor(Math.log10(Math.abs(number) || 1));
  let focused = false, stood = null;  // whether the plot that is being replaced had the focus, and where it stood

  const start = (figure) => {
    const svg = figure.querySelector("svg"), form = document.getElementById(figure.dataset.form);
    const [left, right, top, bottom] = figure.dataset.field.split(" ").map(Number);
    const [from, to, low, high, perUnit] = ["from", "to", "low", "high", "perUnit"].map((name) => Number(figure.dataset[name]));
    const readings = [...svg.querySelectorAll("path.readings")]
      .flatMap((line) => [...line.getAttribute("d").matchAll(/(-?[\d.]+),(-?[\d.]+)/g)].map((pair) => [Number(pair[1]), Number(pair[2])]));
    if (!form || !readings.length) return;
    figure.dataset.trace = "on";

    const timeAt = (x) => from + (to - from) * (x - left) / (right - left);
    const barAt = (y) => low + (high - low) * (bottom - y) / (bottom - top);
    const fineS = Math.max(0, 4 - size(to - from)), fineBar = Math.max(0, 3 - size(high - low));
    const seconds = (t) => `${t.toFixed(fineS)} s`;
    const pressure = (bar) => `${bar.toFixed(fineBar)} bar${figure.dataset.unit
      ? ` (${(bar / perUnit).toFixed(Math.max(0, fineBar + size(perUnit)))} ${figure.dataset.unit})` : ""}`;
    const said = ([x, y]) => `${seconds(timeAt(x))}, ${pressure(barAt(y))}`;

    const cross = drawn("g", { class: "trace-cross", visibility: "hidden" },
      drawn("line", { y1: top, y2: bottom }), drawn("circle", { r: 5 }));
    const kept = [1, 2].map((number) => {
      const name = drawn("text", { y: top - 8, "text-anchor": "middle" });
      name.textContent = `Mark ${number}`;
      return drawn("g", { class: "trace-mark", visibility: "hidden" }, drawn("line", { y1: top, y2: bottom }), drawn("circle", { r: 5 }), name);
    });
    const stretch = drawn("rect", { class: "trace-stretch", y: top, height: bottom - top, visibility: "hidden" });
    const plot = drawn("svg", {
      viewBox: svg.getAttribute("viewBox"), class: "trace-pointing", tabindex: 0, role: "slider",
      "aria-label": "Reading off the trace", "aria-valuemin": 1, "aria-valuemax": readings.length, "aria-valuenow": 1,
      "aria-valuetext": "nothing read off yet",
    }, drawn("rect", { class: "trace-ground", x: left, y: top, width: right - left, height: bottom - top }), stretch, ...kept, cross);
    const frame = made("div", { className: "trace-frame" });
    svg.replaceWith(frame);
    frame.append(svg, plot);
    const reading = made("p", { className: "trace-reading", textContent: HINT });
    const difference = made("p", { className: "trace-difference" });
    difference.setAttribute("aria-live", "polite");
    const remove = made("button", { type: "button", className: "button button-secondary", textContent: "Remove the marks", hidden: true });
    const whole = made("button", { type: "button", className: "button button-secondary", textContent: "Whole trace",
      hidden: Boolean(figure.dataset.whole) || Boolean(document.getElementById("trace-steps")) });
    frame.before(made("div", { className: "trace-words" }, reading, difference));  // above it: no finger hides it there
    frame.after(made("div", { className: "row" }, remove, whole));

    let at = Math.floor(readings.length / 2), marks = [], dragged = null;
    const put = (group, [x, y]) => {
      group.setAttribute("visibility", "visible");
      group.querySelectorAll("line").forEach((line) => ["x1", "x2"].forEach((name) => line.setAttribute(name, x)));
      group.querySelector("circle").setAttribute("cx", x);
      group.querySelector("circle").setAttribute("cy", y);
      group.querySelector("text")?.setAttribute("x", x);
    };
    const between = ([x1, y1], [x2, y2]) => {
      const lasted = timeAt(x2) - timeAt(x1), gained = barAt(y2) - barAt(y1), rate = gained / lasted * 60;
      const change = `${pressure(Math.abs(gained))} ${gained < 0 ? "less" : "more"}`;
      if (!lasted) return `${change} at one time.`;
      const fine = Math.max(0, 2 - size(rate));
      return `${seconds(Math.abs(lasted))} ${lasted < 0 ? "before it" : "later"} and ${change}: ${Math.abs(rate).toFixed(fine)} bar/min ${rate < 0 ? "falling" : "rising"}.`;
    };
    const tell = () => {
      kept.forEach((group, place) => (marks[place] ? put(group, marks[place]) : group.setAttribute("visibility", "hidden")));
      remove.hidden = !marks.length;
    };
    const show = (place) => {
      at = Math.min(Math.max(place, 0), readings.length - 1);
      put(cross, readings[at]);
      plot.setAttribute("aria-valuenow", at + 1);
      plot.setAttribute("aria-valuetext", said(readings[at]));
      reading.textContent = said(readings[at]) + (marks.length === 1 && readings[at] !== marks[0] ? `. From mark 1: ${between(marks[0], readings[at])}` : "");
    };
    const keep = () => {
      marks = marks.length === 1 ? [marks[0], readings[at]] : [readings[at]];
      difference.textContent = marks.length === 2
        ? `Mark 1: ${said(marks[0])}. Mark 2: ${between(...marks)}` : `Mark 1: ${said(marks[0])}.`;
      tell();
      show(at);
    };
    const clear = () => {
      marks = [];
      difference.textContent = "";
      tell();
    };
    const ask = (times) => {  // what is swapped is drawn in its place: whoever looks at it is not led elsewhere
      document.querySelector(form.getAttribute("hx-target"))?.setAttribute("data-keeps-focus", "");
      ["from_s", "to_s"].forEach((name, place) => { form.elements.namedItem(name).value = times[place]; });
      form.requestSubmit();
    };

    const placeOf = (event) => {
      const box = plot.getBoundingClientRect(), scale = plot.viewBox.baseVal.width / box.width;
      return [Math.min(Math.max((event.clientX - box.left) * scale, left), right), (event.clientY - box.top) * scale];
    };
    const nearest = ([x, y]) => {
      let best = 0, least = Infinity;
      readings.forEach(([atX, atY], place) => {
        const across = Math.abs(atX - x);
        const far = across <= NEAR ? Math.hypot(across, atY - y) : 1e6 + across;
        if (far < least) [best, least] = [place, far];
      });
      return best;
    };
    const end = () => {
      dragged = null;
      stretch.setAttribute("visibility", "hidden");
    };
    plot.addEventListener("pointerdown", (event) => {
      if (!event.isPrimary || event.button) return;
      dragged = { x: event.clientX, from: placeOf(event)[0], far: false };
      plot.setPointerCapture(event.pointerId);
    });
    plot.addEventListener("pointermove", (event) => {
      const place = placeOf(event);
      if (dragged) dragged.far ||= Math.abs(event.clientX - dragged.x) > DRAG;
      if (!dragged?.far) return show(nearest(place));
      const [x1, x2] = [dragged.from, place[0]].sort((a, b) => a - b);
      Object.entries({ x: x1, width: x2 - x1, visibility: "visible" }).forEach(([name, value]) => stretch.setAttribute(name, value));
      reading.textContent = `Look closer from ${seconds(timeAt(x1))} to ${seconds(timeAt(x2))}`;
    });
    plot.addEventListener("pointerup", (event) => {
      if (!dragged) return;
      const place = placeOf(event), [x1, x2] = [dragged.from, place[0]].sort((a, b) => a - b), { far } = dragged;
      end();
      if (far && x2 > x1) {
        const fine = Math.min(9, Math.max(0, 3 - size(timeAt(x2) - timeAt(x1))));
        return ask([x1, x2].map((x) => timeAt(x).toFixed(fine)));
      }
      show(nearest(place));
      keep();
    });
    plot.addEventListener("pointercancel", end);
    plot.addEventListener("dblclick", () => { if (!figure.dataset.whole) ask(["", ""]); });
    plot.addEventListener("focus", () => { if (plot.matches(":focus-visible")) show(at); });
    plot.addEventListener("keydown", (event) => {
      if (event.key in KEYS) show(at + KEYS[event.key] * (event.shiftKey ? 10 : 1));
      else if (event.key === "Enter" || event.key === " ") keep();
      else if (event.key === "Escape") clear();
      else return;
      event.preventDefault();
    });
    remove.addEventListener("click", () => { clear(); plot.focus(); });
    whole.addEventListener("click", () => ask(["", ""]));
    if (focused) plot.focus({ preventScroll: true });
    if (stood !== null) window.scrollBy({ top: figure.getBoundingClientRect().top - stood, behavior: "instant" });
    [focused, stood] = [false, null];
  };

  const look = () => document.querySelectorAll("[data-trace=ready]").forEach(start);
  document.addEventListener("htmx:before:swap", (event) => {
    focused = Boolean(document.activeElement?.closest(".trace-frame"));
    const target = event.detail.ctx?.target;
    stood = target?.hasAttribute("data-keeps-focus") ? target.querySelector(".trace-drawing")?.getBoundingClientRect().top ?? null : null;
  });
  document.addEventListener("htmx:after:swap", look);
  look();
})();
