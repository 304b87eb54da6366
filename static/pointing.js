// The two ends of a scale bar by pointing on the photograph; without this script they are typed, as they still can be.
// A tap sets the end whose turn it is; a magnified view and four buttons (or the arrow keys) move it pixel by pixel.
// Places are x; y in pixels of the whole photograph: the centre of its first pixel is 0; 0.
// Where the photograph is yet to be sent, the chosen file is shown to be pointed at; it stays on this device until then.
"use strict";

(() => {
  const ENDS = [["start_px", "One end"], ["end_px", "Other end"]];
  const STEPS = [["Left", -1, 0, "←"], ["Up", 0, -1, "↑"], ["Down", 0, 1, "↓"], ["Right", 1, 0, "→"]];
  const VIEW = 176, ZOOM = 8;

  const made = (tag, properties, ...inner) => {
    const it = Object.assign(document.createElement(tag), properties);
    it.append(...inner);
    return it;
  };
  const drawn = (tag, attributes, ...inner) => {
    const it = document.createElementNS("http://www.w3.org/2000/svg", tag);
    Object.entries(attributes).forEach(([name, value]) => it.setAttribute(name, value));
    it.append(...inner);
    return it;
  };
  const read = (text) => {
    const numbers = text.trim().split(/[;\s]+/).map((one) => Number(one.replace(",", ".")));
    return numbers.length === 2 && numbers.every(Number.isFinite) ? numbers : null;
  };

  const start = (figure) => {
    const image = figure.querySelector("img"), form = figure.parentElement.querySelector("form");
    const fields = ENDS.map(([name]) => form?.elements.namedItem(name));
    if (!image || fields.some((field) => !field)) return;
    figure.dataset.pointing = "on";
    const across = Number(figure.dataset.across), down = Number(figure.dataset.down);
    let turn = 0, whole = image;

    const frame = made("div", { className: "pointing-frame" });
    image.replaceWith(frame);
    const size = across / 30;
    const marks = ENDS.map((_, end) => {
      const words = drawn("text", { y: size * 2.2, "font-size": size * 1.4 });
      words.textContent = end + 1;
      return drawn("g", {}, drawn("circle", { r: size, "stroke-width": size / 3, class: "halo" }),
        drawn("circle", { r: size, "stroke-width": size / 6 }), words);
    });
    frame.append(image, drawn("svg", { viewBox: `-0.5 -0.5 ${across} ${down}`, class: "pointing-marks", "aria-hidden": "true" }, ...marks));
    const view = made("canvas", { className: "pointing-view", width: VIEW, height: VIEW });
    view.setAttribute("aria-hidden", "true");
    const ends = ENDS.map(([, words], end) => made("button", { type: "button", className: "button button-secondary" },
      made("span", { textContent: `${end + 1} · ${words}` }), made("span", { className: "pointing-place" })));
    const steps = made("div", { className: "pointing-steps" }, ...STEPS.map(([words, x, y, sign]) => {
      const button = made("button", { type: "button", className: "button button-secondary", textContent: sign });
      button.setAttribute("aria-label", `${words} by one pixel`);
      button.addEventListener("click", () => move(x, y));
      return button;
    }));
    const hint = "Tap one end of the bar, then the other. Move each until the cross in the magnified view lies on its edge.";
    const panel = made("div", { className: "pointing stack-close" }, made("p", { className: "hint", textContent: hint }),
      made("div", { className: "row" }, ...ends), made("div", { className: "pointing-fine" }, view, steps));
    form.id ||= "hole-question";
    const send = made("button", { type: "submit", className: "button button-primary pointing-send", textContent: "Measure" });
    send.setAttribute("form", form.id);  // on a telephone the form's own button lies far above
    panel.append(send);
    panel.setAttribute("role", "group");
    panel.setAttribute("aria-label", "Ends of the scale bar");
    frame.after(panel);

    const within = (value, most) => Math.min(Math.max(Math.round(value), 0), most - 1);
    const placeOf = (end) => read(fields[end].value);
    const put = (end, x, y) => {
      fields[end].value = `${within(x, across)}; ${within(y, down)}`;
      fields[end].dispatchEvent(new Event("input", { bubbles: true }));
    };
    const move = (x, y) => {
      const [atX, atY] = placeOf(turn) ?? [across / 2, down / 2];
      put(turn, atX + x, atY + y);
    };
    const magnify = () => {
      const pen = view.getContext("2d"), place = placeOf(turn);
      pen.clearRect(0, 0, VIEW, VIEW);
      if (!place || !whole.complete || !whole.naturalWidth) return;
      const share = whole.naturalWidth / across, side = VIEW / ZOOM;
      pen.imageSmoothingEnabled = false;
      pen.drawImage(whole, (place[0] + 0.5 - side / 2) * share, (place[1] + 0.5 - side / 2) * share,
        side * share, side * share, 0, 0, VIEW, VIEW);
      for (const [colour, width] of [["#000", 4], ["#fff", 1.5]]) {
        Object.assign(pen, { strokeStyle: colour, lineWidth: width });
        pen.beginPath();
        for (const [x1, y1, x2, y2] of [[0.5, 0, 0.5, 0.44], [0.5, 0.56, 0.5, 1], [0, 0.5, 0.44, 0.5], [0.56, 0.5, 1, 0.5]]) {
          pen.moveTo(x1 * VIEW, y1 * VIEW);
          pen.lineTo(x2 * VIEW, y2 * VIEW);
        }
        pen.stroke();
      }
    };
    const draw = () => {
      ENDS.forEach((_, end) => {
        const place = placeOf(end);
        ends[end].setAttribute("aria-pressed", String(end === turn));
        ends[end].lastChild.textContent = place ? `${place[0]}; ${place[1]}` : "not placed";
        marks[end].setAttribute("visibility", place ? "visible" : "hidden");
        if (place) marks[end].setAttribute("transform", `translate(${place[0]} ${place[1]})`);
      });
      magnify();
    };
    const lookClosely = () => {  // the page shows a smaller picture: its every pixel comes once somebody points
      if (whole !== image || !figure.dataset.whole || image.naturalWidth >= across) return;
      const fine = made("img", { src: figure.dataset.whole });
      fine.addEventListener("load", () => { whole = fine; draw(); });
    };

    image.addEventListener("click", (event) => {
      const box = image.getBoundingClientRect();
      const x = (event.clientX - box.left - image.clientLeft) / image.clientWidth;
      const y = (event.clientY - box.top - image.clientTop) / image.clientHeight;
      if (form.elements.namedItem("scale_by").value !== "bar") return;
      lookClosely();
      if (placeOf(turn) && !placeOf(1 - turn)) turn = 1 - turn;
      put(turn, x * across - 0.5, y * down - 0.5);
    });
    ends.forEach((button, end) => {
      button.addEventListener("click", () => {
        turn = end;
        lookClosely();
        if (!placeOf(end)) move(0, 0);
        draw();
      });
    });
    panel.addEventListener("keydown", (event) => {
      const step = STEPS.find(([words]) => event.key === `Arrow${words}`);
      if (!step) return;
      event.preventDefault();
      const by = event.shiftKey ? 10 : 1;
      move(step[1] * by, step[2] * by);
    });
    fields.forEach((field) => field.addEventListener("input", draw));
    image.addEventListener("load", draw);
    draw();
  };

  const chosen = (figure) => {
    const file = figure.parentElement.querySelector("form [type=file]").files[0];
    figure.hidden = true;
    figure.replaceChildren();
    if (!file) return;
    const reader = new FileReader();
    reader.addEventListener("load", () => {
      const image = made("img", { alt: "The photograph that was chosen" });
      image.addEventListener("load", () => {
        Object.assign(figure.dataset, { across: image.naturalWidth, down: image.naturalHeight });
        figure.replaceChildren(image);
        figure.hidden = false;
        start(figure);
      }, { once: true });
      image.src = reader.result;
    });
    reader.readAsDataURL(file);
  };
  document.addEventListener("change", (event) => {
    const figure = event.target.matches("[type=file]") && event.target.closest(".hole-question")?.querySelector("[data-file-shown]");
    if (!figure) return;
    ENDS.forEach(([name]) => { event.target.form.elements.namedItem(name).value = ""; });  // of the picture before
    chosen(figure);
  });

  const look = () => {
    document.querySelectorAll("[data-pointing=ready]").forEach(start);
    document.querySelectorAll("[data-file-shown][hidden]").forEach(chosen);
  };
  document.addEventListener("htmx:after:swap", look);
  look();
})();
