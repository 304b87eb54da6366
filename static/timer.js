// A timer for the steps where time matters: it counts to the plan's time, says in words when that is up, and puts the
// seconds into the form's field. Its start is kept in this browser tab (sessionStorage) as an instant, so that neither
// a reload nor a telephone that sleeps loses a second. Without this script the seconds are typed.
"use strict";

(() => {
  const SHORTEST_PRESS_MS = 700; // a glove that bounces on Start does not stop it, nor on Stop begin again
  const prefix = "timer ";
  const keyOf = (timer) => prefix + timer.dataset.timer;
  const read = (timer) => {
    try { return JSON.parse(sessionStorage.getItem(keyOf(timer))) ?? {}; } catch { return {}; }
  };
  const kept = new Map(); // also where the storage is refused
  const stateOf = (timer) => kept.get(keyOf(timer)) ?? read(timer);
  const keep = (timer, state) => {
    kept.set(keyOf(timer), state);
    try { sessionStorage.setItem(keyOf(timer), JSON.stringify(state)); } catch { /* full or refused: this page knows */ }
  };
  const timers = () => document.querySelectorAll("[data-timer]");
  const part = (timer, name) => timer.querySelector(`[data-timer-${name}]`);
  const button = (timer, name) => timer.querySelector(`[data-timer-press=${name}]`);
  const fieldOf = (timer) => document.getElementById(timer.dataset.fills);
  const runs = (state) => state.startedAt !== undefined && state.stoppedAt === undefined;
  const elapsed = (state) => (state.startedAt === undefined ? 0
    : Math.max(0, Math.floor(((state.stoppedAt ?? Date.now()) - state.startedAt) / 1000)));

  // What the timer itself put there may be replaced; what somebody typed only when they press for it.
  const mayFill = (timer, state) => ["", state.filled].includes(fieldOf(timer)?.value.trim());
  const fill = (timer) => {
    const state = stateOf(timer), field = fieldOf(timer), seconds = String(elapsed(state));
    keep(timer, { ...state, filled: seconds });
    field.value = seconds;
    field.dispatchEvent(new Event("input", { bubbles: true }));
  };

  const wordOf = (timer, state, seconds) => {
    const asked = Number(timer.dataset.seconds), up = elapsed(state) >= asked;
    if (state.startedAt === undefined) return "";
    if (runs(state)) return up ? `Time is up: ${asked} s.` : "";
    const field = fieldOf(timer)?.value.trim();
    const filled = field === seconds ? " The seconds stand in the field." : ` The field says ${field || "nothing"}: it was left as it is.`;
    return `Stopped after ${seconds} s${up ? "." : `, before the ${asked} s of the plan.`}${filled}`;
  };

  const show = (timer) => {
    const state = stateOf(timer), asked = Number(timer.dataset.seconds), passed = elapsed(state);
    const running = runs(state), stopped = state.stoppedAt !== undefined, up = state.startedAt !== undefined && passed >= asked;
    const write = (name, text) => { if (part(timer, name).textContent !== text) part(timer, name).textContent = text; };
    write("left", String(Math.abs(asked - passed)));
    write("way", up ? "over" : "to go");
    write("elapsed", String(passed));
    write("word", wordOf(timer, state, String(passed))); // only a change is written, so it is read out once
    timer.dataset.state = up ? "up" : running ? "running" : "ready";
    button(timer, "run").textContent = running ? "Stop" : "Start";
    button(timer, "run").hidden = stopped;
    button(timer, "again").hidden = !stopped;
    button(timer, "fill").hidden = !stopped || fieldOf(timer)?.value.trim() === String(passed);
    button(timer, "fill").textContent = `Put ${passed} s in the field`;
    if (running && up && !state.told) {
      keep(timer, { ...state, told: true });
      navigator.vibrate?.([300, 150, 300]);
    }
    return running;
  };

  let ticking = 0, awake = null;
  const tick = () => {
    const running = [...timers()].map(show).includes(true);
    if (running && !ticking) ticking = setInterval(tick, 200);
    if (!running && ticking) { clearInterval(ticking); ticking = 0; }
    return running;
  };
  const stayAwake = () => navigator.wakeLock?.request("screen").then((lock) => {
    if (ticking) awake = lock; else lock.release();
  }).catch(() => {}); // the screen may go dark: the count goes on

  const press = (timer, what) => {
    const state = stateOf(timer), now = Date.now();
    if (what !== "fill" && now - (state.stoppedAt ?? state.startedAt ?? 0) < SHORTEST_PRESS_MS) return;
    if (what === "again") {
      keep(timer, { filled: state.filled });
    } else if (what === "fill") {
      fill(timer);
    } else if (!runs(state)) {
      keep(timer, { startedAt: now, filled: state.filled });
      navigator.vibrate?.(60);
    } else {
      keep(timer, { ...state, stoppedAt: now });
      if (mayFill(timer, stateOf(timer))) fill(timer);
      navigator.vibrate?.(60);
    }
    if (tick()) stayAwake(); else { awake?.release(); awake = null; }
    if (what !== "fill") timer.querySelector("[data-timer-press]:not([hidden])").focus(); // the one pressed may be hidden now
  };

  document.addEventListener("click", (event) => {
    const pressed = event.target.closest?.("[data-timer-press]");
    if (pressed) press(pressed.closest("[data-timer]"), pressed.dataset.timerPress);
  });
  document.addEventListener("input", (event) => {
    if ([...timers()].some((timer) => fieldOf(timer) === event.target)) tick();
  });
  document.addEventListener("visibilitychange", () => {
    if (!document.hidden && tick()) stayAwake();
  });
  const look = () => {
    timers().forEach((timer) => { timer.hidden = false; });
    tick();
  };
  document.addEventListener("htmx:after:swap", look);
  look();
})();
