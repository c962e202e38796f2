"use strict";
(() => {
  const at = (id) => document.getElementById(id);
  const controls = document.querySelector(".controls");
  const words = at("words"), kind = at("kind"), order = at("order");
  const sections = [...document.querySelectorAll("section")];
  const number = (row, key) => Number(row.dataset[key]);
  const orders = {
    plan: (a, b) => number(a, "at") - number(b, "at"),
    down: (a, b) => number(b, "mm") - number(a, "mm"),
    up: (a, b) => number(a, "mm") - number(b, "mm"),
    few: (a, b) => number(a, "moved") - number(b, "moved") || number(a, "at") - number(b, "at"),
  };
  const plain = (text) => text.toLowerCase().replace(/\s+/g, "");
  const shown = (row) => plain([...row.cells].map((cell) => cell.textContent).join(" "));
  const update = () => {
    const wanted = words.value.split(",").map(plain).filter((word) => word);
    const only = kind ? kind.value : "";
    let found = 0;
    for (const section of sections) {
      const body = section.querySelector("tbody"), rows = [...body.rows];
      rows.sort(orders[order.value]).forEach((row) => body.append(row));
      let here = 0;
      for (const row of rows) {
        const text = shown(row);
        row.hidden = wanted.length > 0 && !wanted.some((word) => text.includes(word));
        here += row.hidden ? 0 : 1;
      }
      section.hidden = here === 0 || (only !== "" && section.dataset.kind !== only);
      found += section.hidden ? 0 : here;
    }
    const loose = order.value !== "plan" || wanted.length > 0;
    document.body.classList.toggle("loose", loose);
    at("loose").hidden = !loose || found === 0;
    at("none").hidden = found > 0;
  };
  controls.addEventListener("input", update);
  controls.addEventListener("submit", (event) => event.preventDefault());
  controls.hidden = false;
})();
