// Small comforts; every page works without them.
// A form is sent once, errors get the focus, a lost connection is said in words.
"use strict";

(() => {
  const say = (text) => {
    const place = document.getElementById("connection");
    if (!place) return;
    place.replaceChildren();
    if (!text) return;
    const box = document.createElement("div");
    box.className = "notice notice-problem";
    const line = document.createElement("p");
    line.textContent = text;
    box.append(line);
    place.append(box);
    box.scrollIntoView({ block: "nearest" });
  };

  const focusOn = (place) => {
    if (!place) return false;
    if (!place.hasAttribute("tabindex")) place.tabIndex = -1;
    place.focus();
    return true;
  };
  const focusErrors = () => focusOn(document.querySelector(".error-summary"));

  // After a part of the page was replaced, the focus goes to what the person waits for: the first error, else the
  // verdict, else the card that was worked in or the first one still to do, else the heading.
  let worked = [];
  document.addEventListener("htmx:before:response", (event) => {
    worked = [];
    for (let at = event.detail.ctx?.sourceElement; at; at = at.parentElement) {
      if (at.id && at.matches("section, li, details")) worked.push(at.id);
    }
  });
  const focusAnswer = (event) => {
    if (focusErrors() || event.detail.ctx?.target?.hasAttribute("data-keeps-focus")) return;
    const verdict = document.querySelector("main .verdict-panel, main [data-answer]");
    const card = worked.map((id) => document.getElementById(id)).find(Boolean);
    const next = document.querySelector("main :is(section, li).card:has(form[hx-post]:not(details form))");
    focusOn(verdict ?? card ?? next ?? document.querySelector("main h1"));
  };

  // htmx disables its own forms (hx-disable); this is for those that post the whole page. The button is disabled
  // after the browser has gathered the fields, so that its own name and value still travel.
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (form.method !== "post" || form.hasAttribute("hx-post")) return;
    if (!navigator.onLine) {
      event.preventDefault();
      say("No connection. Nothing was sent and what you typed is still here; send it again when the connection is back.");
      return;
    }
    setTimeout(() => form.querySelectorAll("[type=submit]").forEach((button) => { button.disabled = true; }));
  });
  window.addEventListener("pageshow", (event) => {
    if (event.persisted) document.querySelectorAll("form [type=submit]").forEach((button) => { button.disabled = false; });
  });

  document.addEventListener("htmx:error", () => {
    say("The message did not get through. What you typed is still here; send it again when the connection is back.");
  });
  document.addEventListener("htmx:before:response", () => say(""));
  document.addEventListener("htmx:after:swap", focusAnswer);
  window.addEventListener("online", () => say(""));

  focusErrors();
})();
