"use strict";
(() => {
  const plain = (text) => text.toLowerCase().replace(/,(?=\d)/g, ".").replace(/×/g, "x")
    .replace(/threads?\s*(per|\/)\s*inch/g, "tpi").replace(/whitworth/g, "bsw").replace(/\s+/g, "");
  const form = document.querySelector(".find");
  const box = form.querySelector("input"), none = document.getElementById("none");
  const entries = [...document.querySelectorAll(".contents .entries li")].map((item) => {
    const [name, also] = ["b", ".also"].map((part) => item.querySelector(part));
    const said = also ? also.textContent : "";
    const words = [name.textContent, ...said.split(", ")].map(plain).filter((word) => word);
    const bare = words.map((word) => word.replace(/^[a-z#]+/, ""));
    // M10 is also M10x1.5.
    const full = /mm$/.test(plain(said)) ? [words[0] + "x" + plain(said).slice(0, -2)] : [];
    return { item, begins: [...words, ...bare, ...full], all: words.join(" ") };
  });
  const groups = [...document.querySelectorAll(".contents .group")];
  const shown = (list) => [...list.querySelectorAll("li")].some((item) => !item.hidden);
  const filter = () => {
    const asked = plain(box.value), words = box.value.split(/\s+/).map(plain).filter((word) => word);
    const begins = (entry) => entry.begins.some((word) => word.startsWith(asked));
    const holds = (entry) => words.every((word) => entry.all.includes(word));
    const fits = entries.some(begins) ? begins : holds;
    let count = 0;
    for (const entry of entries) {
      entry.item.hidden = asked !== "" && !fits(entry);
      count += entry.item.hidden ? 0 : 1;
    }
    groups.forEach((group) => { group.hidden = !shown(group); });
    none.hidden = count > 0;
  };
  form.addEventListener("input", filter);
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const first = entries.find((entry) => !entry.item.hidden);
    if (first && box.value) location.hash = first.item.querySelector("a").hash;
  });
  form.hidden = false;

  // Without a store the ticks last as long as the page.
  const kept = (key) => { try { return localStorage.getItem(key) || ""; } catch { return ""; } };
  const keep = (key, text) => {
    try { if (text) localStorage.setItem(key, text); else localStorage.removeItem(key); } catch { /* none */ }
  };
  for (const sheet of document.querySelectorAll(".sheet")) {
    const key = "trainwright " + sheet.dataset.key, again = sheet.querySelector(".again");
    const ticks = [...sheet.querySelectorAll(".steps input, .tick input")];
    const update = () => { again.hidden = !ticks.some((tick) => tick.checked); };
    const before = kept(key);
    ticks.forEach((tick, at) => { tick.checked = before[at] === "1"; });
    update();
    const change = () => {
      const any = ticks.some((tick) => tick.checked);
      keep(key, any ? ticks.map((tick) => (tick.checked ? "1" : "0")).join("") : "");
      update();
    };
    sheet.addEventListener("change", change);
    again.addEventListener("click", () => {
      ticks.forEach((tick) => { tick.checked = false; });
      change();
    });
  }

  if ("wakeLock" in navigator) {
    const button = document.getElementById("awake");
    let lock = null;
    const tell = () => { button.setAttribute("aria-pressed", String(lock !== null)); };
    const hold = async () => {
      try {
        lock = await navigator.wakeLock.request("screen");
      } catch { lock = null; }
      tell();
    };
    let wanted = false;
    button.addEventListener("click", async () => {
      wanted = !wanted;
      if (wanted) await hold();
      else if (lock) { await lock.release(); lock = null; tell(); }
    });
    // The browser lets go when the page is left.
    document.addEventListener("visibilitychange", () => {
      if (wanted && document.visibilityState === "visible") hold();
    });
    button.hidden = false;
  }
})();
