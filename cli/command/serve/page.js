"use strict";
// The page does all without it: ticks that stay, the screen that stays on, an answer while one types.
(() => {
  const ask = document.querySelector(".ask"), box = document.getElementById("target");
  const hint = ask && ask.querySelector("output");
  if (box && hint) {
    let waiting = 0, running = null;
    const look = async () => {
      if (running) running.abort();
      running = new AbortController();
      const words = new URLSearchParams(new FormData(ask));
      try {
        const answer = await fetch(`${box.dataset.hint}?${words}`, { signal: running.signal });
        if (answer.ok) hint.textContent = (await answer.text()).trim();
      } catch { /* a later letter asks again */ }
    };
    box.addEventListener("input", () => {
      clearTimeout(waiting);
      if (box.value.trim() === "") { hint.textContent = ""; return; }
      waiting = setTimeout(look, 250);
    });
  }
  const ticks = [...document.querySelectorAll(".steps input, .tick input")];
  const handy = document.getElementById("handy");
  if (ticks.length === 0 || !handy) return;
  const name = `ticks ${location.pathname}${location.search}`;
  const kept = () => { try { return localStorage.getItem(name) || ""; } catch { return ""; } };
  const keep = (text) => { try { localStorage.setItem(name, text); } catch { /* none is kept */ } };
  const before = kept();
  ticks.forEach((tick, i) => { tick.checked = before[i] === "1"; });
  const count = document.createElement("span");
  const tell = () => {
    // Of the readings one row is used: steps alone are counted.
    const steps = ticks.filter((tick) => tick.closest(".steps"));
    count.textContent = `${steps.filter((tick) => tick.checked).length} of ${steps.length} done`;
    keep(ticks.map((tick) => (tick.checked ? "1" : "0")).join(""));
  };
  const button = (words, act) => {
    const made = document.createElement("button");
    made.type = "button";
    made.className = "plain";
    made.textContent = words;
    made.addEventListener("click", () => act(made));
    handy.append(made);
  };
  document.addEventListener("change", tell);
  button("Clear ticks", () => { ticks.forEach((tick) => { tick.checked = false; }); tell(); });
  if (navigator.wakeLock) {
    let lock = null;
    button("Keep the screen on", async (made) => {
      if (lock) { await lock.release(); lock = null; }
      else { try { lock = await navigator.wakeLock.request("screen"); } catch { lock = null; } }
      made.textContent = lock ? "The screen stays on" : "Keep the screen on";
      made.setAttribute("aria-pressed", String(lock !== null));
    });
  }
  handy.append(count);
  tell();
})();
