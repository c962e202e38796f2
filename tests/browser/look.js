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
  for (const target of document.querySelectorAll("nav a, .steps label, .controls input, .controls select")) {
    if (target.getBoundingClientRect().height < 44) targets.push(target.textContent.trim());
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
  // What is scrolled sideways inside the page; the bar of sections is meant to be.
  const sideways = [...document.querySelectorAll("body *:not(nav)")].filter((element) => {
    const hides = getComputedStyle(element).overflowX !== "visible";
    return hides && !element.closest("svg") && element.scrollWidth > element.clientWidth + 1;
  });
  const all = (css, of) => [...document.querySelectorAll(css)].map(of);
  return {
    width: document.documentElement.scrollWidth,
    pale,
    small,
    targets,
    outside: outside.map((cell) => cell.textContent.trim()),
    letters,
    height: document.body.getBoundingClientRect().height,
    sideways: sideways.map((element) => element.textContent.trim().slice(0, 80)),
    pictures: document.querySelectorAll("figure svg").length,
    links: all("nav a", (a) => a.getAttribute("href")),
    sections: all("section", (section) => "#" + section.id),
  };
})()
