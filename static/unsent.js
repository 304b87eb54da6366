// Keeps what is typed in a form marked data-keep until it has been sent, in this browser tab only (sessionStorage),
// so that a lost connection or a mistaken tap on a link loses nothing. Passwords, files and hidden fields are never kept.
// Typed and never sent: put back by itself. Sent with unknown outcome: offered, because the server may have it already.
"use strict";

(() => {
  const prefix = "unsent ";
  const signIn = "/sign-in";
  const keyOf = (form) => `${prefix}${location.pathname} ${form.getAttribute("action")}`;
  const kept = (field) => field.name && !field.disabled
    && !["hidden", "password", "file", "submit", "button", "reset"].includes(field.type);
  const isBox = (field) => field.type === "checkbox" || field.type === "radio";
  const contents = (form) => [...form.elements].filter(kept)
    .map((field) => [field.name, isBox(field) ? field.checked : field.value]);
  const untouched = (field) => {
    if (isBox(field)) return field.checked === field.defaultChecked;
    if (field.tagName !== "SELECT") return field.value === field.defaultValue;
    return true;
  };

  const read = (key) => {
    try { return JSON.parse(sessionStorage.getItem(key)); } catch { return null; }
  };
  const write = (key, value) => {
    try { sessionStorage.setItem(key, JSON.stringify(value)); } catch { /* storage full or refused: work without it */ }
  };
  const drop = (key) => {
    try { sessionStorage.removeItem(key); } catch { /* refused */ }
  };
  const allKeys = () => {
    try { return Object.keys(sessionStorage).filter((key) => key.startsWith(prefix)); } catch { return []; }
  };

  const putBack = (form, fields) => {
    const present = [...form.elements].filter(kept);
    if (present.length !== fields.length || present.some((field, place) => field.name !== fields[place][0])) return false;
    present.forEach((field, place) => {
      if (!untouched(field)) return;
      if (isBox(field)) field.checked = fields[place][1];
      else field.value = fields[place][1];
    });
    return true;
  };

  const line = (form, text, ...buttons) => {
    const box = document.createElement("div");
    box.className = "kept";
    box.setAttribute("role", "status");
    const words = document.createElement("span");
    words.textContent = text;
    box.append(words);
    for (const [label, act] of buttons) {
      const button = document.createElement("button");
      button.type = "button";
      button.className = "button";
      button.textContent = label;
      button.addEventListener("click", () => { act(); box.remove(); });
      box.append(button);
    }
    form.prepend(box);
  };

  const restore = (form) => {
    const key = keyOf(form);
    const record = read(key);
    if (!record) return;
    const answered = form.querySelector("[aria-invalid=true]") || document.querySelector(".error-summary");
    if (answered) { drop(key); return; } // the server has shown the typed text again
    if (record.sent) {
      line(form, "You sent this form before and the answer did not arrive here. If the entry is missing, put it back.",
        ["Put it back", () => putBack(form, record.fields)], ["Discard it", () => drop(key)]);
    } else if (putBack(form, record.fields)) {
      line(form, "What you typed here before and did not send has been put back.",
        ["Clear the form", () => { drop(key); form.reset(); }]);
    }
  };

  document.addEventListener("input", (event) => {
    const form = event.target.form;
    if (form?.hasAttribute("data-keep")) write(keyOf(form), { sent: false, fields: contents(form) });
  });

  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (form.getAttribute("action") === "/sign-out") { allKeys().forEach(drop); return; }
    if (form.hasAttribute("data-keep") && !event.defaultPrevented) {
      write(keyOf(form), { sent: true, fields: contents(form) });
    }
  });

  const formOf = (event) => event.detail.ctx?.sourceElement?.closest?.("form[data-keep]");

  // Taken, or shown again with the typed text (409, 422): nothing to keep. Refused in any other way, or sent away to
  // sign in again: what was typed stays here.
  document.addEventListener("htmx:before:response", (event) => {
    const form = formOf(event);
    if (!form) return;
    const { status, headers } = event.detail.ctx.response;
    const signInFirst = (headers.get("HX-Redirect") ?? "").startsWith(signIn);
    if ((status < 400 && !signInFirst) || status === 409 || status === 422) drop(keyOf(form));
  });

  // No answer: the service may have it or not. Offered again, and not dropped by looking at another page.
  document.addEventListener("htmx:error", (event) => {
    const form = formOf(event);
    if (form) write(keyOf(form), { sent: true, unanswered: true, fields: contents(form) });
  });

  // After sending a whole page: sign-in means that it was not taken; any other page means that it was.
  for (const key of allKeys()) {
    const record = read(key);
    if (!record?.sent || record.unanswered) continue;
    if (location.pathname.startsWith(signIn)) write(key, { ...record, sent: false });
    else if (key.split(" ")[1] !== location.pathname) drop(key);
  }
  document.querySelectorAll("form[data-keep]").forEach(restore);
})();
