// What a page looks like at the width of its screen; the value of the whole is what is seen.
(() => {
  // Relative luminance and contrast: WCAG 2.1, definitions.
  const light = ([r, g, b]) => {
    const part = (c) => ((c /= 255) <= 0.03928 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4);
    return 0.2126 * part(r) + 0.7152 * part(g) + 0.0722 * part(b);
  };
  const contrast = (a, b) => {
    const [high, low] = [light(a), light(b)].sort((x, y) => y - x);
    return (high + 0.05) / (low + 0.05);
  };
  const colour = (text) => (text.match(/[\d.]+/g) || [0, 0, 0]).map(Number);

  function ground(element) {
    for (let e = element; e; e = e.parentElement) {
      const [r, g, b, alpha = 1] = colour(getComputedStyle(e).backgroundColor);
      if (alpha > 0) return [r, g, b];
    }
    return [255, 255, 255];
  }

  const pale = [], small = [], targets = [];
  let letters = Infinity;
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const words = walker.currentNode.textContent.trim(), element = walker.currentNode.parentElement;
    // Titles of shapes are for readers; white letters below dark ones keep lines off them.
    if (!words || element.closest("script,style,title,desc,[aria-hidden]")) continue;
    const style = getComputedStyle(element), drawn = element.closest("svg");
    const ink = colour(drawn ? style.fill : style.color);
    if (contrast(ink, drawn ? [255, 255, 255] : ground(element)) < 4.5) pale.push(words);
    const scale = drawn ? drawn.getScreenCTM().a : 1;
    letters = Math.min(letters, parseFloat(style.fontSize) * scale);
    if (parseFloat(style.fontSize) * scale < 9) small.push(words);
  }
  const touched = "nav a, .steps label, .controls input, .controls select, button, summary, .entry input, " +
    ".row input, .question input, textarea, .tiles a";
  for (const target of document.querySelectorAll(touched)) {
    const area = target.type === "checkbox" ? target.closest("label") : target;
    const box = area.getBoundingClientRect();
    if (box.width > 0 && box.height < 44) targets.push(target.textContent.trim() || target.outerHTML.slice(0, 80));
  }
  // What is typed into a box, and what stands there before.
  for (const box of document.querySelectorAll("input:not([type=checkbox], [type=hidden]), textarea, select")) {
    for (const part of [null, "::placeholder"]) {
      const ink = colour(getComputedStyle(box, part).color);
      if (contrast(ink, ground(box)) < 4.5) pale.push(part ? box.placeholder : box.value);
    }
  }
  const outside = [...document.querySelectorAll("td, th, dt, dd")].filter((cell) => {
    const box = cell.getBoundingClientRect();
    return box.left < -0.5 || box.right > innerWidth + 0.5;
  });
  // Also words and boxes that are no cells; phones widen the window by what juts out, but not the root.
  const wide = document.documentElement.clientWidth;
  const juts = (of) => [...of.getClientRects()].some((box) => box.left < -0.5 || box.right > wide + 0.5);
  // The bar of sections is scrolled sideways, and meant to be.
  const bar = (of) => { const nav = of.closest("nav"); return nav && getComputedStyle(nav).overflowX !== "visible"; };
  const jutting = [...document.querySelectorAll("a, button, input, textarea, select, summary, svg, li")]
    .filter((element) => juts(element) && !bar(element)).map((element) => element.outerHTML.slice(0, 80));
  const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (texts.nextNode()) {
    const range = document.createRange();
    range.selectNodeContents(texts.currentNode);
    if (range.toString().trim() && juts(range) && !bar(texts.currentNode.parentElement)) jutting.push(range.toString());
  }
  // What is scrolled sideways inside the page.
  const sideways = [...document.querySelectorAll("body *:not(nav)")].filter((element) => {
    const hides = getComputedStyle(element).overflowX !== "visible";
    // One pixel is for screen readers; a box scrolls what was typed into it.
    return hides && !element.matches("input") && element.clientWidth > 1 && !element.closest("svg") && element.scrollWidth > element.clientWidth + 1;
  });
  // Words that reach out of their cell into the next.
  const spilling = [...document.querySelectorAll("td, th")].filter((cell) => {
    const range = document.createRange();
    range.selectNodeContents(cell);
    const right = Math.max(...[...range.getClientRects()].map((box) => box.right));
    return right > cell.getBoundingClientRect().right + 0.5;
  });
  // Labels of a narrow table behind which there is nothing.
  const hollow = [...document.querySelectorAll("td")].filter((cell) => cell.getClientRects().length > 0 &&
    !cell.textContent.trim() && /"./.test(getComputedStyle(cell, "::before").content));
  const all = (css, of) => [...document.querySelectorAll(css)].map(of);
  return {
    width: document.documentElement.scrollWidth,
    pale,
    spilling: spilling.map((cell) => cell.textContent),
    small,
    targets,
    outside: outside.map((cell) => cell.textContent.trim()),
    jutting,
    hollow: hollow.map((cell) => cell.dataset.head),
    letters,
    height: document.body.getBoundingClientRect().height,
    sideways: sideways.map((element) => element.textContent.trim().slice(0, 80)),
    pictures: document.querySelectorAll("figure svg").length,
    links: all("nav a", (a) => a.getAttribute("href")),
    sections: all("section", (section) => "#" + section.id),
  };
})()
